"""Pages of intake."""
