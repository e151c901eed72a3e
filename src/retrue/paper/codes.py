"""Codes that stand on paper and are typed by hand; they are made where every floor may ask."""

from retrue.base.codes import LENGTH, SIGNS, code_of, read_code

__all__ = ["LENGTH", "SIGNS", "code_of", "read_code"]
