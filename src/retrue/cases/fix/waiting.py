"""Waiting for, chase: everything that is out of some lots, the most pressing first."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from retrue.cases.fix.kept import OutKept
from retrue.cases.fix.known_lines import line_words
from retrue.cases.fix.lines import Card, Cards, Due, Owed, Waiting
from retrue.cases.fix.owed import most_pressing, on_the_list, owed
from retrue.kinds.library import Kind


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outside:
    """What is out of one lot, and what its machines are called.

    Attributes
    ----------
    names : mapping of str to str
        Machines' names by the ids of their first records.
    kinds : mapping of str to Kind
        By those ids; where it is empty a line tells itself.
    """

    lot_name: str
    outs: tuple[OutKept, ...]
    names: Mapping[str, str] = field(default_factory=dict)
    kinds: Mapping[str, Kind] = field(default_factory=dict)


def waiting_of(
    lots: Iterable[Outside],
    *,
    on: date,
    cards: Iterable[Cards] = (),
    hangs: Collection[tuple[str, str]] = (),
    due: Iterable[Due] = (),
) -> Waiting:
    """The chase list.

    Parameters
    ----------
    lots : iterable of Outside
    on : date
        Today.
    cards : iterable of Cards
        Titles of what waits come from them, where they are at hand.
    hangs : collection of (machine, card)
        Cards that a date hangs on, by the plan that is kept.
    due : iterable of Due
        Days of the move.

    Returns
    -------
    Waiting

    Examples
    --------
    >>> waiting_of([], on=date(2026, 11, 26)).owed
    ()
    """
    by_machine = {one.machine: one for one in cards}
    every = [
        _owed(lot, one, by_machine.get(one.out.machine or ""), on, hangs)
        for lot in lots
        for one in lot.outs
    ]
    deposits: dict[str, Decimal] = {}
    for one in every:
        if one.deposit is not None:
            deposits[one.out.currency] = deposits.get(one.out.currency, Decimal(0)) + one.deposit
    return Waiting(
        on=on.isoformat(),
        owed=most_pressing(one for one in every if on_the_list(one)),
        deposits=dict(sorted(deposits.items())),
        due=tuple(sorted(due, key=lambda one: one.on)),
    )


def waiting_cards(cards: Cards, line: str) -> tuple[Card, ...]:
    """The open cards of a machine that wait for what a line names.

    Parameters
    ----------
    cards : Cards
    line : str

    Returns
    -------
    tuple of Card
        Those that say so; else those that need it.

    Examples
    --------
    >>> waiting_cards(Cards(lot="l", lot_name="school", machine="m", machine_name="mill", kind="k",
    ...     aim="keep", level="right", cards=(), visits=(), hours=0.0), "F15:local")
    ()
    """
    still = [card for card in cards.cards if card.state != "done"]
    waits = [card for card in still if any(wait.part == line for wait in card.waits)]
    return tuple(waits or [c for c in still if any(part.line == line for part in c.parts)])


def _owed(
    lot: Outside,
    one: OutKept,
    cards: Cards | None,
    on: date,
    hangs: Collection[tuple[str, str]],
) -> Owed:
    machine, line = one.out.machine or "", one.out.line
    waits = waiting_cards(cards, line) if cards is not None and line else ()
    titles = [card.title for card in waits] if one.ended is None else []
    if line and not titles and one.ended is None:
        kind = lot.kinds.get(machine)
        titles = [line_words(line, [kind] if kind is not None else lot.kinds.values())]
    return owed(
        one,
        on=on,
        lot_name=lot.lot_name,
        machine_name=lot.names.get(machine, ""),
        holds_up=titles,
        pressing=any((machine, card.key) in hangs for card in waits),
    )
