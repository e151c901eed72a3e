"""What is probably wrong: the exact posterior over faults and past lives, and worlds drawn from it."""
