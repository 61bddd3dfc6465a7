"""What is written: bars, noteheads and ties of a page, before they become notes that sound."""
