"""The commands: parse, one call, print."""
