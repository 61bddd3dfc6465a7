"""Courses: several lessons as one, what they cover and leave out, and in which order."""
