"""Sonorarium: a workbench for mastering one scale, or a family of scales."""
