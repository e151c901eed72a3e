"""One number after the other: kept as typed, before anything is made of it."""

from __future__ import annotations

from collections.abc import Mapping
from statistics import median
from typing import Unpack

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import ODD_TIMES, Cell, odd
from retrue.cases.prove.table import Table
from retrue.kinds.library import Kind
from retrue.phases.prove.sets import open_set, read_by_cell, set_line
from retrue.phases.prove.views import Kept, SetView
from retrue.records.hand import Hand
from retrue.records.measuring import Reading
from retrue.records.shop import Record, RecordShop


def keep_reading(
    shop: RecordShop,
    set_id: str,
    cell: str,
    text: str,
    kinds: Mapping[str, Kind],
    *,
    sure: bool = False,
    **hand: Unpack[Hand],
) -> Kept:
    """Keep one number of a set; one that is unlike the others is asked about first.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    set_id : str
        Of the set.
    cell : str
        Id of a cell of its form.
    text : str
        As typed, with its sign.
    kinds : mapping of str to Kind
        The library.
    sure : bool
        It was asked about, and it is right.
    **hand : Hand
        Who reads; with an ``id``, sent twice is kept once.

    Returns
    -------
    Kept
        The record; a number typed anew takes the place of the old one. Or the question.

    Raises
    ------
    Unknown
        No such set, or no such cell in it.
    Unusable
        It is no number.
    """
    view = open_set(shop, set_id, kinds)
    key = set_line(shop, set_id)[0]
    wanted = Reading(set=key, cell=_cell(view, cell).id, text=text.strip(), sure=sure)
    sent = _sent_before(shop, wanted, hand)
    if sent is not None:
        return Kept(sent, "")
    _number(_cell(view, cell), wanted.text)
    question = "" if sure else _question(view, wanted, dict(view.values))
    return _put(shop, wanted, read_by_cell(shop, key).get(cell), question, hand)


def keep_readings(
    shop: RecordShop,
    set_id: str,
    values: Mapping[str, str],
    kinds: Mapping[str, Kind],
    *,
    sure: bool = False,
    **hand: Unpack[Hand],
) -> None:
    """Keep a whole sheet of numbers; those that are right are kept before one is refused.

    Parameters
    ----------
    shop : RecordShop
        Where they are kept.
    set_id : str
        Of the set.
    values : mapping of str to str
        Text by cell id; an empty one says nothing.
    kinds : mapping of str to Kind
        The library.
    sure : bool
        They were looked over; none is asked about.
    **hand : Hand
        Who reads; with an ``id``, each gets its own by its place in the form.

    Raises
    ------
    Unusable
        Names every cell that is no number, is not of this form, or is unlike the others.
    """
    view = open_set(shop, set_id, kinds)
    key = set_line(shop, set_id)[0]
    kept = read_by_cell(shop, key)
    typed = {cell: text.strip() for cell, text in values.items() if text.strip()}
    numbers, problems = _numbers(view, typed)
    for place, cell in enumerate(view.cells):
        if cell.id not in numbers:
            continue
        wanted = Reading(set=key, cell=cell.id, text=numbers[cell.id], sure=sure)
        question = "" if sure else _question(view, wanted, {**view.values, **numbers})
        mine = _own_id(hand, place)
        sent = _sent_before(shop, wanted, mine)
        if sent is None and _put(shop, wanted, kept.get(cell.id), question, mine).question:
            problems.append(_asked(cell, question))
    _refuse(problems)


def _cell(view: SetView, cell: str) -> Cell:
    for one in view.cells:
        if one.id == cell:
            return one
    remedy = say("Open the set again and type into one of its fields.")
    if view.record.fact.file:
        remedy = say("Its readings are those of a whole file: keep a corrected file as a new set.")
    raise Unknown(say("this set of readings has no field {cell}", cell=cell), remedy=remedy)


def _number(cell: Cell, text: str) -> float:
    """The number a text is, by the rules of a table of readings."""
    try:
        value = float(Table(cell.id, {cell.column: [text]}, [1]).numbers(cell.column)[0])
    except Unusable as wrong:
        what = wrong.problems[0].what if wrong.problems else wrong.reason
        remedy = say("Write a number in {unit}.", unit=cell.unit)
        raise _unusable(Problem(cell.id, what, remedy)) from None
    if value < 0 and not cell.signed:
        remedy = say("Leave the minus away.")
        raise _unusable(Problem(cell.id, say("a number below zero"), remedy))
    return value


def _numbers(view: SetView, typed: Mapping[str, str]) -> tuple[dict[str, str], list[Problem]]:
    """Texts that are numbers, and what is wrong with the others."""
    good: dict[str, str] = {}
    problems: list[Problem] = []
    for id, text in typed.items():
        try:
            _number(_cell(view, id), text)
            good[id] = text
        except Unknown as strange:
            problems.append(Problem(id, strange.reason, strange.remedy))
        except Unusable as wrong:
            problems += wrong.problems
    return good, problems


def _question(view: SetView, wanted: Reading, texts: Mapping[str, str]) -> str:
    """Ask where a number is unlike those of the same column, as far as its instrument can tell."""
    cell = _cell(view, wanted.cell)
    others = [
        _number(one, texts[one.id])
        for one in view.cells
        if one.column == cell.column and one.id != cell.id and one.id in texts
    ]
    value, doubt = _number(cell, wanted.text), view.conditions.reading_uncertainty or 0.0
    if others and abs(value - median(others)) <= ODD_TIMES * doubt / 2:
        return ""  # k = 2: within eight times the instrument's own scatter
    return odd(cell, value, others)


def _sent_before(shop: RecordShop, wanted: Reading, hand: Hand) -> Record[Reading] | None:
    """The record that this very sending was kept as; the shop refuses another content."""
    id = hand.get("id")
    if id is None:
        return None
    try:
        kept = shop.get(Reading, id)
    except Unknown:
        return None
    return kept if kept.fact == wanted else None


def _put(
    shop: RecordShop, wanted: Reading, old: Record[Reading] | None, question: str, hand: Hand
) -> Kept:
    if old is not None and old.fact.text == wanted.text:
        return Kept(old, "")
    if question:
        return Kept(None, question)
    return Kept(shop.add(wanted, replaces=old.id if old else None, **hand), "")


def _own_id(hand: Hand, place: int) -> Hand:
    if "id" not in hand:
        return hand
    mine = hand.copy()
    mine["id"] = f"{hand['id']}.{place + 1}"
    return mine


def _asked(cell: Cell, question: str) -> Problem:
    return Problem(cell.id, question, say("Type it once more, or say that it is right."))


def _unusable(problem: Problem) -> Unusable:
    return Unusable(
        say("this is not a reading: {what}", what=problem.what),
        remedy=problem.remedy,
        problems=(problem,),
    )


def _refuse(problems: list[Problem]) -> None:
    if problems:
        raise Unusable(
            say("some readings are not kept yet"),
            remedy=say("Correct those that are named; all the others are kept."),
            problems=tuple(problems),
        )
