"""Pictures of money and sale."""
