"""Does the machine fit the work: fits, does not fit, unknown. Asked before any price."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.landing import stamped_number
from retrue.cases.sheet import Fit
from retrue.records.facts import Machine, Need

FITS, DOES_NOT_FIT, UNKNOWN = "fits", "does_not_fit", "unknown"
_SPEED_ENTRY, _BAR_ENTRY = "N21", "N45"
_AXES = ("X", "Y", "Z", "A", "B")


def fits(case: LotCase, machine: Machine) -> tuple[Fit, ...]:
    """How the machine stands to each job of its kind, with the reasons.

    One demand that is known not to be met decides; an unknown one leaves the answer open.

    Parameters
    ----------
    case : LotCase
    machine : Machine

    Returns
    -------
    tuple of Fit
        Empty if no job of that kind was given.
    """
    return tuple(_fit(case, machine, need) for need in case.needs if need.kind == machine.kind)


def cannot_serve(rows: tuple[Fit, ...]) -> bool:
    """Whether jobs were given and the machine fits none of them.

    Parameters
    ----------
    rows : tuple of Fit

    Returns
    -------
    bool

    Examples
    --------
    >>> cannot_serve(()), cannot_serve((Fit(need="bars", answer=DOES_NOT_FIT, because=()),))
    (False, True)
    """
    return bool(rows) and all(row.answer == DOES_NOT_FIT for row in rows)


def _fit(case: LotCase, machine: Machine, need: Need) -> Fit:
    misses: list[str] = []
    unknown: list[str] = []
    for what, wanted, offered, unit in _demands(case, machine, need):
        if offered is None:
            unknown.append(say("{what} not known", what=what))
        elif offered < wanted:
            misses.append(
                say(
                    "{what} {offered} {unit}, wanted {wanted}",
                    what=what,
                    offered=number(offered),
                    wanted=number(wanted),
                    unit=unit,
                ).strip()
            )
    _word(say("taper"), need.taper, machine.taper, misses, unknown)
    if need.tolerance_mm is not None:
        _tolerance(need.tolerance_mm, machine.tolerance_mm, misses, unknown)
    answer = DOES_NOT_FIT if misses else UNKNOWN if unknown else FITS
    return Fit(need=need.name, answer=answer, because=tuple(misses + unknown))


def _demands(
    case: LotCase, machine: Machine, need: Need
) -> list[tuple[str, float, float | None, str]]:
    rows: list[tuple[str, float, float | None, str]] = []
    for i, wanted in enumerate(need.travel_mm):
        offered = machine.travel_mm[i] if i < len(machine.travel_mm) else None
        rows.append((say("travel {axis}", axis=_AXES[i]), wanted, offered, "mm"))
    speed = stamped_number(case, machine, _SPEED_ENTRY, "1/min") or machine.speed_rpm
    bar = stamped_number(case, machine, _BAR_ENTRY, "mm") or machine.bar_mm
    for what, demand, offer, unit in (
        (say("load"), need.load_kg, machine.load_kg, "kg"),
        (say("speed"), need.speed_rpm, speed, "1/min"),
        (say("bar", sense="through the spindle"), need.bar_mm, bar, "mm"),
    ):
        if demand is not None:
            rows.append((what, demand, offer, unit))
    return rows


def _word(
    what: str, wanted: str | None, offered: str | None, misses: list[str], unknown: list[str]
) -> None:
    if wanted is None:
        return
    if offered is None:
        unknown.append(say("{what} not known", what=what))
    elif offered.strip().casefold() != wanted.strip().casefold():
        misses.append(
            say("{what} {offered}, wanted {wanted}", what=what, offered=offered, wanted=wanted)
        )


def _tolerance(wanted: float, offered: float | None, misses: list[str], unknown: list[str]) -> None:
    """A smaller figure is the better machine."""
    if offered is None:
        unknown.append(say("accuracy not known"))
    elif offered > wanted:
        misses.append(
            say(
                "holds {offered} mm, wanted {wanted}",
                offered=number(offered, 3),
                wanted=number(wanted, 3),
            )
        )
