"""What a lesson states about sets and scores, read and checked by computation."""
