"""What is measured with: owned, to borrow, or to hire; what each serves and how far it is off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Unpack

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.known import nearest
from retrue.cases.prove.deed import Deed, deeds
from retrue.phases.prove.places import first_id
from retrue.phases.prove.views import InstrumentLine
from retrue.records.hand import Hand
from retrue.records.measuring import Instrument
from retrue.records.shop import Record, RecordShop

WAYS = ("owned", "borrow", "hire")
MICRO = str.maketrans({"\u00b5": "u", "\u03bc": "u"})


@dataclass(frozen=True, slots=True)
class Gauge:
    """An instrument at the moment of a reading: what its doubt is worth there."""

    fact: Instrument | None = None
    uncertainty: float | None = None
    checked: bool = False  # has a certificate that was not past due
    warnings: tuple[str, ...] = ()


def instruments(shop: RecordShop) -> list[InstrumentLine]:
    """All instruments: owned first, then to borrow, then to hire.

    Parameters
    ----------
    shop : RecordShop
        Where they are kept.

    Returns
    -------
    list of InstrumentLine
        Each with the tests it serves.
    """
    tests = deeds()
    lines = [
        InstrumentLine(first_id(shop, record), record, _serves(record.fact, tests))
        for record in shop.current(Instrument)
    ]
    return sorted(lines, key=lambda line: (WAYS.index(line.record.fact.way), line.record.fact.name))


def keep_instrument(shop: RecordShop, fact: Instrument, **hand: Unpack[Hand]) -> Record[Instrument]:
    """Keep an instrument; one of the same name takes the place of what stood before.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    fact : Instrument
        As typed.
    **hand : Hand
        Who writes.

    Returns
    -------
    Record of Instrument
    """
    old = shop.current(Instrument, name=fact.name)
    if old and (old[-1].fact == fact or old[-1].id == hand.get("id")):
        return old[-1]
    return shop.add(fact, replaces=old[-1].id if old else None, **hand)


def instrument_of(shop: RecordShop, wanted: str) -> tuple[str, Record[Instrument]]:
    """An instrument by name or by the id of any of its records: its key and its newest record."""
    lines = shop.current(Instrument)
    for record in lines:
        line = shop.history(record.id)
        if wanted == record.fact.name or wanted in {one.id for one in line}:
            return line[0].id, record
    raise Unknown(
        say("there is no instrument {wanted}", wanted=wanted),
        remedy=nearest(wanted, [record.fact.name for record in lines])
        or say("Keep the instrument first, or leave it out."),
    )


def gauge(shop: RecordShop, instrument: str | None, unit: str, day: date) -> Gauge:
    """An instrument on the day of a reading.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    instrument : str or None
        Its id; None: nobody has said with what.
    unit : str
        Of one reading of the set.
    day : date
        On which it was read.

    Returns
    -------
    Gauge
        Its doubt only where that is in the unit of the readings.
    """
    if instrument is None:
        return Gauge()
    fact = instrument_of(shop, instrument)[1].fact
    warnings: list[str] = []
    late = fact.due_on is not None and date.fromisoformat(fact.due_on) < day
    if late:
        warnings.append(
            say("{name} was due to be checked on {day}.", name=fact.name, day=fact.due_on)
        )
    fits = same_unit(fact.unit, unit)
    if fact.uncertainty is not None and not fits:
        warnings.append(_other_unit(fact, unit))
    known = fact.uncertainty if fits else None
    return Gauge(fact, known, bool(fact.certificate) and not late, tuple(warnings))


def same_unit(one: str, other: str) -> bool:
    """Whether two units are written for the same: the two signs for micro, capitals, blanks.

    Examples
    --------
    >>> same_unit("um/m", "µm/m"), same_unit("mm", "µm")
    (True, False)
    """
    return _bare(one) == _bare(other)


def _bare(unit: str) -> str:
    return "".join(unit.translate(MICRO).split())


def _other_unit(fact: Instrument, unit: str) -> str:
    return say(
        "How far {name} may be off is kept in {unit}, the readings are in {other}: not counted.",
        name=fact.name,
        unit=fact.unit or "?",
        other=unit,
    )


def _serves(fact: Instrument, tests: Sequence[Deed]) -> tuple[Deed, ...]:
    return tuple(one for one in tests if fact.sort in one.instrument_sorts)
