"""A memory cell read in its place: a share of what is printed on it; only the last one counts."""

from __future__ import annotations

from collections.abc import Iterable

from retrue.base.refusals import Unusable
from retrue.base.units import amount
from retrue.records.facts import Finding, Plate
from retrue.records.shop import Record

PRINTED = "N33"  # of the plate table: volts printed on the cell
LOOK, MEASURE = "C36", "M10"  # per cent of the volts printed on it


def printed_volts(plates: Iterable[Plate]) -> float | None:
    """The volts printed on a machine's cell.

    Parameters
    ----------
    plates : iterable of Plate
        Of the machine, oldest first.

    Returns
    -------
    float or None
        None where nobody has typed them, or not as volts.

    Examples
    --------
    >>> printed_volts([Plate(machine="mill", entry="N33", value="3,6 V")])
    3.6
    """
    typed = [plate.value for plate in plates if plate.entry == PRINTED]
    try:
        volts = float(amount(typed[-1], "V", field=PRINTED)) if typed else 0.0
    except Unusable:
        return None
    return volts if volts > 0 else None


def cell_finding(
    lot: str, machine: str, volts: float, plates: Iterable[Plate], text: str
) -> Finding | None:
    """What a reading of the cell says of the machine.

    Parameters
    ----------
    lot, machine : str
        Ids.
    volts : float
        Read with the cell in its place.
    plates : iterable of Plate
        Of the machine.
    text : str
        On which occasion.

    Returns
    -------
    Finding or None
        Per cent of what is printed on it; None where that is not known: volts alone say nothing.

    Examples
    --------
    >>> plates = [Plate(machine="mill", entry="N33", value="3.6")]
    >>> found = cell_finding("a", "mill", 3.06, plates, "in a round")
    >>> found.reading if found else None
    85.0
    """
    printed = printed_volts(plates)
    if printed is None:
        return None
    return Finding(
        lot=lot, machine=machine, check=LOOK, measure=MEASURE,
        reading=round(100.0 * volts / printed, 3), grade=4, channel="visit_dead", text=text,
    )  # fmt: skip


def read_before(kept: Iterable[Record[Finding]], new: Finding) -> Record[Finding] | None:
    """The finding that a new reading of the same measure stands in place of.

    Twelve monthly readings of a cell are one cell: as twelve findings they would count as twelve
    witnesses.

    Parameters
    ----------
    kept : iterable of Record of Finding
        Of the machine, those that count, oldest first.
    new : Finding
        A reading.

    Returns
    -------
    Record of Finding or None
        None where nobody has measured it before.

    Examples
    --------
    >>> volts = Finding(lot="a", machine="b", check="C36", measure="M10", reading=96.0, grade=4)
    >>> read_before([], volts) is None
    True
    """
    same = [
        one
        for one in kept
        if one.fact.machine == new.machine
        and (one.fact.check, one.fact.measure) == (new.check, new.measure)
        and one.fact.reading is not None
        and one.fact.grade >= 4
        and one.fact.informant is None
    ]
    return same[-1] if same else None
