"""Readings, sheets and verdicts: what is measured on a car or a part, and what it proves."""
