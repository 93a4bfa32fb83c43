"""Longer trials, each a program that ends with `N tried, N bad`; a short form of each is in the suite."""
