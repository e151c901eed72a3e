"""One door to the pictures of first power: each drawing is drawn by the module for its sort."""

from __future__ import annotations

from typing import Any

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.wake.drawing import LadderDrawing, RunInDrawing, WarmUpDrawing
from retrue.figures.axes import Room
from retrue.figures.ink import Theme
from retrue.figures.wake import ladder, run_in, warm_up


def picture(drawing: Any, *, theme: Theme, room: Room) -> str:
    """Draw what a page of first power shows.

    Parameters
    ----------
    drawing : WarmUpDrawing, LadderDrawing, RunInDrawing or None
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
        case WarmUpDrawing():
            return warm_up.draw(drawing, theme=theme, room=room)
        case LadderDrawing():
            return ladder.draw(drawing, theme=theme, room=room)
        case RunInDrawing():
            return run_in.draw(drawing, theme=theme, room=room)
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
        case WarmUpDrawing():
            return warm_up.rows(drawing)
        case LadderDrawing():
            return ladder.rows(drawing)
        case RunInDrawing():
            return run_in.rows(drawing)
    raise _unknown(drawing)


def _unknown(drawing: Any) -> Unknown:
    return Unknown(
        say("there is no picture of {sort}", sort=type(drawing).__name__),
        remedy=say("Leave it without one."),
    )
