"""The pages of measuring."""
