"""What a piece is built on: its collections traced, its centres, its landscape, a stretch of its bars."""
