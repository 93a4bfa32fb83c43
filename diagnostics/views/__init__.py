"""Pages of measuring, by subject."""
