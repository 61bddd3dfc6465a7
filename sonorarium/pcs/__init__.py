"""Pitch-class space: sets, classes, families, kin, measures, names, spelling."""
