"""Moving a machine: what each calculator asks, and what it answers."""
