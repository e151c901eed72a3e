"""Octave and third-octave bands of a sound, before and after."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from retrue.base.formatter import THIN, number
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.prove.sense_drawing import BandLevels, BandsDrawing
from retrue.figures.axes import BLUE, BLUE_TINT, INK, LINE, Room, Sheet, caption
from retrue.figures.ink import Theme

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

HIGH = {"phone": 320.0, "wide": 320.0, "paper": 270.0}
OCTAVES = (16.0, 31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16000.0)
NARROW = (31.5, 125.0, 500.0, 2000.0, 8000.0)  # named on a phone


def rows(drawing: BandsDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers: the whole level, then each band; of two the difference as well.

    Parameters
    ----------
    drawing : BandsDrawing

    Returns
    -------
    tuple of (str, str)

    Examples
    --------
    >>> shown = rows(BandsDrawing(nominal_hz=(125.0, 1000.0), series=(
    ...     BandLevels(name="before", level_db=(80.0, 70.0), level_a_db=71.5),
    ...     BandLevels(name="after", level_db=(72.0, None)))))
    >>> shown[1][0].replace(THIN, " "), shown[1][1].replace(THIN, " ")
    ('125 Hz', 'before 80.0 dB, after 72.0 dB, −8.0 dB')
    """
    return tuple(_rows(drawing))


def _rows(drawing: BandsDrawing) -> Iterator[tuple[str, str]]:
    whole = [one.level_a_db for one in drawing.series]
    if any(level is not None for level in whole):
        yield say("all bands together, A-weighted"), _told(drawing.series, whole, "dB(A)")
    for place, hz in enumerate(drawing.nominal_hz):
        levels = [one.level_db[place] for one in drawing.series]
        yield _hz(hz), _told(drawing.series, levels, _unit(drawing))


def table(drawing: BandsDrawing) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """The same numbers in columns: band, one column for each recording, the difference of two.

    Parameters
    ----------
    drawing : BandsDrawing

    Returns
    -------
    (tuple of str, tuple of tuple of str)
        Heads of the columns with their unit, and the rows.

    Examples
    --------
    >>> heads, lines = table(BandsDrawing(nominal_hz=(125.0,), series=(
    ...     BandLevels(name="before", level_db=(80.0,)), BandLevels(name="after",
    ...     level_db=(72.0,)))))
    >>> heads, lines
    (('band, Hz', 'before, dB', 'after, dB', 'difference, dB'), (('125', '80.0', '72.0', '−8.0'),))
    """
    unit = _unit(drawing)
    named = [say("{name}, {unit}", name=one.name, unit=unit) for one in drawing.series]
    two = len(drawing.series) == 2
    heads = (say("band, Hz"), *named, *([say("difference, dB")] if two else []))
    lines = []
    for place, hz in enumerate(drawing.nominal_hz):
        levels = [one.level_db[place] for one in drawing.series]
        lines.append((number(hz, _digits(hz)), *map(_bare, levels),
                      *([_difference(levels)] if two else [])))  # fmt: skip
    return heads, tuple(lines)


def _bare(level: float | None) -> str:
    return "\u2013" if level is None else number(level, 1)


def _difference(levels: Sequence[float | None]) -> str:
    before, after = levels
    if before is None or after is None:
        return "\u2013"
    return number(after - before, 1, signed=True)


def _told(series: Sequence[BandLevels], levels: Sequence[float | None], unit: str) -> str:
    told = [
        " ".join(map(str, (one.name, _level(level, unit))))
        for one, level in zip(series, levels, strict=True)
    ]
    if len(levels) == 2 and levels[0] is not None and levels[1] is not None:
        told.append(number(levels[1] - levels[0], 1, signed=True) + THIN + "dB")
    return ", ".join(map(str, told))


def _level(level: float | None, unit: str) -> str:
    return say("none") if level is None else number(level, 1) + THIN + unit


