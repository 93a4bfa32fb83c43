"""Plain calculations, one file for each physical subject: no web framework, no clock, no files, no network."""
