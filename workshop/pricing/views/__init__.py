"""Pages of money."""
