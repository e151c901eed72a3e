"""A run-in table as a stair: speed over minutes, with what the nose may rise on each tread."""

from __future__ import annotations

from retrue.base.formatter import THIN, number
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.wake.drawing import RunInDrawing, RunInRung
from retrue.figures.axes import (
    BLUE,
    BLUE_TINT,
    BRASS,
    BRASS_TINT,
    INK,
    LINE,
    SHEET,
    SOFT,
    Room,
    Sheet,
    caption,
)
from retrue.figures.ink import Theme
from retrue.figures.letters import width

STATES = {"held": "held", "stepped_down": "stepped down", "now": "now", "to_come": "to come"}
COLOURS = {"held": BLUE, "stepped_down": INK, "now": BRASS, "to_come": SOFT}
FILLS = {"held": BLUE_TINT, "stepped_down": LINE, "now": BRASS_TINT, "to_come": SHEET}


def rows(drawing: RunInDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers: a row for each step.

    Parameters
    ----------
    drawing : RunInDrawing

    Returns
    -------
    tuple of (str, str)

    Examples
    --------
    >>> made = rows(RunInDrawing(steps=(RunInRung(number=1, speed_share=0.05, minutes=10,
    ...                                           rise_k=5, speed_rpm=400),)))
    >>> made[0][0], made[0][1].replace(THIN, " ")
    ('step 1', '400 rpm, 5 % of the highest, 10 minutes, nose up to 5 K over the room, to come')
    """
    return tuple((say("step {number}", number=one.number), _told(one)) for one in drawing.steps)


def _told(one: RunInRung) -> str:
    share = say("{percent} % of the highest", percent=number(100 * one.speed_share))
    told = [share, say("{minutes} minutes", minutes=number(one.minutes))]
    if one.speed_rpm is not None:
        told.insert(0, number(one.speed_rpm) + THIN + say("rpm"))
    if one.rise_k is not None:
        told.append(say("nose up to {k} over the room", k=number(one.rise_k) + THIN + "K"))
    return ", ".join(map(str, (*told, say(STATES[one.state]))))


def draw(drawing: RunInDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the stair.

    Parameters
    ----------
    drawing : RunInDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``.

    Raises
    ------
    Unusable
        It has no step.
    """
    if not drawing.steps:
        raise Unusable(say("a run-in without steps cannot be drawn"),
                       remedy=say("Write its steps first."))  # fmt: skip
    sheet = Sheet(room, high=270 if room == "phone" else 290)
    axes = sheet.axes
    known = all(one.speed_rpm is not None for one in drawing.steps)
    start, before = 0.0, 0.0
    whole = sum(one.minutes for one in drawing.steps)
    for one in drawing.steps:
        speed = float(one.speed_rpm or 0.0) if known else 100 * one.speed_share
        end = start + one.minutes
        axes.fill_between([start, end], 0, speed, color=FILLS[one.state], linewidth=0)
        axes.plot([start, start, end], [before, speed, speed], color=COLOURS[one.state],
                  linewidth=2.2, linestyle="--" if one.state == "to_come" else "-",
                  zorder=3)  # fmt: skip
        text = "" if one.rise_k is None else "+" + number(one.rise_k)
        if text and width(text, sheet.size) < 0.75 * sheet.wide * one.minutes / whole:
            axes.annotate(caption(text), ((start + end) / 2, speed), xytext=(0, 3),
                          textcoords="offset points", ha="center", color=INK)  # fmt: skip
        start, before = end, speed
    axes.set_xlim(0, start)
    axes.set_ylim(0, before * 1.14 if before else 1)
    told = say("at least {hours} hours; over each step, by how many kelvin the nose may rise",
               hours=number(start / 60, 1))  # fmt: skip
    axes.set_xlabel(caption(say("minutes, at least; holding adds to them")))
    axes.set_ylabel(caption(say("speed, rpm") if known else say("speed, % of the highest")))
    axes.set_title(caption(say("+ kelvin: the nose may rise over the room")), loc="left")
    return sheet.finish(theme, label=told + ".", sort=f"picture run-in-{room}")
