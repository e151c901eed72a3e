"""Pages of as found and apart."""
