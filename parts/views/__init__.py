"""Pages of the sourcing board, a file for each thing they show."""
