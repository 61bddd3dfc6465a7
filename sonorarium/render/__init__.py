"""Notation, sound and figures: the heavy tools, each behind one small interface and imported on first use."""
