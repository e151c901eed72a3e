"""Pictures of measuring, one module a test."""
