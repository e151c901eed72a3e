"""What a vibration is held against: its own baseline first, a class of general machines second."""

from __future__ import annotations

import math
from dataclasses import dataclass

MARK = "secondary source, unverified"


@dataclass(frozen=True, slots=True)
class Zones:
    """Limits of vibration velocity between A and B, B and C, C and D, mm/s rms, 10 to 1000 Hz."""

    name: str
    machines: str
    limits_mm_s: tuple[float, float, float]
    standard: str
    mark: str


# For general machines; a machine tool's spindle is in none of them.
GENERAL: dict[str, Zones] = {
    one.name: one
    for one in (
        Zones("I", "small machines up to 15 kW", (0.71, 1.8, 4.5), "ISO 10816-1, annex B", MARK),
        Zones("II", "machines of 15 to 75 kW", (1.12, 2.8, 7.1), "ISO 10816-1, annex B", MARK),
        Zones("III", "large machines on a rigid base", (1.8, 4.5, 11.2), "ISO 10816-1, annex B",
              MARK),
        Zones("IV", "large machines on a soft base", (2.8, 7.1, 18.0), "ISO 10816-1, annex B",
              MARK),
    )
}  # fmt: skip


def zone(velocity_mm_s: float, zones: Zones) -> str:
    """Which zone of a class of general machines a velocity falls into.

    Parameters
    ----------
    velocity_mm_s : float
        Root-mean-square, 10 to 1000 Hz.
    zones : Zones
        Of :data:`GENERAL`.

    Returns
    -------
    str
        ``A``, ``B``, ``C`` or ``D``; a limit belongs to the better zone.

    References
    ----------
    ISO 10816-1:1995, annex B (secondary source); general machines, not spindles of machine tools.

    Examples
    --------
    >>> zone(1.5, GENERAL["I"]), zone(5.0, GENERAL["I"])
    ('B', 'D')
    """
    return "ABCD"[sum(velocity_mm_s > limit for limit in zones.limits_mm_s)]


def change_db(now: float, before: float) -> float:
    """How much stronger it is than it was.

    Parameters
    ----------
    now, before : float
        The same quantity at the same place, both over zero.

    Returns
    -------
    float
        Decibels: 6 is twice as strong.

    Raises
    ------
    ValueError
        One of them is not over zero.

    References
    ----------
    ISO 80000-8, level of a field quantity (by definition).

    Examples
    --------
    >>> round(change_db(2.0, 1.0), 2)
    6.02
    """
    if now <= 0 or before <= 0:
        raise ValueError("a level needs two strengths over zero")
    return 20 * math.log10(now / before)
