"""What to take, falling week by week, and the offers that came."""

from __future__ import annotations

from datetime import timedelta

import numpy as np

from retrue.base.formatter import day, money, odds
from retrue.base.say import say
from retrue.cases.settle.sale_drawing import OffersDrawing
from retrue.figures.axes import BLUE, BRASS, BRASS_TINT, INK, SHEET, SOFT, Room, Sheet, caption
from retrue.figures.ink import Theme

HIGH: dict[Room, float] = {"phone": 300.0, "wide": 300.0, "paper": 250.0, "broad": 320.0}
TICKS: dict[Room, int] = {"phone": 3, "wide": 6, "paper": 5, "broad": 8}
NAMED = 5  # offers that are named beside their point


def rows(drawing: OffersDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table.

    Parameters
    ----------
    drawing : OffersDrawing

    Returns
    -------
    tuple of (str, str)
        Ask, what to take at the start, in the middle and at the end, then every offer.
    """
    cur = drawing.currency
    told = [(say("ask"), money(drawing.ask, cur))]
    places = sorted({0, len(drawing.days) // 2, len(drawing.days) - 1})
    for at in places:
        told.append(
            (
                say("take on {day}", day=day(drawing.days[at])),
                say("{sum}; still there: {chance}", sum=money(drawing.take[at], cur),
                    chance=odds(drawing.unsold[at])),
            )
        )  # fmt: skip
    told.append((say("let it go at"), money(drawing.dump, cur)))
    for one in drawing.offers:
        told.append(
            (
                say("offered by {whom}, {day}", whom=one.whom, day=day(one.on)),
                money(one.amount, cur),
            )
        )
    return tuple(told)


def draw(drawing: OffersDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the line from today to the last day, with each offer as a point on its day.

    Parameters
    ----------
    drawing : OffersDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``: the line to take in brass, offers in blue, what is asked and what it is
        let go for as thin lines.
    """
    first = min((*drawing.days[:1], *(one.on for one in drawing.offers)))
    at = np.array([(one - first).days for one in drawing.days], dtype=np.float64)
    sheet = Sheet(room, high=HIGH[room])
    axes = sheet.axes
    take = np.array(drawing.take)
    axes.fill_between(at, drawing.dump, take, color=BRASS_TINT, linewidth=0)
    axes.plot(at, take, color=BRASS, linewidth=2.2)
    for height, words, up in (
        (drawing.ask, say("ask {sum}", sum=money(drawing.ask, drawing.currency)), 4),
        (drawing.dump, say("let it go {sum}", sum=money(drawing.dump, drawing.currency)), -13),
    ):
        axes.axhline(height, color=SOFT, linewidth=0.9)
        axes.annotate(caption(words), (at[-1], height), xytext=(-3, up), ha="right",
                      textcoords="offset points", color=INK)  # fmt: skip
    near = min(len(at) - 1, 1 + len(at) // 12)
    axes.annotate(caption(say("take")), (at[near], take[near]), xytext=(4, 5),
                  textcoords="offset points", color=BRASS)  # fmt: skip
    for place, one in enumerate(drawing.offers):
        x = (one.on - first).days
        axes.plot([x], [one.amount], "o", color=BLUE, markersize=6)
        if place < NAMED:
            axes.annotate(caption(money(one.amount, drawing.currency)), (x, one.amount),
                          xytext=(7, -4), textcoords="offset points", color=BLUE,
                          bbox={"facecolor": SHEET, "edgecolor": "none", "pad": 1.0})  # fmt: skip
    high = max([drawing.ask, *(one.amount for one in drawing.offers)])
    low = min([drawing.dump, *(one.amount for one in drawing.offers)])
    axes.set_ylim(max(0.0, low - 0.18 * (high - low)), high + 0.14 * (high - low))
    axes.set_xlim(-1.0, at[-1] + 1.0)
    ticks = np.linspace(0, at[-1], TICKS[room]).round().astype(int)
    axes.set_xticks(ticks.tolist(), [day(first + timedelta(days=int(one))) for one in ticks])
    ends = axes.get_xticklabels()
    ends[0].set_horizontalalignment("left")
    ends[-1].set_horizontalalignment("right")
    axes.yaxis.set_major_formatter(lambda value, _: money(value, drawing.currency))
    label = say("What to take, falling") + ": " + "; ".join(
        f"{name} {value}" for name, value in rows(drawing)
    )  # fmt: skip
    return sheet.finish(theme, label=label, sort=f"picture offers-{room}")
