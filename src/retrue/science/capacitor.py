"""Electrolytic capacitors after a long rest: how old, how long idle, what the sources ask.

The sources disagree. They are put side by side to plan hours and a specialist, never as a recipe:
bringing a bus back is done by a drive specialist, by the drive's own document.
"""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say

LEAST_CAPACITY_PERCENT = 80.0  # common practice, no source: under it a bank is replaced
REJECT_SHARE, REJECT_AFTER_MINUTES = 0.10, 60.0
MONTHS = 12.0
OLD_YEARS = 15.0  # common practice, no source: measured before it is powered
Hours = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """What one source asks after a rest: bands of (from this many years, least and most hours)."""

    id: str
    source: str
    mark: str
    bands: tuple[tuple[float, Hours], ...]


# Hours under voltage in all; steps and volts are the specialist's and stand in no table here.
RULES = (
    Rule(
        id="storage_notes",
        source="storage notes of drive makers",
        mark="from memory, unverified",
        bands=((0, (0, 0)), (1, (1, 1)), (2, (2, 2)), (3, (8, 8))),
    ),
    Rule(
        id="bulletin",
        source="a drive bulletin quoted in a forum",
        mark="secondary source",
        bands=((0, (0, 0)), (2, (0.5, 0.5)), (3, (1.5, 1.5))),
    ),
    Rule(  # from 12 to 24 months it wants a judgement
        id="article",
        source="an article on drives in store",
        mark="secondary source",
        bands=((0, (0, 0)), (2, (4, 8))),
    ),
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What one source asks of a bus that rested; hours under voltage."""

    rule: Rule
    least_hours: float
    most_hours: float


def component_minutes(idle_months: float) -> float:
    """How long a single capacitor off the machine is brought back, by the component's rule.

    Parameters
    ----------
    idle_months : float

    Returns
    -------
    float
        Minutes at rated voltage through a resistor: 5, and 1 for every month.

    Raises
    ------
    Unusable
        Less than nothing.

    References
    ----------
    Guides to the application of electrolytic capacitors (secondary source).

    Examples
    --------
    >>> component_minutes(0), component_minutes(36)
    (5.0, 41.0)
    """
    _rested(idle_months)
    return 5.0 + idle_months


def asked(idle_months: float) -> tuple[Asked, ...]:
    """What every source asks of a drive that rested, side by side.

    Parameters
    ----------
    idle_months : float
        Since the bus last had its volts.

    Returns
    -------
    tuple of Asked
        In the order of :data:`RULES`. The drive's own document goes before all of them.

    Raises
    ------
    Unusable
        Less than nothing.

    References
    ----------
    Storage notes of drive makers (from memory); a bulletin and an article (secondary sources).
    They disagree.

    Examples
    --------
    >>> [(one.rule.id, one.most_hours) for one in asked(30)]
    [('storage_notes', 2), ('bulletin', 0.5), ('article', 8)]
    """
    _rested(idle_months)
    found = []
    for rule in RULES:
        least, most = next(
            hours for years, hours in reversed(rule.bands) if idle_months >= years * MONTHS
        )
        found.append(Asked(rule, least, most))
    return tuple(found)


def slowest(idle_months: float) -> Asked:
    """The source that asks the most; it is taken where the drive has no document of its own.

    Parameters
    ----------
    idle_months : float

    Returns
    -------
    Asked

    Raises
    ------
    Unusable
        Less than nothing.

    References
    ----------
    Our own rule: where sources disagree, the slowest.

    Examples
    --------
    >>> slowest(30).rule.id, slowest(18).rule.id
    ('article', 'storage_notes')
    """
    return max(asked(idle_months), key=lambda one: (one.most_hours, one.least_hours))


def leaks_too_much(over_resistor_volts: float, applied_volts: float) -> bool:
    """Whether a capacitor is rejected: after an hour the resistor still takes a tenth or more.

    Parameters
    ----------
    over_resistor_volts : float
        Over the resistor in series, after one hour, from the specialist's sheet.
    applied_volts : float
        Of his source.

    Returns
    -------
    bool

    Raises
    ------
    Unusable
        The resistor cannot have more than the source.

    References
    ----------
    Guides to the application of electrolytic capacitors (secondary source): the voltage over the
    resistor must fall below 10 per cent within an hour.

    Examples
    --------
    >>> leaks_too_much(20, 400), leaks_too_much(40, 400)
    (False, True)
    """
    if not 0 <= over_resistor_volts <= applied_volts or not applied_volts > 0:
        raise Unusable(
            say("the resistor cannot take more volts than are applied"),
            remedy=say("Read both again on the specialist's sheet."),
        )
    return over_resistor_volts >= REJECT_SHARE * applied_volts


def capacity_left_percent(measured_uf: float, printed_uf: float) -> float:
    """What is left of a capacitor's capacity.

    Parameters
    ----------
    measured_uf, printed_uf : float
        Microfarad.

    Returns
    -------
    float
        Per cent; under 80 it is replaced.

    Raises
    ------
    Unusable
        A number is not positive.

    References
    ----------
    By definition; the limit is common practice, no source.

    Examples
    --------
    >>> capacity_left_percent(1500, 2000)
    75.0
    """
    if not (measured_uf > 0 and printed_uf > 0):
        raise Unusable(
            say("two capacities are needed, measured and printed"),
            remedy=say("Take both in microfarad from the workshop's sheet."),
        )
    return 100.0 * measured_uf / printed_uf


def _rested(idle_months: float) -> None:
    if not 0 <= idle_months <= 1200:
        raise Unusable(
            say("how long it rested is not known"),
            remedy=say("Ask when it last ran; where nobody knows, count from its last record."),
        )
