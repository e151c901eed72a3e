"""Records and a kind put together: evidence, model, purchase terms, price. Pure."""
