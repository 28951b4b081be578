"""Pages of the bench, one file a noun."""
