"""Whether a temperature is still read from the machine: a sensor that fell off is no reading."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from retrue.science.watch_series import Series

COOLS_MINUTES = 8.0  # no running mass gives up its heat with a shorter time constant
SLOWER = 3.0  # what was doubted once is believed again only where it comes back
LEAST_K, NOISE_TIMES = 1.0, 5.0
UNDER_ROOM_K, COLD_START_K = 2.0, 15.0  # a casting may be as far under a room that was heated
LOGGED_FLAT_S, FLAT_S, COARSE_FLAT_S = 600.0, 1200.0, 3600.0
FLAT_READINGS, LOGGED_READINGS = 6, 30
COARSE_K = 0.5
SELDOM_S = 45.0  # typed: a person reads a round number and writes it again


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why the newest readings of a sensor are not believed.

    Attributes
    ----------
    code : str
        ``sensor_off``, ``under_room`` or ``sensor_flat``.
    value : float
        What it reads; of a flat one, for how many minutes it has read the same.
    since_s : float
        When it was last believed; later than now where it only holds yet.
    holds_only : bool
        It may be well: it holds, and never counts as no reading.
    """

    code: str
    value: float
    since_s: float
    holds_only: bool = False


def believed(
    series: Series, *, begun_s: float, room_c: float, silence_s: float
) -> tuple[Series, Doubt | None]:
    """Tell readings of a running mass from those of a sensor that is off it.

    Parameters
    ----------
    series : Series
        Cleaned, of a part that turns or sits beside what turns.
    begun_s : float
        When it began to turn.
    room_c : float
        NaN where nobody has read it.
    silence_s : float
        After so long without a believed reading the next believed one comes too late to help.

    Returns
    -------
    Series, Doubt or None
        The believed readings since then; None where the newest is believed.

    References
    ----------
    Newton's law of cooling, a lumped mass; the shortest time constant is judgement, no source.

    Examples
    --------
    >>> from retrue.science.watch_limits import channel
    >>> from retrue.science.watch_series import clean
    >>> at, seen = [0, 60, 120, 180, 240, 300], [21, 29, 31, 33, 21, 21]
    >>> found, doubt = believed(clean(at, seen, 300, channel("nose")), begun_s=0, room_c=21.0,
    ...                         silence_s=360)
    >>> found.values.tolist(), doubt.code, doubt.since_s
    ([21.0, 29.0, 31.0, 33.0], 'sensor_off', 180.0)
    """
    near = series.since(begun_s)
    if len(near) == 0:
        return near, None
    margin = max(LEAST_K, NOISE_TIMES * near.sd)
    seconds, values = near.seconds.tolist(), near.values.tolist()
    room = room_c if math.isfinite(room_c) else values[0] - 5.0
    floor = min(values[0], room) - max(UNDER_ROOM_K, margin)
    if math.isfinite(room_c):
        floor = max(floor, room - COLD_START_K)
    kept: list[int] = []
    code, doubted_s = "", math.inf
    for place, (at, value) in enumerate(zip(seconds, values, strict=True)):
        code = "under_room" if value < floor else ""
        if kept and not code:
            middle = sorted(kept[-3:], key=lambda one: values[one])[len(kept[-3:]) // 2]
            free = min(at, doubted_s) - seconds[middle]
            passed = free + max(at - doubted_s, 0.0) / SLOWER
            cools = 1.0 - math.exp(-min(passed, silence_s) / 60.0 / COOLS_MINUTES)
            least = values[middle] - max(values[middle] - room, 0.0) * cools
            code = "sensor_off" if value < least - margin else ""
        doubted_s = min(doubted_s, at) if code else math.inf
        if not code:
            kept.append(place)
    found = replace(near, seconds=near.seconds[kept], values=near.values[kept])
    since = float(found.seconds[-1]) if kept else begun_s
    if code:
        return found, Doubt(code, values[-1], since)
    return found, _flat(near)


def _flat(near: Series) -> Doubt | None:
    """Exactly the same for long: nothing that turns is as steady, unless it is read coarsely."""
    last, same = near.last_s, near.same_s
    before = near.values[near.seconds < same]
    coarse = len(set(before.tolist())) > 2 and _coarse(before.tolist())
    limit = COARSE_FLAT_S if coarse else FLAT_S
    logged = near.same_readings >= LOGGED_READINGS and near.every_s < SELDOM_S
    holds = min(limit, LOGGED_FLAT_S) if logged and not coarse else limit
    if near.same_readings < FLAT_READINGS or last - same < holds:
        return None
    return Doubt("sensor_flat", (last - same) / 60.0, same + limit, holds_only=not logged)


def _coarse(values: list[float]) -> bool:
    return all(abs(one / COARSE_K - round(one / COARSE_K)) < 1e-6 for one in values)
