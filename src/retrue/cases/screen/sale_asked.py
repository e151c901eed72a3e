"""What a line of a catalogue speaks of and has to be typed before it counts. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.say import say


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Something a line speaks of, that has to be typed before it counts.

    Attributes
    ----------
    field : str
        premium, tax_rate, tax_scheme, currency, thousands, removal_days.
    why : str
    values : tuple of float
        What it may be, where figures stand there.
    """

    field: str
    why: str
    values: tuple[float, ...] = ()


def some_lots() -> str:
    """Why what is said does not count for the sale: it is said of some lots.

    Returns
    -------
    str
        In the reader's language.

    Examples
    --------
    >>> some_lots()
    'it speaks of some lots only'
    """
    return say("it speaks of some lots only")
