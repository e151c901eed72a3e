"""Pictures of what to do."""
