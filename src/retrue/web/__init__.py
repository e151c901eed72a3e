"""The pages: parse, one call, render."""
