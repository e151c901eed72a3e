"""Pages of moving and placing."""
