"""How dates, times and figures are written, by language."""
