"""Taking a machine apart: as found, gates, labels, cleaning, what is not yet back."""
