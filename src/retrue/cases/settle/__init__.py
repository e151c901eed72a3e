"""Money and sale: the book, hours, cost, sale, record; pure."""
