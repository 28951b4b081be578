"""Pages of the core."""
