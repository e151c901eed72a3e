"""A spectrum or envelope spectrum with the lines that were expected, each by its name."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import THIN, number
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.prove.sense_drawing import ExpectedLine, SpectrumDrawing
from retrue.figures.axes import BLUE, BRASS, BRASS_TINT, INK, SHEET, SOFT, Room, Sheet, caption
from retrue.figures.ink import Theme
from retrue.figures.labels import Label, place
from retrue.figures.letters import width, wrap

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Floats = NDArray[np.float64]
HIGH = {"phone": 340.0, "wide": 330.0, "paper": 270.0}
MOST = 900  # points drawn; of more the highest of each stretch
MOST_NAMED = {"phone": 4, "wide": 7, "paper": 6}


def rows(drawing: SpectrumDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers: the highest line, and each expected one with what was found.

    Parameters
    ----------
    drawing : SpectrumDrawing

    Returns
    -------
    tuple of (str, str)

    Examples
    --------
    >>> shown = rows(SpectrumDrawing(frequency_hz=(10.0, 20.0), amplitude=(0.1, 0.4), lines=(
    ...     ExpectedLine(name="outer race", expected_hz=20.2, found_hz=20.0, score_db=12.0),)))
    >>> [value.replace(THIN, " ") for _, value in shown]
    ['0.400 m/s² at 20.0 Hz', 'expected 20.2 Hz, found 20.0 Hz, 12.0 dB over its neighbourhood']
    """
    return tuple(_rows(drawing))


def _rows(drawing: SpectrumDrawing) -> Iterator[tuple[str, str]]:
    if drawing.frequency_hz:
        top = int(np.argmax(drawing.amplitude))
        yield (
            say("highest line"),
            say("{value} at {hz}", value=_amount(drawing.amplitude[top], drawing.unit),
                hz=_hz(drawing.frequency_hz[top])),
        )  # fmt: skip
    if drawing.speed_rpm is not None:
        yield say("speed"), number(drawing.speed_rpm) + THIN + say("rpm")
    for one in drawing.lines:
        yield _name(one), _line_told(one)
    if drawing.conclusion:
        yield say("conclusion"), drawing.conclusion


def _line_told(one: ExpectedLine) -> str:
    told = [say("expected {hz}", hz=_hz(one.expected_hz))]
    if one.low_hz is not None and one.high_hz is not None:
        told.append(say("with slip from {low} to {high}", low=_hz(one.low_hz),
                        high=_hz(one.high_hz)))  # fmt: skip
    if one.found_hz is None:
        told.append(say("not found"))
    else:
        told.append(say("found {hz}", hz=_hz(one.found_hz)))
    if one.score_db is not None:
        told.append(say("{db} over its neighbourhood", db=number(one.score_db, 1) + THIN + "dB"))
    return ", ".join(map(str, told))


def draw(drawing: SpectrumDrawing, *, theme: Theme, room: Room) -> str:
    """Draw a spectrum; where a line was expected stands a brass mark with its name.

    Parameters
    ----------
    drawing : SpectrumDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``.

    Raises
    ------
    Unusable
        It has no line at all: a picture without numbers is none.
    """
    if not drawing.frequency_hz:
        raise Unusable(
            say("the spectrum is empty, so there is nothing to draw"),
            remedy=say("Give a recording of a few seconds."),
        )
    sheet = Sheet(room, high=HIGH[room])
    axes = sheet.axes
    hz, amplitude = _thinned(np.array(drawing.frequency_hz), np.array(drawing.amplitude))
    if drawing.before:
        _, before = _thinned(np.array(drawing.frequency_hz), np.array(drawing.before))
        axes.plot(hz, before, color=SOFT, linewidth=0.9, linestyle=":", zorder=2)
    axes.plot(hz, amplitude, color=BLUE, linewidth=1.0, zorder=3)
    top = float(max(np.max(amplitude), *(drawing.before or (0.0,)))) or 1.0
    axes.set_xlim(float(hz[0]), float(hz[-1]) if len(hz) > 1 else float(hz[0]) + 1)
    axes.set_xlabel(caption(_below(drawing)))
    named = say("amplitude, {unit}", unit=drawing.unit) if drawing.unit else say("amplitude")
    axes.set_ylabel(caption(named))
    axes.set_title(caption("\n".join(wrap(_title(drawing), sheet.wide - 70, sheet.size))),
                   loc="left")  # fmt: skip
    axes.locator_params(axis="x", nbins=5 if room == "phone" else 8)
    _expected(axes, drawing, 1.04 * top)
    _names(sheet, drawing, 1.04 * top)
    return sheet.finish(theme, label=_title(drawing) + ".", sort=f"picture spectrum-{room}")


