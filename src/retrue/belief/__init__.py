"""What is probably wrong: the exact posterior over faults and past lives, and drawn worlds."""
