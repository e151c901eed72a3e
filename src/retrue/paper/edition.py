"""What a condition record calls its edition: whoever prints it again must print it alike."""

from __future__ import annotations

import importlib.metadata
from functools import cache
from hashlib import sha256
from importlib.resources import files

MADE_BY = (
    "templates/condition_record.typ", "templates/blocks.typ", "condition_record.py", "press.py",
)  # fmt: skip
"""Of this folder: what the pages of a condition record are made by."""


@cache
def print_edition(version: str) -> str:
    """What a condition record calls its edition: the version, and what its pages are made by.

    Parameters
    ----------
    version : str
        Of the program.

    Returns
    -------
    str
        Where it is the same, the same content prints the same pages: with the eight signs after
        the plus a changed template is another edition.

    Examples
    --------
    >>> edition = print_edition("1.2.3")
    >>> edition.startswith("1.2.3+"), len(edition)
    (True, 14)
    """
    shelf = files("retrue.paper")
    whole = b"".join((shelf / one).read_bytes() for one in MADE_BY) + press_version().encode()
    return f"{version}+{sha256(whole).hexdigest()[:8]}"


def press_version() -> str:
    """The version of the press, which sets the same page otherwise from one to the next."""
    return importlib.metadata.version("typst")
