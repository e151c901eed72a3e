"""Measuring: readings to results, remedies and what should then be read."""
