"""Contacts and coils of control circuits: categories of load, and the band a coil pulls in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.science.motor_match import Fits

COIL_LOW, COIL_HIGH = 0.85, 1.10  # IEC 60947-4-1, limits of operation (from memory)
COIL_EASY = 0.05  # off its own volts: no question; the rest of the band is (judgement)


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlLoad:
    """What a contact must make and break, in times its rated current of that category."""

    id: str
    load: str
    make_times: float
    break_times: float
    covers: tuple[str, ...] = ()


# IEC 60947-5-1, making and breaking (AC from a secondary source, DC from memory).
CONTROL_LOADS = {
    one.id: one
    for one in (
        ControlLoad(id="AC-12", load=later("resistors, inputs by an optocoupler"), make_times=1.0,
                    break_times=1.0),
        ControlLoad(id="AC-13", load=later("inputs behind a transformer"), make_times=2.0,
                    break_times=1.0, covers=("AC-12",)),
        ControlLoad(id="AC-14", load=later("small magnets, up to 72 VA"), make_times=6.0,
                    break_times=1.0, covers=("AC-12", "AC-13")),
        ControlLoad(id="AC-15", load=later("contactor coils, valves, over 72 VA"), make_times=10.0,
                    break_times=1.0, covers=("AC-12", "AC-13", "AC-14")),
        ControlLoad(id="DC-12", load=later("resistors, inputs by an optocoupler"), make_times=1.0,
                    break_times=1.0),
        ControlLoad(id="DC-13", load=later("direct-current coils, valves, brakes"), make_times=1.0,
                    break_times=1.0, covers=("DC-12",)),
        ControlLoad(id="DC-14", load=later("direct-current coils with an economy resistor"),
                    make_times=10.0, break_times=1.0, covers=("DC-12", "DC-13")),
    )
}  # fmt: skip


def control_load(id: str) -> ControlLoad:
    """One category of a control contact.

    Parameters
    ----------
    id : str
        AC-12 to AC-15, DC-12 to DC-14.

    Returns
    -------
    ControlLoad

    Raises
    ------
    Unusable
        No such category.

    References
    ----------
    IEC 60947-5-1, table of making and breaking (AC secondary source, DC from memory).

    Examples
    --------
    >>> control_load("AC-15").make_times, control_load("AC-15").break_times
    (10.0, 1.0)
    """
    if id not in CONTROL_LOADS:
        raise Unusable(
            say("{id} is no category of a control contact", id=id),
            remedy=say("Read it on the relay: AC-12 to AC-15, DC-12 to DC-14."),
        )
    return CONTROL_LOADS[id]


def contact(id: str, load_ampere: float, rated_ampere: Mapping[str, float]) -> Fits:
    """Whether a contact carries a control load.

    Parameters
    ----------
    id : str
        Category of the load: a coil is AC-15 or DC-13.
    load_ampere : float
        At the voltage in use.
    rated_ampere : mapping of str to float
        The contact's own ratings by category, at that voltage.

    Returns
    -------
    str
        ask where only milder categories are printed: none is converted into another.

    Raises
    ------
    Unusable
        No such category.

    References
    ----------
    IEC 60947-5-1 (from memory).

    Examples
    --------
    >>> contact("DC-13", 1.0, {"DC-13": 2.0}), contact("AC-15", 3.0, {"AC-15": 2.0})
    ('yes', 'no')
    >>> contact("DC-13", 1.0, {"DC-12": 8.0}), contact("AC-12", 3.0, {"AC-15": 3.0})
    ('ask', 'yes')
    """
    control_load(id)
    for own, rated in rated_ampere.items():
        if (own == id or id in control_load(own).covers) and rated >= load_ampere:
            return "yes"
    return "no" if id in rated_ampere else "ask"


def coil(supply_volts: float | None, coil_volts: float | None) -> Fits:
    """Whether a coil pulls in at the volts that a control gives, and does not burn.

    Parameters
    ----------
    supply_volts, coil_volts : float or None
        Of the control circuit; printed on the coil. None where nobody knows.

    Returns
    -------
    str
        yes within a twentieth of the coil's own; ask within 85 to 110 per cent of it, for a supply
        sags and swells by itself; no outside.

    References
    ----------
    IEC 60947-4-1, limits of operation: 85 to 110 per cent (from memory); the twentieth is
    judgement.

    Examples
    --------
    >>> coil(24, 24), coil(110, 120), coil(230, 110), coil(None, 24)
    ('yes', 'ask', 'no', 'ask')
    """
    if supply_volts is None or coil_volts is None or coil_volts <= 0:
        return "ask"
    times = supply_volts / coil_volts
    if abs(times - 1.0) <= COIL_EASY + 1e-9:
        return "yes"
    return "ask" if COIL_LOW - 1e-9 <= times <= COIL_HIGH + 1e-9 else "no"
