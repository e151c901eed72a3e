"""Money over time: present values, returns, capital recovery."""
