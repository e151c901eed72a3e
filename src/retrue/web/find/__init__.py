"""Pages of fault-finding."""
