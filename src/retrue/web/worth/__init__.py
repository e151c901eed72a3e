"""What to pay: the pages of the first phase, in the order of its deeds."""
