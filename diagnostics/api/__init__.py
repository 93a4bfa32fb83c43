"""Measuring for programs, under /api/v1/: the same cleaning, verbs and rows as the pages, by a workshop's token."""
