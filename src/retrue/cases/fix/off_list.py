"""Cards that stand on no list now and can be marked all the same: doors, and what was marked."""

from __future__ import annotations

from typing import Any

from retrue.base.say import say
from retrue.cases.fix.kept import FixKept, MachineKept
from retrue.cases.fix.lines import Card
from retrue.kinds.judged import Three

NOTHING = Three(0.0, 0.0, 0.0)


def card_off_list(kept: FixKept, machine: MachineKept, key: str) -> Card | None:
    """A card that left the list since somebody read it.

    Parameters
    ----------
    kept : FixKept
    machine : MachineKept
    key : str

    Returns
    -------
    Card or None
        The opening or closing of a place it has: a door is open or shut whatever is believed. What
        was ever marked: it can be opened again. None: neither.

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.fix.kept import fix_of_case
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> kept = fix_of_case(case, load())
    >>> card_off_list(kept, kept.machines[0], "open:cabinet").title
    'Open: Electrical cabinet'
    >>> card_off_list(kept, kept.machines[0], "F99:repair") is None
    True
    """
    kind = machine.kind
    first, _, rest = key.partition(":")
    if first in ("open", "close") and rest in kind.places:
        name = kind.places[rest].name
        title = say("Open: {place}", place=name) if first == "open" else say(
            "Close: {place}", place=name)  # fmt: skip
        return _card(kept, machine, key, sort=first, title=title, place=rest, place_name=name)
    if key not in {one.fact.card for one in machine.marks}:
        return None
    if key in kind.jobs:
        job = kind.jobs[key]
        sort = "clean" if job.sort == "clean" else "job"
        return _card(kept, machine, key, sort=sort, title=job.name, job=key)
    if first in kind.faults and rest:
        fault = kind.faults[first]
        return _card(kept, machine, key, sort="work", title=fault.name, faults=(first,), way=rest,
                     urgency=fault.urgency)  # fmt: skip
    return _card(kept, machine, key, sort="measure", title=key)


def _card(kept: FixKept, machine: MachineKept, key: str, **of: Any) -> Card:
    said = {"place": "", "place_name": "", **of}
    return Card(key=key, lot=kept.lot, machine=machine.key, machine_name=machine.name, steps=(),
                hours=NOTHING, **said)  # fmt: skip
