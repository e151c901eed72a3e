"""What a card needs from elsewhere: a part, a service; how far it is, and how long it takes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from retrue.base.say import say
from retrue.cases.fix.agreed import LATE_DAYS
from retrue.cases.fix.buying_lines import Part, PartState
from retrue.cases.fix.kept import FixKept, MachineKept, OutKept
from retrue.kinds.judged import Three
from retrue.kinds.library import Fix
from retrue.records.facts import CostLine

HANDWORK = ("clean", "adjust")  # their days are drying or settling, no delivery
OPEN_STATES: Mapping[str, PartState] = {
    "ordered": "ordered", "sent_out": "sent_out", "asked": "asked", "borrowed": "ordered",
    "hired": "ordered",
}  # fmt: skip


def part_of(kept: FixKept, machine: MachineKept, fix: Fix, name: str) -> Part | None:
    """The part or service of one way.

    Parameters
    ----------
    kept : FixKept
    machine : MachineKept
    fix : Fix
    name : str
        What it is for, in words.

    Returns
    -------
    Part or None
        None where nothing is waited for.
    """
    key = f"{fix.fault}:{fix.way}"
    own = own_line(kept, machine, key)
    days = fix.lead_days if own is None or own.days is None else own.days
    told = outs_for(kept, machine, key) or any(one.fact.name == key for one in kept.stock)
    if fix.way in HANDWORK or (days <= 0 and not told):
        return None
    out = newest_out(kept, machine, key)
    state, source = _state(kept, machine, key, out)
    money = fix.money if own is None else Three(*[float(own.amount)] * 3)
    if own is not None:
        source = own.reason or say("own figure")
    return Part(
        line=key,
        what=name,
        money=money,
        days=days,
        state=state,
        promised_on=out.promised_on if out is not None and out.open else None,
        source=source,
        mark=fix.mark if own is None else "",
    )


def own_line(kept: FixKept, machine: MachineKept, key: str) -> CostLine | None:
    """The owner's own figure for a line, the newest.

    Parameters
    ----------
    kept : FixKept
    machine : MachineKept
    key : str
        F15:local, J05.

    Returns
    -------
    CostLine or None
    """
    lines = [
        one
        for one in kept.case.cost_lines
        if one.line == key and one.machine in (machine.name, None)
    ]
    return lines[-1] if lines else None


def outs_for(kept: FixKept, machine: MachineKept, key: str) -> tuple[OutKept, ...]:
    """What was or is out for one line of one machine, oldest first.

    Parameters
    ----------
    kept : FixKept
    machine : MachineKept
    key : str

    Returns
    -------
    tuple of OutKept
    """
    return tuple(
        one
        for one in kept.outs
        if one.out.line == key and one.out.machine in (machine.key, machine.name, None)
    )


def newest_out(kept: FixKept, machine: MachineKept, key: str) -> OutKept | None:
    """The newest thing that was or is out for one line, asking left aside where there is more.

    Parameters
    ----------
    kept : FixKept
    machine : MachineKept
    key : str

    Returns
    -------
    OutKept or None
    """
    outs = outs_for(kept, machine, key)
    firm = tuple(one for one in outs if one.out.sort != "asked")
    return (firm or outs)[-1] if outs else None


def days_to_come(part: Part, on: date) -> float:
    """Days from a day on until a part is here, if what is not ordered is ordered that day.

    Parameters
    ----------
    part : Part
    on : date

    Returns
    -------
    float

    Examples
    --------
    >>> belt = Part(line="F06:replace", what="belt", money=Three(1, 2, 3), days=4.0)
    >>> days_to_come(belt, date(2026, 11, 26))
    4.0
    """
    if part.state == "here":
        return 0.0
    if part.state in ("ordered", "sent_out") and part.promised_on:
        left = (date.fromisoformat(part.promised_on) - on).days
        return float(left) if left >= 0 else LATE_DAYS
    return part.days


def _state(
    kept: FixKept, machine: MachineKept, key: str, out: OutKept | None
) -> tuple[PartState, str]:
    """How far a part is, and where its figures come from."""
    if any(one.fact.name == key and one.fact.amount > 0 for one in kept.stock):
        return "here", say("on the shelf")
    quoted = [one for one in kept.quotes if one.fact.line == key
              and one.fact.machine in (machine.key, machine.name, None)]  # fmt: skip
    if out is not None and out.open:
        return OPEN_STATES[out.out.sort], say("{what} at {whom}", what=out.out.what,
                                              whom=out.out.whom)  # fmt: skip
    if out is not None and out.here:
        return "here", say("came from {whom}", whom=out.out.whom)
    if quoted:
        return "asked", say("table")  # one that holds stands as an own figure, with its name
    if out is not None and out.ended is not None and out.ended.fact.how == "called_off":
        return "no_vendor", say("called off with {whom}, and nobody else is named",
                                whom=out.out.whom)  # fmt: skip
    return "to_buy", say("table")