def draw(drawing: BandsDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the bands: the last recording filled, what was before as a dashed outline.

    Parameters
    ----------
    drawing : BandsDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``.

    Raises
    ------
    Unusable
        No band has a level: a picture without numbers is none.
    """
    levels = [level for one in drawing.series for level in one.level_db if level is not None]
    if not levels:
        raise Unusable(
            say("no band has a level, so there is nothing to draw"),
            remedy=say("Give a recording of a few seconds."),
        )
    sheet = Sheet(room, high=HIGH[room])
    axes = sheet.axes
    floor = 10.0 * math.floor((min(levels) - 1) / 10)
    axes.set_ylim(floor, max(levels) + 4)
    axes.grid(axis="y", color=LINE)
    axes.set_axisbelow(True)
    for one in drawing.series[:-1]:
        _outline(axes, one.level_db, floor, solid=False)
    last = drawing.series[-1].level_db
    places = np.arange(len(last))
    tops = np.array([floor if level is None else level for level in last])
    axes.bar(places, tops - floor, bottom=floor, width=1.0, color=BLUE_TINT, linewidth=0)
    _outline(axes, last, floor, solid=True)
    _ticks(axes, drawing, room)
    axes.set_xlabel(caption(say("third-octave band, Hz") if drawing.thirds
                            else say("octave band, Hz")))  # fmt: skip
    axes.set_ylabel(caption(_axis(drawing)))
    sheet.figure.legend(
        handles=_named(drawing), loc="outside upper left", ncols=1 if room == "phone" else 2,
        frameon=False, fontsize=sheet.size, handlelength=1.8, borderaxespad=0.2,
    )  # fmt: skip
    return sheet.finish(theme, label=_label(drawing), sort=f"picture bands-{room}")


def _outline(axes: Axes, levels: Sequence[float | None], floor: float, *, solid: bool) -> None:
    tops = [floor if level is None else level for level in levels]
    edges = np.arange(len(tops) + 1) - 0.5
    axes.stairs(tops, edges, baseline=floor, color=BLUE if solid else INK,
                linewidth=1.3 if solid else 1.5, linestyle="-" if solid else "--",
                zorder=3)  # fmt: skip


def _ticks(axes: Axes, drawing: BandsDrawing, room: Room) -> None:
    """Octaves are named; on a phone every second one."""
    named = NARROW if room == "phone" else OCTAVES
    places = [n for n, hz in enumerate(drawing.nominal_hz) if hz in named]
    if not places:
        places = list(range(len(drawing.nominal_hz)))
    axes.set_xticks(places, [caption(number(drawing.nominal_hz[n], _digits(drawing.nominal_hz[n])))
                             for n in places])  # fmt: skip
    axes.set_xlim(-0.5, len(drawing.nominal_hz) - 0.5)


def _named(drawing: BandsDrawing) -> list[Line2D | Patch]:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    made: list[Line2D | Patch] = []
    for place, one in enumerate(drawing.series):
        whole = "" if one.level_a_db is None else f": {_level(one.level_a_db, 'dB(A)')}"
        text = caption(one.name + whole)
        if place == len(drawing.series) - 1:
            made.append(Patch(facecolor=BLUE_TINT, edgecolor=BLUE, label=text))
        else:
            made.append(Line2D([], [], color=INK, linestyle="--", linewidth=1.5, label=text))
    return made


def _axis(drawing: BandsDrawing) -> str:
    unit = _unit(drawing)
    return say("level, {unit}", unit=unit) if drawing.calibrated else say(
        "level, {unit}, indicative", unit=unit
    )  # fmt: skip


def _unit(drawing: BandsDrawing) -> str:
    return "dB" if drawing.weighting == "Z" else f"dB({drawing.weighting})"


def _hz(hz: float) -> str:
    return number(hz, _digits(hz)) + THIN + "Hz"


def _digits(hz: float) -> int:
    return 0 if float(hz).is_integer() else 1


def _label(drawing: BandsDrawing) -> str:
    """The picture in one sentence: how much changed, and where most."""
    first, last = drawing.series[0], drawing.series[-1]
    changes = [
        (after - before, hz)
        for hz, before, after in zip(drawing.nominal_hz, first.level_db, last.level_db, strict=True)
        if before is not None and after is not None
    ]
    if len(drawing.series) < 2 or not changes:
        pairs = zip(last.level_db, drawing.nominal_hz, strict=True)
        level, hz = max((level, hz) for level, hz in pairs if level is not None)
        return say("Loudest band {hz}, {level}.", hz=_hz(hz), level=_level(level, _unit(drawing)))
    change, hz = max(changes, key=lambda pair: abs(pair[0]))
    told = number(change, 1, signed=True) + THIN + "dB"
    return say("Most changed at {hz}: {change}.", hz=_hz(hz), change=told)
