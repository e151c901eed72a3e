"""One door to the pictures of plain drawings: each is drawn by the module for its sort."""

from __future__ import annotations

import importlib
from typing import Any

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.fix.bench_drawing import BenchDrawing
from retrue.cases.fix.cash_drawing import CashDrawing
from retrue.cases.fix.dates_drawing import DatesDrawing
from retrue.cases.move.drawings import (
    DampDrawing,
    FloorDrawing,
    LiftDrawing,
    RampDrawing,
    TipDrawing,
)
from retrue.cases.prove.sense_drawing import BandsDrawing, SpectrumDrawing
from retrue.cases.screen.drawing import ScreenDrawing
from retrue.cases.settle.cost_drawing import CostBars, CurveDrawing
from retrue.cases.settle.evening_drawing import EveningDrawing
from retrue.cases.settle.rate_lines import RateBarsDrawing
from retrue.cases.settle.sale_drawing import OffersDrawing
from retrue.cases.settle.versus_lines import ValueCurveDrawing
from retrue.cases.wake.drawing import LadderDrawing, RunInDrawing, WarmUpDrawing
from retrue.figures.axes import Room
from retrue.figures.ink import Theme

DRAWN_BY: dict[type[Any], str] = {
    LiftDrawing: "move.lift",
    TipDrawing: "move.tip",
    RampDrawing: "move.ramp",
    DampDrawing: "move.damp",
    FloorDrawing: "move.floor_plan",
    WarmUpDrawing: "wake.warm_up",
    LadderDrawing: "wake.ladder",
    RunInDrawing: "wake.run_in",
    BandsDrawing: "prove.bands",
    SpectrumDrawing: "prove.spectrum",
    BenchDrawing: "fix.bench_chart",
    CashDrawing: "fix.cash",
    DatesDrawing: "fix.dates_rule",
    RateBarsDrawing: "settle.rate_bars",
    ValueCurveDrawing: "settle.value_curve",
    EveningDrawing: "settle.evenings",
    CostBars: "settle.cost_bars",
    CurveDrawing: "settle.cash_curve",
    OffersDrawing: "settle.offers",
    ScreenDrawing: "screen",
}


def picture(drawing: Any, *, theme: Theme, room: Room) -> str:
    """Draw a drawing.

    Parameters
    ----------
    drawing : one of ``DRAWN_BY``, or None
        A plain value of the cases.
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
    if drawing is None:
        return ""
    drawn: str = _module(drawing).draw(drawing, theme=theme, room=room)
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
    if drawing is None:
        return ()
    told: tuple[tuple[str, str], ...] = _module(drawing).rows(drawing)
    return told


def _module(drawing: Any) -> Any:
    name = DRAWN_BY.get(type(drawing))
    if name is None:
        raise Unknown(
            say("there is no picture of {sort}", sort=type(drawing).__name__),
            remedy=say("Leave it without one."),
        )
    return importlib.import_module(f"retrue.figures.{name}")
