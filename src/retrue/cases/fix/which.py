"""Which machine of a lot is meant, and the prices of its owner."""

from __future__ import annotations

from dataclasses import replace

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.assume import Settled, settle
from retrue.cases.find.costs import Purse, purse
from retrue.cases.fix.kept import FixKept, MachineKept
from retrue.cases.known import nearest


def machine_kept(kept: FixKept, machine: str) -> MachineKept:
    """A machine of a lot by its key or its name.

    Parameters
    ----------
    kept : FixKept
    machine : str

    Returns
    -------
    MachineKept

    Raises
    ------
    Unknown
        There is none of that name.

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.fix.kept import fix_of_case
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> machine_kept(fix_of_case(case, load()), "mill").name
    'mill'
    """
    for one in kept.machines:
        if machine in (one.key, one.name):
            return one
    names = [one.name for one in kept.machines]
    raise Unknown(
        say("there is no machine {name} in this lot", name=machine),
        remedy=nearest(machine, names) or say("Name a machine of the lot."),
    )


def prices_of(kept: FixKept, machine: MachineKept) -> tuple[Settled, Purse]:
    """What is settled of shop and sale for one machine alone, and the prices that hold for it.

    Parameters
    ----------
    kept : FixKept
    machine : MachineKept

    Returns
    -------
    Settled, Purse
        The other machines of the lot may be of kinds that nobody knows.
    """
    case = replace(kept.case, machines=(machine.machine,))
    settled = settle(case, {machine.name: machine.kind})
    return settled, purse(case, machine.name, machine.kind, settled)
