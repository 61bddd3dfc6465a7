"""One piece, as its page shows it: lines of music, ribbons, landscape, what lies in its bars, what sounds."""
