"""Pictures of the move."""
