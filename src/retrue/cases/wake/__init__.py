"""First power: what a stage asks, what a watch says, what is reckoned before it."""
