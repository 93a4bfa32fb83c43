"""The invented network that `make demo` shows: made through the verbs that people use, with dates relative to today."""
