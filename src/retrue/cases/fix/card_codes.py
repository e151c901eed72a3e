"""The code of a job card on paper, and which card a code means."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.codes import code_of
from retrue.cases.fix.cards import CONTROL, UNSEEN
from retrue.cases.fix.clearing import CLEAR, CLEAR_RUNNING
from retrue.cases.fix.known_lines import known_lines
from retrue.cases.fix.looks import LOOK
from retrue.kinds.library import Kind

DOORS = ("open:", "before:", "close:", LOOK)


def card_code(lot: str, machine: str, key: str) -> str:
    """The code printed on a sheet of a job card or of a visit.

    Parameters
    ----------
    lot, machine : str
        Their names, as the sheet has them.
    key : str
        Of the card, or the id of the place.

    Returns
    -------
    str
        Eight signs in two groups.

    Examples
    --------
    >>> card_code("Lot 14", "mill", "J05") == card_code("Lot 14", "lathe", "J05")
    False
    """
    return code_of("card", lot, machine, key)


def printed_keys(kind: Kind) -> Iterator[str]:
    """Everything that a sheet of such a machine can be about: its places, and all its cards.

    Parameters
    ----------
    kind : Kind

    Yields
    ------
    str

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> keys = set(printed_keys(load()["turning_centre"]))
    >>> {"cabinet", "open:cabinet", "J05", "F36:local", "send:F36:local"} <= keys
    True
    """
    yield from (UNSEEN, CONTROL, CLEAR, CLEAR_RUNNING)
    for place in kind.places:
        yield place
        yield from (f"{door}{place}" for door in DOORS)
    for line in known_lines([kind]):
        yield line
        yield f"send:{line}"
