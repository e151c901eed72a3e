"""Pages of first power."""
