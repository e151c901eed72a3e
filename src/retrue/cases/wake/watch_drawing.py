"""A watch as its picture: the temperature that is watched, the curve it follows, the others."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from retrue.cases.wake.drawing import Trace, WarmUpDrawing
from retrue.cases.wake.watch_plan import WatchPlan
from retrue.cases.wake.watch_view import Called, Watched
from retrue.cases.wake.watch_words import WORDS, part
from retrue.science.watch_limits import CHANNELS, Bounds

DRAWN = 600  # points of one channel; a longer one is thinned for its picture, never for a call
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
    main = made.main or next((name for name in HEAT if name in series), None)
    if main is None:
        return None
    minutes, values = _parted(series[main])
    bounds = plan.channels.get(main, Bounds())
    room_c = series["room"][-1][1] if "room" in series else plan.room_c
    settled = made.settles_at
    return WarmUpDrawing(
        minutes=minutes, temperature_c=values, fit_minutes=tuple(at for at, _ in made.curve),
        fit_c=tuple(value for _, value in made.curve),
        settles_c=made.settles_c, settles_give_or_take_k=made.settles_give_or_take_k,
        settles_minutes=None if settled is None else _minute(settled, begun),
        room_c=room_c,
        expected_high_c=_nearest(bounds.expected_high, bounds.expected_rise_kelvin, room_c),
        abort_c=_nearest(bounds.abort_high, bounds.abort_rise_kelvin, room_c),
        called=tuple((_minute(one.at, begun), WORDS[one.call]) for one in called),
        gaps=tuple((_minute(a, begun), _minute(b, begun)) for a, b in made.gaps),
        others=tuple(_trace(name, series[name], plan) for name in series
                     if name not in (main, "room") and len(series[name]) > 1),
        what=part(main),
    )  # fmt: skip


def _minute(at: datetime, begun: datetime) -> float:
    return (at - begun).total_seconds() / 60.0


def _nearest(value: float | None, rise: float | None, room_c: float | None) -> float | None:
    """The nearer of a limit and of a limit over the room."""
    over = None if rise is None or room_c is None else room_c + rise
    return min((one for one in (value, over) if one is not None), default=None)


def _parted(rows: Sequence[tuple[float, float]]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Minutes and values, thinned; the last reading stays."""
    thin = [*rows[:: max(1, -(-len(rows) // DRAWN))]]
    if thin[-1] != rows[-1]:
        thin.append(rows[-1])
    return tuple(minute for minute, _ in thin), tuple(value for _, value in thin)


def _trace(name: str, rows: Sequence[tuple[float, float]], plan: WatchPlan) -> Trace:
    minutes, values = _parted(rows)
    bounds = plan.channels.get(name, Bounds())
    return Trace(
        name=part(name), unit=CHANNELS[name.partition(":")[0]].unit, minutes=minutes, values=values,
        expected_low=bounds.expected_low, expected_high=bounds.expected_high,
        abort_low=bounds.abort_low,
        abort_high=bounds.abort_high if bounds.ceiling_c is None else bounds.ceiling_c,
    )  # fmt: skip
