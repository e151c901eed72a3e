"""How far bare iron stays above the dew point, over time, with the margin that ought to be kept."""

from __future__ import annotations

import numpy as np

from retrue.base.formatter import THIN, number
from retrue.base.say import say
from retrue.cases.move.drawings import DampDrawing
from retrue.figures.axes import BLUE, BRASS, BRASS_TINT, INK, SHEET, SOFT, Room, Sheet, caption
from retrue.figures.ink import Theme

MOST = 600  # points drawn of one curve
DAY = 48.0  # from so many hours on the axis counts days


def rows(drawing: DampDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers.

    Parameters
    ----------
    drawing : DampDrawing

    Returns
    -------
    tuple of (str, str)

    Examples
    --------
    >>> rows(DampDrawing(hours=(0.0, 1.0), margin_kelvin=(5.0, 2.0)))[1][1]
    '2.0\u202fK'
    """
    kelvin = THIN + "K"
    margins = drawing.margin_kelvin
    if not margins:
        return ()
    under = sum(margin < drawing.least_kelvin for margin in margins)
    worst = min(range(len(margins)), key=lambda place: margins[place])
    return (
        (say("readings"), number(len(margins))),
        (say("least margin over the dew point"), number(margins[worst], 1) + kelvin),
        (say("hours after the first reading"), number(drawing.hours[worst], 1)),
        (say("margin that ought to be kept"), number(drawing.least_kelvin, 1) + kelvin),
        (say("readings under it"), number(under)),
    )


def draw(drawing: DampDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the margin over time.

    Parameters
    ----------
    drawing : DampDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``; nothing where nothing was logged.
    """
    if not drawing.hours:
        return ""
    sheet = Sheet(room, high=270)
    axes = sheet.axes
    step = max(1, len(drawing.hours) // MOST)
    days = drawing.hours[-1] - drawing.hours[0] >= DAY
    times = np.array(drawing.hours[::step]) / (24.0 if days else 1.0)
    margins = np.array(drawing.margin_kelvin[::step])
    low = min(0.0, float(margins.min()))
    axes.fill_between(times, low, drawing.least_kelvin, color=BRASS_TINT, linewidth=0)
    axes.axhline(drawing.least_kelvin, color=BRASS, linewidth=1.4)
    axes.axhline(0.0, color=INK, linewidth=0.9)
    mark = "o" if len(times) <= 40 else ""
    axes.plot(times, margins, color=BLUE, marker=mark, markersize=4)
    _name(axes, drawing, times)
    axes.set_xlim(times[0], max(times[-1], times[0] + 1e-6))
    axes.set_ylim(low - 0.6, max(float(margins.max()), drawing.least_kelvin) * 1.12 + 0.4)
    axes.set_title(caption(_title(drawing)), loc="left")
    unit = say("days") if days else say("hours")
    axes.set_xlabel(caption(say("{unit} from the first reading {starts}", unit=unit,
                                starts=drawing.starts).strip()))  # fmt: skip
    axes.set_ylabel(caption(say("iron over dew point, K")))
    label = say("Least margin over the dew point {least} K of {wanted} K wanted.",
                least=number(min(drawing.margin_kelvin), 1),
                wanted=number(drawing.least_kelvin, 1))  # fmt: skip
    return sheet.finish(theme, label=label, sort=f"picture damp-{room}")


def _name(
    axes: object, drawing: DampDrawing, times: np.ndarray[tuple[int], np.dtype[np.float64]]
) -> None:
    """Words on both lines, at their left end."""
    told = (
        (
            drawing.least_kelvin,
            say("keep {kelvin} K", kelvin=number(drawing.least_kelvin, 1)),
            BRASS,
        ),
        (0.0, say("iron sweats"), SOFT),
    )
    for height, text, colour in told:
        axes.annotate(  # type: ignore[attr-defined]  # axes of Matplotlib
            caption(text), (times[0], height), xytext=(5, 4), textcoords="offset points",
            color=colour, bbox={"facecolor": SHEET, "edgecolor": "none", "pad": 1.0},
        )  # fmt: skip


def _title(drawing: DampDrawing) -> str:
    least = min(drawing.margin_kelvin)
    told = number(least, 1) + THIN + "K"
    if least <= 0:
        return say("iron was at or under the dew point: {least}", least=told)
    if least < drawing.least_kelvin:
        return say("at its dampest {least} over the dew point", least=told)
    return say("never nearer than {least} to the dew point", least=told)
