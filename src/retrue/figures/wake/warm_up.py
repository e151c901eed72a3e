"""A warm-up: what was read, the curve it follows with its band, where it settles, the limits."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from retrue.base.formatter import THIN, number
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.wake.drawing import Trace, WarmUpDrawing
from retrue.figures.axes import (
    BLUE,
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
from retrue.figures.letters import wrap
from retrue.figures.wake.named_lines import NamedLine, draw_named

if TYPE_CHECKING:
    from matplotlib.axes import Axes

HIGH = {"phone": 300.0, "wide": 320.0, "paper": 260.0}
PANEL = 130.0  # of each other channel
MOST_PANELS = 3
MOST = 500  # points drawn of one channel
FAR = 4.0  # times what was read: an end farther away is told, not drawn
_DEGREES = THIN + "°C"
_KELVIN = THIN + "K"


def rows(drawing: WarmUpDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers.

    Parameters
    ----------
    drawing : WarmUpDrawing

    Returns
    -------
    tuple of (str, str)

    Examples
    --------
    >>> shown = rows(WarmUpDrawing(minutes=(0.0, 30.0), temperature_c=(20.0, 32.64), room_c=20.0,
    ...                            settles_c=40.0, settles_give_or_take_k=1.5))
    >>> dict(shown)["settles at"].replace(THIN, " ")
    '40.0 °C give or take 1.5 K'
    """
    return tuple(_rows(drawing))


def _rows(drawing: WarmUpDrawing) -> Iterator[tuple[str, str]]:
    if drawing.minutes:
        last = drawing.temperature_c[-1]
        yield say("readings"), number(len(drawing.minutes))
        yield (
            say("last reading"),
            say("{value} at minute {minute}", value=_c(last), minute=_minute(drawing.minutes[-1])),
        )
        if drawing.room_c is not None:
            yield say("over the room"), number(last - drawing.room_c, 1, signed=True) + _KELVIN
    yield say("settles at"), _settles(drawing)
    if drawing.settles_minutes is not None:
        yield say("as good as there at minute"), _minute(drawing.settles_minutes)
    if drawing.expected_high_c is not None:
        yield say("expected up to"), _c(drawing.expected_high_c)
    if drawing.abort_c is not None:
        yield say("stop over"), _c(drawing.abort_c)
    for minute, word in drawing.called:
        yield word, say("at minute {minute}", minute=_minute(minute))
    for start, end in drawing.gaps:
        yield (
            say("no reading"),
            say("from minute {start} to {end}", start=_minute(start), end=_minute(end)),
        )
    for one in drawing.others:
        if one.values:
            yield one.name, number(one.values[-1], _digits(one)) + THIN + _unit(one)


def draw(drawing: WarmUpDrawing, *, theme: Theme, room: Room) -> str:
    """Draw a warm-up: dots were read, the brass curve is what they follow.

    Parameters
    ----------
    drawing : WarmUpDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``.

    Raises
    ------
    Unusable
        Nothing was read: a picture without numbers is none.
    """
    if not drawing.minutes:
        raise Unusable(
            say("nothing was read yet, so there is nothing to draw"),
            remedy=say("Read the temperature once before the start."),
        )
    others = [one for one in drawing.others if one.values][:MOST_PANELS]
    sheet = Sheet(room, high=HIGH[room] + PANEL * len(others), rows=1 + len(others))
    grid = sheet.axes.get_gridspec()
    if grid is not None:
        grid.set_height_ratios([HIGH[room], *[PANEL] * len(others)])
    _temperature(sheet, drawing)
    for axes, one in zip(sheet.panels[1:], others, strict=True):
        _channel(axes, one, sheet.size, sheet.wide - 70)
    told = "; ".join(map(str, (*_calls(drawing), _title(drawing))))
    lines = wrap(told, sheet.wide - 70, sheet.size)
    sheet.axes.set_title(caption("\n".join(lines)), loc="left")
    below = say("minutes; dots read, curve fitted") if drawing.fit_c else say("minutes; dots read")
    sheet.panels[-1].set_xlabel(caption(below))
    return sheet.finish(theme, label=told + ".", sort=f"picture warm-up-{room}")


