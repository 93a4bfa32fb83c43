"""Pages of the work, by subject."""
