"""Forms of the bench, one file a noun."""
