"""Searching a score for sets: what is asked, where it occurs, and how good each passage is."""
