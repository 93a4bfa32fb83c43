"""English as the network writes it."""