def _thinned(hz: Floats, amplitude: Floats) -> tuple[Floats, Floats]:
    """At most so many points; of each stretch the highest, so that no line is lost."""
    if len(hz) <= MOST:
        return hz, amplitude
    stretches = np.array_split(np.arange(len(hz)), MOST)
    picked = np.array([part[np.argmax(amplitude[part])] for part in stretches])
    middles = np.array([part[len(part) // 2] for part in stretches])
    return hz[middles], amplitude[picked]


def _chosen(drawing: SpectrumDrawing, room: Room) -> list[ExpectedLine]:
    """Lines that get their names: what the conclusion rests on, then the clearest first orders."""
    low, high = drawing.frequency_hz[0], drawing.frequency_hz[-1]
    inside = [one for one in drawing.lines if one.order == 1 and low <= one.expected_hz <= high]
    inside.sort(key=lambda one: (one.name not in drawing.named, -(one.score_db or -1e9)))
    return inside[: MOST_NAMED[room]]


def _expected(axes: Axes, drawing: SpectrumDrawing, top: float) -> None:
    """Where lines were expected: bands of slip, strokes up to the names, rings where found."""
    for one in drawing.lines:
        if one.low_hz is not None and one.high_hz is not None:
            axes.fill_between([one.low_hz, one.high_hz], 0, top, color=BRASS_TINT, linewidth=0,
                              zorder=0.5)  # fmt: skip
        full = one.name in drawing.named
        axes.plot([one.expected_hz, one.expected_hz], [0, top], color=BRASS, linestyle="--",
                  linewidth=1.6 if full else 0.8, zorder=1)  # fmt: skip
        if one.found_hz is not None:
            height = float(np.interp(one.found_hz, drawing.frequency_hz, drawing.amplitude))
            axes.plot([one.found_hz], [height], "o", color=INK, markerfacecolor="none",
                      markersize=7, zorder=4)  # fmt: skip


def _names(sheet: Sheet, drawing: SpectrumDrawing, top: float) -> None:
    """Names above the spectrum, none over another, each with a thin leader to its stroke."""
    named, axes = _chosen(drawing, sheet.room), sheet.axes
    if not named:
        axes.set_ylim(0, top)
        return
    sheet.figure.draw_without_rendering()
    box = axes.get_window_extent()
    first, last = axes.get_xlim()
    scale = box.width / (last - first)  # drawing units per hertz
    texts = [(_name(one), _hz(one.expected_hz)) for one in named]
    wishes = [
        Label((one.expected_hz - first) * scale, max(width(t, sheet.size) for t in lines), rank)
        for rank, (one, lines) in enumerate(zip(named, texts, strict=True))
    ]
    spots = place(wishes, 8.0, box.width + 6)
    row = 2 * 1.22 * sheet.size + 4
    levels = max(spot.row for spot in spots) + 1
    body = max(box.height - levels * row - 12, 0.3 * box.height)
    unit = top / body  # of the amplitude, per drawing unit
    axes.set_ylim(0, unit * box.height)
    for one, lines, spot in zip(named, texts, spots, strict=True):
        colour = INK if one.name in drawing.named else BRASS
        low = top + unit * (12 + spot.row * row)
        x = first + spot.x / scale
        axes.plot([one.expected_hz, x], [top, low], color=colour, linewidth=0.8, zorder=1,
                  clip_on=False)  # fmt: skip
        axes.annotate(
            caption("\n".join(lines)), (x, low), ha="center", va="bottom", color=colour,
            bbox={"facecolor": SHEET, "edgecolor": "none", "pad": 0.3}, zorder=5,
            annotation_clip=False,
        )  # fmt: skip


def _name(one: ExpectedLine) -> str:
    if one.order == 1:
        return one.name
    return say("{name}, {order} times", name=one.name, order=one.order)


def _below(drawing: SpectrumDrawing) -> str:
    if drawing.before:
        return say("Hz; line now, dots own baseline, dashes expected")
    return say("Hz; line measured, dashes expected") if drawing.lines else say("Hz")


def _title(drawing: SpectrumDrawing) -> str:
    what = say("envelope spectrum") if drawing.sort == "envelope" else say("spectrum")
    where = say("{what}, {point}", what=what, point=drawing.point) if drawing.point else what
    return f"{where}: {drawing.conclusion}" if drawing.conclusion else where


def _amount(value: float, unit: str) -> str:
    digits = 0 if value >= 100 else 1 if value >= 10 else 2 if value >= 1 else 3
    return number(value, digits) + THIN + unit


def _hz(value: float) -> str:
    return number(value, 1 if value < 1000 else 0) + THIN + "Hz"
