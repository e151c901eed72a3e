"""A line by the American code: conductor, short-circuit device, overload, drop."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.science.conductor import (
    MOTOR_VOLTS,
    motor_branch,
    table_current_ampere,
)
from retrue.science.protection_nec import feeder_ampere, overload, short_circuit
from retrue.science.wire_awg import awg_carries, awg_for

TABLE = later("NFPA 70:2008, table 430.250 (secondary source)")
BRANCH = later("NFPA 70:2008, 430.22 and 430.24 (secondary source)")
DEVICE = later("NFPA 70:2011, table 430.52 (secondary source)")
LOAD = later("NFPA 70:2008, 430.32 (from memory)")
COPPER = later("NFPA 70:2023, table 310.16, copper at 75 °C (secondary source)")


def by_nec(draft: Draft) -> float | None:
    """What the line must carry, and the line that was chosen held against it.

    Parameters
    ----------
    draft : Draft

    Returns
    -------
    float or None
        The current by which the drop is reckoned, ampere.

    Examples
    --------
    >>> from retrue.cases.move.conductor import METHOD
    >>> from retrue.cases.reckon.method import values_of
    >>> typed = {"rule": "nec", "horsepower": "25", "volts": "460"}
    >>> draft = Draft("conductor", "", METHOD.fields, values_of(METHOD, typed))
    >>> by_nec(draft), draft.figures[1].value
    (34, 42.5)
    """
    table = _table(draft)
    current: float | None = table if table is not None else draft.said("line_ampere")
    if current is None:
        draft.wanted("line_ampere")
        return None
    needed = _needed(draft, current)
    _device(draft, current)
    _overload(draft)
    _size(draft, needed)
    return current


def _table(draft: Draft) -> float | None:
    """The motor's current by the code's table; nothing for a whole machine."""
    said: float | None = draft.said("table_said_ampere")
    if said is not None:
        draft.figure("table_ampere", say("the motor's current by the table"), said, "A", 1,
                     say("your own copy"))  # fmt: skip
        return said
    horsepower = draft.said("horsepower")
    if horsepower is None:
        return None
    volts = draft.wanted("volts")
    if volts is None:
        return None
    near = min(MOTOR_VOLTS, key=lambda known: abs(known - volts))
    try:
        current = table_current_ampere(horsepower, near)
    except Unusable as refusal:
        draft.lack(refusal.reason, refusal.remedy, "horsepower")
        return None
    draft.figure("table_ampere", say("the motor's current by the table"), current, "A", 1, TABLE)
    return current


def _needed(draft: Draft, current: float) -> float:
    others = _others(draft)
    if others:
        needed = feeder_ampere([current, *others])
    else:
        needed = motor_branch(current).conductor_ampere
    draft.figure("conductor_ampere", say("the conductor must carry"), needed, "A", 1, BRANCH)
    return needed


def _others(draft: Draft) -> list[float]:
    text = draft.said("other_ampere")
    if not text:
        return []
    try:
        return [float(part.strip().replace(",", ".")) for part in text.split(",") if part.strip()]
    except ValueError:
        draft.stop(
            say("the other motors cannot be read"),
            say("Write their amps parted by commas: 14, 4.8."),
            "other_ampere",
        )
        return []


def _device(draft: Draft, current: float) -> None:
    found = short_circuit(current, draft.get("device"))
    draft.figure("device_reckoned_ampere", say("short-circuit device, by its share"),
                 found.reckoned_ampere, "A", 1, DEVICE)  # fmt: skip
    if found.standard_ampere is not None:
        draft.figure("device_standard_ampere", say("next standard size"),
                     float(found.standard_ampere), "A", 0,
                     later("NFPA 70, 240.6(A) (from memory)"))  # fmt: skip
    draft.figure("device_most_ampere", say("most by the exception, only if it will not start"),
                 found.most_ampere, "A", 1, DEVICE)  # fmt: skip
    given = draft.said("device_ampere")
    if given is not None and given > found.most_ampere:
        draft.stop(
            say("a device of {given} A is over the most of {most} A", given=number(given),
                most=number(found.most_ampere, 1)),
            say("The next standard size of its sort, chosen by a licensed electrician."),
            "device_ampere",
        )  # fmt: skip


def _overload(draft: Draft) -> None:
    """By the motor's own plate, never by the table."""
    plate = draft.said("plate_ampere")
    if plate is None:
        if draft.said("horsepower") is not None:
            draft.notes.append(
                say("The overload goes by the amps on the motor's plate; the table is not for it.")
            )
        return
    found = overload(plate, service_factor=max(1.0, draft.get("service_factor")))
    draft.figure("overload_ampere", say("overload set at"), found.setting_ampere, "A", 2, LOAD)
    draft.figure("overload_most_ampere", say("and at most, only if it will not start"),
                 found.most_ampere, "A", 2, LOAD)  # fmt: skip


def _size(draft: Draft, needed: float) -> None:
    ambient, beside = draft.get("ambient_c"), draft.get("conductors")
    try:
        smallest = awg_for(needed, ambient_c=ambient, conductors=beside)
    except Unusable as refusal:
        draft.refused(refusal, "line_ampere")
        return
    size = draft.said("size_awg")
    if size is None:
        draft.notes.append(say("Smallest copper that carries it: {size} AWG.", size=smallest))
        draft.figure("carries_ampere", say("that size carries"),
                     awg_carries(smallest, ambient_c=ambient, conductors=beside).ampere, "A", 1,
                     COPPER)  # fmt: skip
        return
    said = draft.said("carries_said_ampere")
    carries = (
        awg_carries(size, ambient_c=ambient, conductors=beside).ampere if said is None else said
    )
    draft.figure("carries_ampere", say("that size carries"), carries, "A", 1, COPPER)
    if carries < needed - 1e-9:
        draft.stop(
            say("{size} AWG carries {carries} A here, {needed} A are needed", size=size,
                carries=number(carries, 1), needed=number(needed, 1)),
            say("Take {size} AWG or larger.", size=smallest),
            "size_awg",
        )  # fmt: skip
