"""Drills: exercises with their keys, on paper, as a page and inside lessons."""
