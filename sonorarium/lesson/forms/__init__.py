"""The forms of a lesson: a page to open, a page to print, slides, and its pieces one by one."""
