"""What to do: job cards, options, purchases, dates; pure."""
