"""Pitch space: sets as real pitches under real hands."""
