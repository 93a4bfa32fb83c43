"""Checks of the calculations against published figures and general-purpose libraries."""
