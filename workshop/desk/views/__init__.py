"""Pages of the desk."""
