"""Light on the work: how much, how even, how many lamps."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say

MARK = "from memory, unverified"
SECOND = "secondary source, unverified"


@dataclass(frozen=True, slots=True)
class Need:
    """What a task needs: mean on the work in lux, least over mean, and how sure that is."""

    task: str
    title: str
    mean_lux: float
    uniformity: float
    standard: str
    mark: str  # of the mean
    uniformity_mark: str = MARK


NEEDS: dict[str, Need] = {
    one.task: one
    for one in (
        Need("rough", "rough and medium machining, tolerance 0.1 mm and over", 300, 0.6,
             "EN 12464-1", SECOND),
        Need("fine", "fine machining and grinding, tolerance under 0.1 mm", 500, 0.7,
             "EN 12464-1", SECOND),
        Need("inspection", "marking out, inspection", 750, 0.7, "EN 12464-1", SECOND),
        Need("precision", "tool and gauge making, precision mechanics", 1000, 0.7,
             "EN 12464-1", SECOND),
    )
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Lit:
    """Light over a surface.

    ``uniformity`` is the least over the mean; None where the mean is zero.
    """

    mean_lux: float
    least_lux: float
    most_lux: float
    uniformity: float | None
    points: int


def lit(lux: ArrayLike) -> Lit:
    """Mean and uniformity of readings on a surface.

    Parameters
    ----------
    lux : array_like, shape (points,)
        Readings spread evenly over the table or bench.

    Returns
    -------
    Lit

    Raises
    ------
    Unusable
        No reading, or one below zero.

    References
    ----------
    EN 12464-1:2021, definitions of average illuminance and illuminance uniformity, U0 = least over
    mean (from memory).

    Examples
    --------
    >>> found = lit([600, 800, 700, 500])
    >>> found.mean_lux, round(found.uniformity, 3)
    (650.0, 0.769)
    """
    seen = np.asarray(lux, dtype=np.float64).ravel()
    if not len(seen) or not np.isfinite(seen).all() or (seen < 0).any():
        raise Unusable(
            say("light is read in lux from zero up"),
            remedy=say("Read at least one point, better nine spread over the table."),
            problems=(Problem("lux", say("missing or below zero")),),
        )
    mean = float(seen.mean())
    return Lit(
        mean_lux=mean,
        least_lux=float(seen.min()),
        most_lux=float(seen.max()),
        uniformity=float(seen.min()) / mean if mean > 0 else None,
        points=len(seen),
    )


def needed_lm(
    mean_lux: float, area_m2: float, *, utilisation_share: float, upkeep_share: float
) -> float:
    """Light that all lamps together must give, by the lumen method.

    Parameters
    ----------
    mean_lux : float
        Wanted on the work.
    area_m2 : float
        Of the room or zone.
    utilisation_share : float
        Share of a lamp's light that reaches the work, from its data sheet and the room.
    upkeep_share : float
        Share left when lamps are old and dusty.

    Returns
    -------
    float
        Lumens.

    Raises
    ------
    Unusable
        A share or an area that is none.

    References
    ----------
    Lumen method, lighting handbooks (from memory): Φ = E A / (CU LLF).

    Examples
    --------
    >>> round(needed_lm(605, 3 * 4.6, utilisation_share=0.6, upkeep_share=0.8))
    17394
    """
    _shares(area_m2=area_m2, utilisation_share=utilisation_share, upkeep_share=upkeep_share)
    return mean_lux * area_m2 / (utilisation_share * upkeep_share)


def expected_lux(
    light_lm: float, area_m2: float, *, utilisation_share: float, upkeep_share: float
) -> float:
    """Mean light that lamps give on the work, by the lumen method.

    Parameters
    ----------
    light_lm : float
        Of all lamps together.
    area_m2 : float
        Of the room or zone.
    utilisation_share, upkeep_share : float
        As for :func:`needed_lm`.

    Returns
    -------
    float
        Lux.

    Raises
    ------
    Unusable
        A share or an area that is none.

    References
    ----------
    Lumen method, lighting handbooks (from memory): E = Φ CU LLF / A.

    Examples
    --------
    >>> round(expected_lux(17_400, 3 * 4.6, utilisation_share=0.6, upkeep_share=0.8))
    605
    """
    _shares(area_m2=area_m2, utilisation_share=utilisation_share, upkeep_share=upkeep_share)
    return light_lm * utilisation_share * upkeep_share / area_m2


def lamps_needed(needed_lm: float, lamp_lm: float) -> int:
    """How many lamps give that light.

    Parameters
    ----------
    needed_lm : float
        Of all together.
    lamp_lm : float
        Of one.

    Returns
    -------
    int
        Whole lamps, never too few.

    Raises
    ------
    Unusable
        A lamp without light.

    References
    ----------
    By definition; rounded up, a thousandth of a lamp forgiven.

    Examples
    --------
    >>> lamps_needed(17_400, 2900), lamps_needed(17_500, 2900)
    (6, 7)
    """
    if not 0 < lamp_lm < math.inf:
        raise Unusable(say("a lamp gives light"), remedy=say("Its lumens stand on its box."))
    return max(0, math.ceil(needed_lm / lamp_lm - 1e-3))


def point_lux(intensity_cd: float, height_mm: float, aside_mm: float = 0.0) -> float:
    """Light of one small lamp on a level surface.

    Parameters
    ----------
    intensity_cd : float
        Towards that point, from its data sheet.
    height_mm : float
        Of the lamp above the surface.
    aside_mm : float
        From the point straight below it.

    Returns
    -------
    float
        Lux; right from five times the lamp's own size on.

    Raises
    ------
    Unusable
        A lamp that is not above the surface.

    References
    ----------
    Inverse square and cosine law (Lambert): E = I cos³θ / h².

    Examples
    --------
    >>> round(point_lux(2000, 1500), 1), round(point_lux(2000, 1500, 1000), 1)
    (888.9, 512.0)
    """
    if not 0 < height_mm < math.inf:
        raise Unusable(
            say("a lamp hangs above what it lights"),
            remedy=say("Measure from the lamp down to the table."),
            problems=(Problem("height_mm", say("zero or below")),),
        )
    away_m2 = (height_mm**2 + aside_mm**2) / 1e6
    cosine = height_mm / math.hypot(height_mm, aside_mm)
    return intensity_cd * cosine / away_m2


def _shares(area_m2: float, utilisation_share: float, upkeep_share: float) -> None:
    problems = [
        Problem(name, say("not over 0 and up to 1"))
        for name, value in (
            ("utilisation_share", utilisation_share),
            ("upkeep_share", upkeep_share),
        )
        if not 0 < value <= 1
    ]
    if not 0 < area_m2 < math.inf:
        problems.append(Problem("area_m2", say("zero or below")))
    if problems:
        raise Unusable(
            say("the lumen method needs an area and two shares"),
            remedy=say("Write 60 per cent as 0.6."),
            problems=tuple(problems),
        )
