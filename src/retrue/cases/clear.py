"""What must be cleared before money goes: papers, data, danger, deadline."""

from __future__ import annotations

from retrue.base.formatter import money, number
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.sheet import ClearRow
from retrue.cases.view import View
from retrue.kinds.library import Fault, Kind

LIKELY = 0.25  # a STOP fault at least this likely is named before money goes
DEAR = 400.0  # or one that costs this much on average
NO_COPY = "F91"  # no copy of the control's memory exists
DATA_CHECKS = ("C16", "C36")


def clear_first(view: View, case: LotCase) -> tuple[ClearRow, ...]:
    """Papers first, then data, then what could hurt, then the deadline.

    Parameters
    ----------
    view : View
    case : LotCase

    Returns
    -------
    tuple of ClearRow
    """
    rows = [
        ClearRow(
            what=say(
                "Proof that the seller may sell it, and the serial number of each machine, "
                "in writing"
            ),
            why=say("a machine with a lien or another number is not yours"),
            machine=None,
            check=None,
        )
    ]
    for machine in case.machines:
        kind = view.stage.built.kinds[machine.name]
        rows.extend(_data(view, kind, machine.name))
        rows.extend(_dangers(view, kind, machine.name))
    rows.extend(_deadline(case))
    return tuple(rows)


def _answered(view: View, machine: str, check: str) -> bool:
    return any(
        kept.finding.check == check
        and kept.finding.machine in (machine, None)
        and kept.finding.grade >= 3
        and kept.finding.answer != "cant_tell"
        for kept in view.stage.case.findings
    )


def _data(view: View, kind: Kind, machine: str) -> list[ClearRow]:
    states = view.stage.fault(machine, NO_COPY)
    if states is None or float(states.mean()) < 0.05:
        return []
    check = next((c for c in DATA_CHECKS if c in kind.checks), None)
    return [
        ClearRow(
            what=say("A copy of the control's memory, read back, before the plug is pulled"),
            why=say("without power its cell runs down, and a dead memory is a dead machine"),
            machine=machine,
            check=check,
        )
    ]


def _dangers(view: View, kind: Kind, machine: str) -> list[ClearRow]:
    """STOP faults that are likely or dear, and not yet cleared by their own check."""
    rows = []
    for fault in kind.faults.values():
        cover = kind.stop_cover.get(fault.id)
        states = view.stage.fault(machine, fault.id)
        if fault.urgency != "STOP" or cover is None or states is None:
            continue
        if fault.scope == "shop" or _answered(view, machine, cover.check):
            continue
        chance = float(states.mean())
        if chance >= LIKELY or chance * _cheapest(kind, fault) >= DEAR:
            rows.append((chance, fault, cover.check, cover.danger))
    rows.sort(key=lambda row: (-row[0], row[1].id))
    return [
        ClearRow(
            what=fault.name,
            why=say("{danger}; cleared by: {check}", danger=danger, check=kind.checks[check].text),
            machine=machine,
            check=check,
        )
        for _, fault, check, danger in rows
    ]


def _cheapest(kind: Kind, fault: Fault) -> float:
    ways = [fix.money.likely for fix in kind.fixes.get(fault.id, ()) if fix.way != "live_with"]
    return min(ways, default=0.0)


def _deadline(case: LotCase) -> list[ClearRow]:
    """What the terms of the sale demand by a day.

    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> terms = Terms(lot="14", removal_by="2026-12-18")
    >>> _deadline(LotCase(shop=Shop(), lot=Lot(name="14"), terms=terms, machines=()))[0].what
    'Rigger and truck booked: gone by 2026-12-18'
    """
    terms, rows = case.terms, []
    if terms.removal_by or terms.removal_days is not None:
        until = terms.removal_by or say("{days} days", days=number(terms.removal_days or 0.0))
        fine = (
            say("{fine} for each day late", fine=money(terms.late_fine_per_day, case.lot.currency))
            if terms.late_fine_per_day is not None
            else say("the fine is not known: ask")
        )
        rows.append(
            ClearRow(
                what=say("Rigger and truck booked: gone by {until}", until=until),
                why=fine,
                machine=None,
                check=None,
            )
        )
    if terms.deposit is not None:
        rows.append(
            ClearRow(
                what=say(
                    "The deposit of {amount}, and when it is lost",
                    amount=money(terms.deposit, case.lot.currency),
                ),
                why=say("get the conditions in writing"),
                machine=None,
                check=None,
            )
        )
    return rows
