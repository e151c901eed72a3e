"""Fault libraries as data, and the loader that checks them."""
