"""A watch as its picture: the temperature that is watched, the curve it follows, the others."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from retrue.base.refusals import Unusable
from retrue.cases.wake.drawing import Trace, WarmUpDrawing
from retrue.cases.wake.watch_plan import WatchPlan
from retrue.cases.wake.watch_view import Called, Watched
from retrue.cases.wake.watch_words import WORDS, part
from retrue.science.warm_up import fit
from retrue.science.watch_limits import CHANNELS

AHEAD = 1.4  # the curve reaches that many times as far as the readings
FITTED = 400  # readings that the curve is drawn by, evenly taken
POINTS = 80  # of the curve
HEAT = ("nose", "housing", "motor_case", "winding", "cabinet")  # the first that was read is drawn


def drawing_of(
    made: Watched, plan: WatchPlan, begun: datetime, called: Sequence[Called] = ()
) -> WarmUpDrawing | None:
    """What the picture of a watch shows.

    Parameters
    ----------
    made : Watched
        As it stands.
    plan : WatchPlan
        As it was written before the start.
    begun : datetime
        Minute 0.
    called : sequence of Called
        Calls that were kept.

    Returns
    -------
    WarmUpDrawing or None
        None where no temperature was read.

    Examples
    --------
    >>> from datetime import UTC
    >>> began = datetime(2026, 11, 26, 20, tzinfo=UTC)
    >>> rows = tuple((began.replace(minute=m), "nose", 21.0 + m) for m in (0, 5, 10))
    >>> shown = drawing_of(Watched(call="go", words="Go on", rows=rows), WatchPlan(), began)
    >>> shown.minutes, shown.temperature_c
    ((0.0, 5.0, 10.0), (21.0, 26.0, 31.0))
    """
    series: dict[str, list[tuple[float, float]]] = {}
    for at, name, value in made.rows:
        series.setdefault(name, []).append(((at - begun).total_seconds() / 60.0, value))
    main = next((name for name in HEAT if name in series), None)
    if main is None:
        return None
    minutes, values = _parted(series[main])
    curve_minutes, curve_c = _curve(minutes, values)
    bounds = plan.channels.get(main)
    settled = made.settles_at
    return WarmUpDrawing(
        minutes=minutes, temperature_c=values, fit_minutes=curve_minutes, fit_c=curve_c,
        settles_c=made.settles_c, settles_give_or_take_k=made.settles_give_or_take_k,
        settles_minutes=None if settled is None else _minute(settled, begun),
        room_c=series["room"][-1][1] if "room" in series else plan.room_c,
        expected_high_c=bounds.expected_high if bounds else None,
        abort_c=bounds.abort_high if bounds else None,
        called=tuple((_minute(one.at, begun), WORDS[one.call]) for one in called),
        gaps=tuple((_minute(a, begun), _minute(b, begun)) for a, b in made.gaps),
        others=tuple(_trace(name, series[name], plan) for name in series
                     if name.partition(":")[0] in CHANNELS and name not in (main, "room")),
        what=part(main),
    )  # fmt: skip


def _minute(at: datetime, begun: datetime) -> float:
    return (at - begun).total_seconds() / 60.0


def _parted(rows: Sequence[tuple[float, float]]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    return tuple(minute for minute, _ in rows), tuple(value for _, value in rows)


def _curve(
    minutes: tuple[float, ...], values: tuple[float, ...]
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """The curve through the readings and somewhat ahead; nothing where they do not bend to rest."""
    taken = np.unique(np.linspace(0, len(minutes) - 1, FITTED).round().astype(int))
    try:
        found = fit(np.array(minutes)[taken], np.array(values)[taken])
    except Unusable:
        return (), ()
    if not found.told:
        return (), ()
    at = np.linspace(minutes[0], minutes[0] + AHEAD * (minutes[-1] - minutes[0]), POINTS)
    return tuple(at.tolist()), tuple(found.at(at).tolist())


def _trace(name: str, rows: Sequence[tuple[float, float]], plan: WatchPlan) -> Trace:
    minutes, values = _parted(rows)
    bounds = plan.channels.get(name)
    return Trace(
        name=part(name), unit=CHANNELS[name.partition(":")[0]].unit, minutes=minutes, values=values,
        expected_low=bounds.expected_low if bounds else None,
        expected_high=bounds.expected_high if bounds else None,
        abort_low=bounds.abort_low if bounds else None,
        abort_high=bounds.abort_high if bounds else None,
    )  # fmt: skip
