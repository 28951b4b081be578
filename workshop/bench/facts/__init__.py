"""What the bench's stations rest on, read for many jobs at once."""
