"""Sciences of measurement, one module a quantity: numbers in, values out."""
