"""What the user keeps, as plain files."""
