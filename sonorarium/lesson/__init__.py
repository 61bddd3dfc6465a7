"""Lessons: from a Markdown file to a page that can be read, heard and printed."""
