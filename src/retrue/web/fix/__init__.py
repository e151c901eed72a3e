"""Pages of what to do."""
