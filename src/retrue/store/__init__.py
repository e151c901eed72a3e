"""The shop kept in SQLite or PostgreSQL, and its files."""
