"""What a lesson shows and sounds: figures, sheets, excerpts, progressions, readings, surveys."""
