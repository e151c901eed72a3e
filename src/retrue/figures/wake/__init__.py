"""Pictures of first power."""
