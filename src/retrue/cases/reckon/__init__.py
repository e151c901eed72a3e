"""Calculators: what they ask, how they are put together, what they answer."""
