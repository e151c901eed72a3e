"""Frozen facts, kept for good: what was said, seen, measured, paid. Added, never altered."""
