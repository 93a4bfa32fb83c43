"""Tests of who and where."""
