"""Pages of money and sale."""
