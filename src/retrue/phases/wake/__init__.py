"""First power, stage by stage, and the run-in watch."""
