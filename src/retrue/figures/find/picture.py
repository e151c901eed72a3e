"""One door to the pictures of fault-finding."""

from __future__ import annotations

from retrue.cases.find.advice import Advice
from retrue.figures.axes import Room
from retrue.figures.find.costs import costs_rows, draw_costs
from retrue.figures.ink import Theme

__all__ = ["costs", "costs_rows"]


def costs(advice: Advice, *, theme: Theme, room: Room) -> str:
    """Draw what each way to begin costs on average.

    Parameters
    ----------
    advice : Advice
    theme : Theme
        Colours of the page or of paper.
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``; nothing where there is no step to compare.
    """
    return draw_costs(advice, theme=theme, room=room)
