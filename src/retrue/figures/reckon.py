"""One door to the pictures of the calculators: each phase draws its own drawings."""

from __future__ import annotations

import importlib
from typing import Any

from retrue.figures.axes import Room
from retrue.figures.ink import Theme


def picture(drawing: Any, *, theme: Theme, room: Room) -> str:
    """Draw what an answer of a calculator shows.

    Parameters
    ----------
    drawing : value of ``Reckoning.drawing``, or None
        A plain value of the cases of one phase.
    theme : Theme
        Colours of the page or of paper.
    room : "phone", "wide" or "paper"
        How much room there is.

    Returns
    -------
    str
        One ``<svg>``; nothing for None.

    Raises
    ------
    Unknown
        Nobody draws that.

    Examples
    --------
    >>> from retrue.figures.ink import PAGE
    >>> picture(None, theme=PAGE, room="phone")
    ''
    """
    drawn: str = _door(drawing).picture(drawing, theme=theme, room=room)
    return drawn


def rows(drawing: Any) -> tuple[tuple[str, str], ...]:
    """The numbers of a picture as a table: what, and its value with its unit.

    Parameters
    ----------
    drawing : as for :func:`picture`

    Returns
    -------
    tuple of (str, str)

    Raises
    ------
    Unknown
        Nobody draws that.

    Examples
    --------
    >>> rows(None)
    ()
    """
    told: tuple[tuple[str, str], ...] = _door(drawing).rows(drawing)
    return told


def _door(drawing: Any) -> Any:
    """The pictures of the phase that a drawing is made by."""
    phase = type(drawing).__module__.split(".")[2:3]  # retrue.cases.wake.drawing
    name = "wake" if phase == ["wake"] else "move"
    return importlib.import_module(f"retrue.figures.{name}.picture")
