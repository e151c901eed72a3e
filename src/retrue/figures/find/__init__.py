"""Pictures of fault-finding."""
