"""One door to the pictures of the move: each drawing is drawn by the module for its sort."""

from __future__ import annotations

from typing import Any

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.move.drawings import (
    DampDrawing,
    FloorDrawing,
    LiftDrawing,
    RampDrawing,
    TipDrawing,
)
from retrue.figures.axes import Room
from retrue.figures.ink import Theme
from retrue.figures.move import damp, floor_plan, lift, ramp, tip


def picture(drawing: Any, *, theme: Theme, room: Room) -> str:
    """Draw what an answer shows.

    Parameters
    ----------
    drawing : LiftDrawing, TipDrawing, RampDrawing, DampDrawing, FloorDrawing or None
        As in ``Reckoning.drawing``.
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
    match drawing:
        case None:
            return ""
        case LiftDrawing():
            return lift.draw(drawing, theme=theme, room=room)
        case TipDrawing():
            return tip.draw(drawing, theme=theme, room=room)
        case RampDrawing():
            return ramp.draw(drawing, theme=theme, room=room)
        case DampDrawing():
            return damp.draw(drawing, theme=theme, room=room)
        case FloorDrawing():
            return floor_plan.draw(drawing, theme=theme, room=room)
    raise _unknown(drawing)


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
    match drawing:
        case None:
            return ()
        case LiftDrawing():
            return lift.rows(drawing)
        case TipDrawing():
            return tip.rows(drawing)
        case RampDrawing():
            return ramp.rows(drawing)
        case DampDrawing():
            return damp.rows(drawing)
        case FloorDrawing():
            return floor_plan.rows(drawing)
    raise _unknown(drawing)


def _unknown(drawing: Any) -> Unknown:
    return Unknown(
        say("there is no picture of {sort}", sort=type(drawing).__name__),
        remedy=say("Leave it without one."),
    )
