"""The bench's writers, one file a noun."""
