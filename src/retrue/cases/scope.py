"""Whom a line of the tables belongs to, and how it is paid: once, or by the unit."""

from __future__ import annotations

from retrue.kinds.library import Fault, Kind


def of_machine(fault: Fault) -> bool:
    """Whether a fault is put right on each machine, not once for shop and lot.

    Parameters
    ----------
    fault : Fault

    Returns
    -------
    bool

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> of_machine(SimpleNamespace(scope="shop", paid="once"))
    False
    """
    return fault.scope == "machine" or (fault.scope == "lot" and fault.paid != "once")


def belongs_to_all(kind: Kind, line: str) -> bool:
    """Whether a line is done once for shop and lot.

    Parameters
    ----------
    kind : Kind
    line : str
        F109:local, J05, renew:belt.

    Returns
    -------
    bool

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> belongs_to_all(mill, "F109:local"), belongs_to_all(mill, "F15:local")
    (True, False)
    """
    fault = kind.faults.get(line.partition(":")[0])
    return fault is not None and not of_machine(fault)


def paid_by_unit(kind: Kind, line: str) -> bool:
    """Whether a line is paid for each unit that has the fault.

    Parameters
    ----------
    kind : Kind
    line : str

    Returns
    -------
    bool

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> paid_by_unit(load()["vertical_machining_centre"], "J05")
    False
    """
    fault = kind.faults.get(line.partition(":")[0])
    return fault is not None and fault.paid == "unit"
