"""A catalogue of a sale: its lines read as lots, each priced, and the few worth a call."""
