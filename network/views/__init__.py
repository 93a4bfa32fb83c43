"""Pages of the network, by subject."""