def _temperature(sheet: Sheet, drawing: WarmUpDrawing) -> None:
    axes = sheet.axes
    step = max(1, len(drawing.minutes) // MOST)
    minutes, read = np.array(drawing.minutes[::step]), np.array(drawing.temperature_c[::step])
    if drawing.fit_c:
        if drawing.fit_low_c and drawing.fit_high_c:
            axes.fill_between(drawing.fit_minutes, drawing.fit_low_c, drawing.fit_high_c,
                              color=BRASS_TINT, linewidth=0)  # fmt: skip
        axes.plot(drawing.fit_minutes, drawing.fit_c, color=BRASS, linewidth=1.6, zorder=2.6)
    axes.plot(minutes, read, "o", color=BLUE, markersize=4.5 if len(minutes) <= 60 else 2.6,
              zorder=3)  # fmt: skip
    first, last = min(0.0, float(minutes[0])), _last_minute(drawing)
    axes.set_xlim(first, last + 0.02 * (last - first))
    lines = list(_lines(drawing))
    values = [*read, *drawing.fit_low_c, *drawing.fit_high_c, *(one.value for one in lines)]
    low, high = float(min(values)), float(max(values))
    room = max(high - low, 2.0)
    axes.set_ylim(low - 0.08 * room, high + 0.16 * room)
    draw_named(axes, lines)
    _settled(axes, drawing)
    _marks(axes, drawing)
    axes.set_ylabel(caption(say("{what}, °C", what=drawing.what or say("temperature"))))


def _last_minute(drawing: WarmUpDrawing) -> float:
    """What was read, its curve, and where that settles, unless that is far away."""
    read = max(drawing.minutes[-1], drawing.minutes[0] + 1.0)
    curve = max(drawing.fit_minutes, default=read)
    settled = drawing.settles_minutes
    near = settled is not None and settled <= FAR * read
    return max(read, curve, settled if near and settled is not None else read)


def _lines(drawing: WarmUpDrawing) -> Iterator[NamedLine]:
    """Limits in ink, the end of the warm-up in brass, the room in soft ink."""
    if drawing.abort_c is not None:
        yield NamedLine(drawing.abort_c, say("stop over {c}", c=_c(drawing.abort_c)), INK)
    if drawing.expected_high_c is not None:
        text = say("expected up to {c}", c=_c(drawing.expected_high_c))
        yield NamedLine(drawing.expected_high_c, text, INK, "--", above=False)
    if drawing.settles_c is not None:
        yield NamedLine(drawing.settles_c, colour=BRASS, dash=":")  # the title says it
    if drawing.room_c is not None:
        text = say("room {c}", c=_c(drawing.room_c))
        yield NamedLine(drawing.room_c, text, SOFT, ":", right=True)


def _settled(axes: Axes, drawing: WarmUpDrawing) -> None:
    """The end of the curve with its doubt, as a bar at the moment it is as good as there."""
    at = drawing.settles_minutes
    if drawing.settles_c is None or at is None or at > _last_minute(drawing):
        return
    off = drawing.settles_give_or_take_k
    axes.errorbar([at], [drawing.settles_c],
                  yerr=None if off is None else [off], color=BRASS, marker="D", markersize=6,
                  capsize=5, linewidth=1.6, clip_on=False, zorder=6)  # fmt: skip


def _marks(axes: Axes, drawing: WarmUpDrawing) -> None:
    low, high = axes.get_ylim()
    for start, end in drawing.gaps:
        axes.axvspan(start, end, facecolor="none", edgecolor=LINE, hatch="///", linewidth=0.6,
                     zorder=0)  # fmt: skip
        axes.annotate(
            caption(say("no reading")), ((start + end) / 2, low), xytext=(0, 20),
            textcoords="offset points", ha="center", color=INK,
            bbox={"facecolor": SHEET, "edgecolor": "none", "pad": 0.8},
        )  # fmt: skip
    for minute, word in drawing.called:
        axes.axvline(minute, color=INK, linewidth=2.2, zorder=2.2)
        left = minute > sum(axes.get_xlim()) / 2
        axes.annotate(
            caption(word), (minute, high), xytext=(-5 if left else 5, -2),
            textcoords="offset points", ha="right" if left else "left", va="top", color=INK,
            fontweight="bold",
        )  # fmt: skip


def _channel(axes: Axes, one: Trace, size: float, wide: float) -> None:
    """Another channel below over the same minutes: its band as dashes, its limits as lines."""
    step = max(1, len(one.values) // MOST)
    axes.plot(one.minutes[::step], one.values[::step], color=BLUE, marker="o",
              markersize=3 if len(one.values) <= 60 else 0, linewidth=1.2)  # fmt: skip
    limits = [
        (value, dash)
        for value, dash in (
            (one.expected_low, "--"), (one.expected_high, "--"), (one.abort_low, "-"),
            (one.abort_high, "-"),
        )
        if value is not None
    ]  # fmt: skip
    values = [*one.values, *(value for value, _ in limits)]
    room = max(max(values) - min(values), 0.1 * abs(max(values, key=abs)), 1e-6)
    axes.set_ylim(min(values) - 0.1 * room, max(values) + 0.12 * room)
    draw_named(axes, [NamedLine(value, colour=INK, dash=dash) for value, dash in limits])
    axes.locator_params(axis="y", nbins=3)
    axes.set_title(
        caption("\n".join(wrap(_band_words(one), wide, size))), loc="left", fontsize=size
    )


def _band_words(one: Trace) -> str:
    told = [say("{name}, {unit}", name=one.name, unit=_unit(one))]
    low, high = one.expected_low, one.expected_high
    digits = _digits(one)
    if low is not None and high is not None:
        told.append(say("expected {low} to {high}", low=number(low, digits),
                        high=number(high, digits)))  # fmt: skip
    elif high is not None:
        told.append(say("expected up to {high}", high=number(high, digits)))
    elif low is not None:
        told.append(say("expected {low} or more", low=number(low, digits)))
    if one.abort_low is not None:
        told.append(say("stop under {low}", low=number(one.abort_low, digits)))
    if one.abort_high is not None:
        told.append(say("stop over {high}", high=number(one.abort_high, digits)))
    return "; ".join(map(str, told))


def _unit(one: Trace) -> str:
    return "°C" if one.unit == "C" else one.unit


def _calls(drawing: WarmUpDrawing) -> Iterator[str]:
    for minute, word in drawing.called:
        yield say("{word} at minute {minute}", word=word, minute=_minute(minute))


def _title(drawing: WarmUpDrawing) -> str:
    if drawing.settles_c is None:
        return say("where it settles cannot be told yet")
    if drawing.abort_c is not None and drawing.settles_c > drawing.abort_c:
        return say("it would settle at {told}: over the stop limit", told=_settles(drawing))
    if drawing.settles_minutes is None:
        return say("settles at {told}", told=_settles(drawing))
    return say("settles at {told}, at minute {minute}", told=_settles(drawing),
               minute=_minute(drawing.settles_minutes))  # fmt: skip


def _settles(drawing: WarmUpDrawing) -> str:
    if drawing.settles_c is None:
        return say("cannot be told yet")
    if drawing.settles_give_or_take_k is None:
        return _c(drawing.settles_c)
    return say("{value} give or take {off}", value=_c(drawing.settles_c),
               off=number(drawing.settles_give_or_take_k, 1) + _KELVIN)  # fmt: skip


def _digits(one: Trace) -> int:
    most = max(map(abs, one.values), default=0.0)
    return 0 if most >= 100 else 1 if most >= 10 else 2


def _c(value: float) -> str:
    return number(value, 1) + _DEGREES


def _minute(value: float) -> str:
    return number(value, 0 if abs(value - round(value)) < 0.05 else 1)
