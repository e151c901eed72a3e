"""Which causes a set of circular paths can tell apart."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from retrue.base.refusals import TooHard
from retrue.base.say import say
from retrue.science.circle import FULL_DEG, Path, arc_deg
from retrue.science.signatures import (
    CORE,
    CYCLIC,
    FURTHER,
    PAIR,
    SIZES,
    SPEEDS,
    SPIKE_RAD,
    SPIKES,
)

Floats = NDArray[np.float64]
LEAST_ARC_DEG = 180.0


def choose(paths: Sequence[Path], pitch_mm: float | None = None) -> tuple[str, ...]:
    """The causes that these paths can tell apart.

    Parameters
    ----------
    paths : sequence of Path
        Of one or several circles.
    pitch_mm : float or None
        Of the two screws; None leaves cyclic errors out.

    Returns
    -------
    tuple of str
        Fitted columns.

    Raises
    ------
    TooHard
        Less than 180 degrees of arc.

    Notes
    -----
    One direction: squareness and lag have one shape, and lateral play looks like radius and
    scale; so the first two are one cause and the last are left out. Causes are added while there
    are twice as many readings as causes. These rules are our own, from the rank of the columns.

    Examples
    --------
    >>> angle = np.radians(np.arange(0.5, 360, 5))
    >>> one = choose([Path(angle, 0 * angle, 1, 100.0)])
    >>> "squareness_or_lag_mismatch" in one, "lag_mismatch" in one
    (True, False)
    """
    arc = max(arc_deg(_angles(paths, circle)) for circle in {p.circle for p in paths})
    if arc < LEAST_ARC_DEG - 1e-6:
        raise TooHard(
            say("the paths cover {arc} degrees of arc", arc=round(arc)),
            remedy=say("Causes can be told apart from 180 degrees on: measure more of the circle."),
        )
    count = sum(len(path.angle_rad) for path in paths)
    ways = {path.direction for path in paths}
    ids = [
        f"{id}@{c}" for c in sorted({p.circle for p in paths}) for id in ("centre_x", "centre_y")
    ]
    ids.append("radius")
    core = tuple(PAIR if id == "squareness" else id for id in CORE if id != "lag_mismatch")
    tiers: list[tuple[str, ...]] = [core if len(ways) == 1 else CORE]
    tiers += [_of_circles(paths)]
    if arc >= FULL_DEG:
        tiers += [FURTHER if len(ways) == 2 else FURTHER[2:]]
        tiers += [SPIKES] if _step(paths) <= SPIKE_RAD / 2 else []
        if pitch_mm and _step(paths) <= pitch_mm / max(p.radius_mm for p in paths) / 4:
            tiers += [CYCLIC]
    for tier in tiers:
        if count >= 2 * (len(ids) + len(tier)):
            ids += tier
    return tuple(ids)


def _of_circles(paths: Sequence[Path]) -> tuple[str, ...]:
    """What several feeds and radii add."""
    feeds = {path.feed_mm_min for path in paths}
    radii = {path.radius_mm for path in paths}
    more: tuple[str, ...] = ()
    if None not in feeds and len(feeds) > 1:
        more += SPEEDS
    return more + SIZES if len(radii) > 1 else more


def _angles(paths: Sequence[Path], circle: int) -> Floats:
    return np.concatenate([p.angle_rad for p in paths if p.circle == circle])


def _step(paths: Sequence[Path]) -> float:
    """The usual step between neighbouring points of the coarsest path, radians."""
    return max(2 * np.pi / max(len(p.angle_rad), 1) for p in paths)
