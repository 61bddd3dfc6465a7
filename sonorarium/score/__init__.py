"""One score: reading, slices, passages."""
