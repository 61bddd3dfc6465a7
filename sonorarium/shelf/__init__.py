"""Many scores: a folder, searched."""
