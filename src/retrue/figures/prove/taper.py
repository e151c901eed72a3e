"""Run-out as vectors: readings round the spindle's own, nose and far end side by side."""

from __future__ import annotations

import math

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.said import amount
from retrue.cases.prove.taper import TaperDrawing, VectorPlace
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Anchor, Theme, line, path, plain, svg, words
from retrue.figures.letters import wrap
from retrue.figures.prove.labels import Labels

REACH = 104.0  # the longest vector on the drawing
HEAD = 44.0  # room for the words over a plan


def draw(drawing: TaperDrawing, *, theme: Theme, room: Room) -> str:
    """Draw run-out vectors.

    Parameters
    ----------
    drawing : TaperDrawing
        Of a proof.
    theme : Theme
        Colours of page or paper.
    room : "phone", "wide" or "paper"
        How much room there is; a phone has the plans one above the other.

    Returns
    -------
    str
        One ``<svg>``.
    """
    wide = WIDTHS[room]
    size = 12.0 if room == "phone" else 13.0
    beside = room != "phone"
    scale = _scale(drawing)
    high_of_plans = (2 * REACH + HEAD + 36) * (1 if beside else len(drawing.places))
    labels = Labels(wide, high_of_plans, size, theme)
    parts: list[str] = []
    for number_of, place in enumerate(drawing.places):
        x = wide * (0.25 + 0.5 * number_of) if beside and len(drawing.places) > 1 else wide / 2
        y = HEAD + REACH + 10 + (0 if beside else number_of * (2 * REACH + HEAD + 36))
        parts += _plan(place, x, y, scale, theme, labels)
    top = high_of_plans + 4
    told = _words(drawing, scale)
    colours = (theme.ink, theme.brass, theme.blue, theme.soft)
    below: list[str] = []
    for text, colour in zip(told, colours, strict=True):
        for piece in wrap(text, wide - 24, size):
            below.append(words(12, top, piece, theme, size=size, colour=colour))
            top += size * 1.4
        top += 3
    return svg(
        [*parts, *labels.parts, *below], size=(wide, top), label=told[0], sort="picture taper"
    )


def _scale(drawing: TaperDrawing) -> float:
    """Drawing units for a micrometre: a plain number times a power of ten."""
    sizes = [math.hypot(*one) for place in drawing.places for one in place.read]
    for place in drawing.places:
        if place.spindle is not None and place.bar is not None:
            sizes.append(math.hypot(*place.spindle) + math.hypot(*place.bar))
    room = REACH / max([*sizes, 0.05])
    power = 10.0 ** math.floor(math.log10(room))
    return max(step * power for step in (1, 1.5, 2, 3, 4, 5, 6, 8) if step * power <= room)


def _plan(
    place: VectorPlace, x: float, y: float, scale: float, theme: Theme, labels: Labels
) -> list[str]:
    far = REACH + 8
    title = say("{z} from the nose", z=amount(place.z, "mm", 0))
    if place.spindle is not None:
        own = amount(2 * math.hypot(*place.spindle), "µm")
        labels.put(
            (say("spindle {size}", size=own),), ((x, y - REACH - 12, "middle"),), colour=theme.brass
        )
    labels.put((title,), ((x, y - REACH - 28, "middle"),), bold=True)
    parts = [line(x - far, y, x + far, y, theme.line), line(x, y - far, x, y + far, theme.line)]
    labels.put((say("0°"),), ((x + far, y - 6, "end"),), colour=theme.soft)
    labels.put((say("90°"),), ((x + 5, y - far + 6, "start"),), colour=theme.soft)

    def spot(vector: tuple[float, float]) -> tuple[float, float]:
        return x + vector[0] * scale, y - vector[1] * scale

    if place.spindle is not None and place.bar is not None:
        centre = spot(place.spindle)
        parts.append(_ring(*centre, math.hypot(*place.bar) * scale, theme.brass))
        parts += _arrow(x, y, *centre, theme.brass)
        labels.keep_free(*centre, 5)
    for vector in place.read:
        dot = spot(vector)
        parts.append(line(x, y, *dot, theme.blue, thick=0.8))
        parts.append(
            f'<circle cx="{plain(dot[0])}" cy="{plain(dot[1])}" r="4" fill="{theme.blue}"/>'
        )
        labels.keep_free(*dot, 5)
    for vector, turn in zip(place.read, place.insertions, strict=True):
        text = say("in at {turn}°", turn=number(turn))
        labels.put((text,), _round(*spot(vector), 9), colour=theme.blue)
    return parts


def _round(x: float, y: float, off: float) -> tuple[tuple[float, float, Anchor], ...]:
    """Places for a label round a mark, nearest first."""
    return (
        (x + off, y + 4, "start"),
        (x - off, y + 4, "end"),
        (x, y - off, "middle"),
        (x, y + off + 9, "middle"),
        (x + off, y + 18, "start"),
        (x - off, y + 18, "end"),
        (x + off, y - 12, "start"),
        (x - off, y - 12, "end"),
    )


def _ring(x: float, y: float, radius: float, stroke: str) -> str:
    return (
        f'<circle cx="{plain(x)}" cy="{plain(y)}" r="{plain(radius)}" fill="none" '
        f'stroke="{stroke}" stroke-width="1.2" stroke-dasharray="6 3"/>'
    )


def _arrow(x1: float, y1: float, x2: float, y2: float, stroke: str) -> list[str]:
    angle = math.atan2(y2 - y1, x2 - x1)
    head = min(10.0, math.hypot(x2 - x1, y2 - y1) / 2)
    ends = [
        (x2 - head * math.cos(angle + side), y2 - head * math.sin(angle + side))
        for side in (-0.4, 0.4)
    ]
    shape = f"M{plain(x2)} {plain(y2)}" + "".join(f"L{plain(u)} {plain(v)}" for u, v in ends) + "Z"
    return [line(x1, y1, x2, y2, stroke, thick=2.4), path(shape, fill=stroke, stroke=stroke)]


def _words(drawing: TaperDrawing, scale: float) -> tuple[str, str, str, str]:
    nose = drawing.places[0]
    if nose.spindle is None:
        first = say("Run-out of spindle and bar together; one insertion cannot part them.")
        second = say("Put the bar in turned by half a turn, and the spindle's own shows.")
    else:
        run_out = amount(2 * math.hypot(*nose.spindle), "µm")
        if drawing.doubt is not None:
            run_out = say(
                "{value}, give or take {doubt}", value=run_out, doubt=number(drawing.doubt, 1)
            )
        first = say("The spindle itself runs out {run_out} at the nose.", run_out=run_out)
        second = say("Thick arrow: half of the spindle's run-out, towards its high spot. Ring: "
                     "where the bar's own can carry a reading.")  # fmt: skip
    return (
        first,
        second,
        say("Dots: half of each run-out as read, towards its high spot."),
        say("1 µm is drawn as {units} mm.", units=number(scale * 25.4 / 96, 1)),
    )
