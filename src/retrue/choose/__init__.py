"""Choices under doubt: the walk-away price, the value of looking, what moves a price, bids."""
