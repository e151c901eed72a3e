"""retrue: what to pay for worn machine tools, and how to make them true again."""

__version__ = "0.1.0"
