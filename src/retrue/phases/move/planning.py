"""Plan a move: every calculator with what is known, kept as it was filled in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Unpack

from retrue.base.refusals import Refusal, Unreadable, Unusable
from retrue.base.say import say
from retrue.cases.move.feeding import fed
from retrue.cases.move.steps import DATA, MUST_BE_SAVED, STEPS, saved, waits_for
from retrue.cases.reckon.method import Method, answered, method, methods, values_of
from retrue.cases.reckon.prefill import Filled, prefilled
from retrue.cases.reckon.reckoning import Answer, Reckoning
from retrue.cases.spot import Spot, find
from retrue.kinds.library import Kind
from retrue.phases.move.views import DataLine, MethodStands, Plan, StepLine
from retrue.records.facts import Machine, Plate, Shop
from retrue.records.hand import Hand
from retrue.records.moving import DataCopy, MoveStep, Planned
from retrue.records.shop import Record, RecordShop

WAY_IN = ("door", "supply")
LIFTS = ("lift", "forklift")
ALWAYS = ("X01", "X20", "X32", "X22", "X08")  # before any number, of air as well


def reckon_file(id: str, typed: Mapping[str, Any], kinds: Mapping[str, Kind]) -> Reckoning:
    """One calculator without a shop; nothing is kept.

    Parameters
    ----------
    id : str
        lift, forklift ...
    typed : mapping
        Fields as typed; a file as its bytes.
    kinds : mapping of str to Kind
        The library, for the cautions.

    Returns
    -------
    Reckoning
    """
    return answered(method(id), typed, next(iter(kinds.values())).cautions)


def stands(
    shop: RecordShop, lot: str, machine: str, id: str, kinds: Mapping[str, Kind]
) -> MethodStands:
    """One calculator of a machine, filled with what is known.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    id : str
        Of the calculator.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    MethodStands
    """
    spot = find(shop, lot, machine, kinds)
    return _stands(shop, spot, method(id), kinds)


def _stands(shop: RecordShop, spot: Spot, one: Method, kinds: Mapping[str, Kind]) -> MethodStands:
    plans = [r.fact for r in shop.current(Planned, lot=spot.lot, machine=spot.machine)]
    known = _known(shop, spot, one, plans)
    cautions = (spot.kind or next(iter(kinds.values()))).cautions
    typed = _with_files(shop, one, {id: filled.value for id, filled in known.items()})
    touched = any(plan.method == one.id for plan in plans)
    try:
        reckoning = answered(one, typed, cautions)
    except (Unusable, Unreadable) as wrong:
        readable = _readable(typed, wrong)
        reckoning = answered(one, readable, cautions)
    return MethodStands(one, reckoning, known, touched)


def _known(shop: RecordShop, spot: Spot, one: Method, plans: list[Planned]) -> dict[str, Filled]:
    """Fields that are known: from these calculators, the plate, the machine's page, the shop."""
    mine = shop.current(Shop)
    record: Record[Machine] = shop.history(spot.machine)[-1]
    plates = [plate.fact for plate in shop.current(Plate, machine=spot.machine)]
    told = (record.fact, plates, mine[-1].fact if mine else Shop(), plans)
    fed_by = fed(prefilled(method("supply"), *told)) if one.id == "conductor" else {}
    return fed_by | prefilled(one, *told)


def _told_elsewhere(shop: RecordShop, spot: Spot, one: Method) -> dict[str, str]:
    """Fields as they would stand if nothing had been typed for this calculator."""
    plans = [r.fact for r in shop.current(Planned, lot=spot.lot, machine=spot.machine)]
    others = [plan for plan in plans if plan.method != one.id]
    return {id: filled.value for id, filled in _known(shop, spot, one, others).items()}


def _readable(typed: Mapping[str, Any], wrong: Refusal) -> dict[str, Any]:
    """What can be read of it: a plate may hold words, a kept file may be no table of this sort."""
    bad = {problem.where for problem in wrong.problems}
    if not bad & typed.keys():
        return {id: value for id, value in typed.items() if not isinstance(value, bytes)}
    return {id: value for id, value in typed.items() if id not in bad}


def _with_files(shop: RecordShop, one: Method, said: Mapping[str, str]) -> dict[str, Any]:
    """Fields with the bytes of a kept file in place of its hash."""
    typed: dict[str, Any] = dict(said)
    for field in one.fields:
        if field.sort == "file" and field.id in typed:
            typed[field.id] = shop.file(typed[field.id])
    return typed


def keep_plan(
    shop: RecordShop,
    lot: str,
    machine: str,
    calculator: str,
    typed: Mapping[str, str],
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[Planned]:
    """Keep a calculator as it was filled in; it takes the place of an earlier one.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    calculator : str
        lift, forklift ...
    typed : mapping
        Text by field; a file by the SHA-256 it was kept under. What only repeats the plate, the
        shop or another calculator is not kept, so that a correction there reaches it.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Record of Planned

    Raises
    ------
    Unusable
        Fields that cannot be read, each named; nothing is kept.
    """
    spot, one = find(shop, lot, machine, kinds), method(calculator)
    given = {name: text.strip() for name, text in typed.items() if text.strip()}
    one.reckon(values_of(one, _with_files(shop, one, given)))  # refuses what cannot be read
    told = _told_elsewhere(shop, spot, one)
    own = tuple((name, text) for name, text in given.items() if told.get(name) != text)
    fact = Planned(lot=spot.lot, machine=spot.machine, method=calculator, values=own)
    old = [
        record
        for record in shop.current(Planned, lot=spot.lot, machine=spot.machine)
        if record.fact.method == calculator
    ]
    if old and old[-1].fact == fact:
        return old[-1]
    return shop.add(fact, replaces=old[-1].id if old else None, **hand)


def plan(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]) -> Plan:
    """The whole move of one machine as it stands.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Plan
    """
    spot = find(shop, lot, machine, kinds)
    made = tuple(_stands(shop, spot, one, kinds) for one in methods("move"))
    copies = shop.current(DataCopy, lot=spot.lot, machine=spot.machine)
    steps = _steps(shop, spot, copies, {one.method.id: one.reckoning for one in made})
    answer, headline = _answer(made)
    cautions = (spot.kind or next(iter(kinds.values()))).cautions
    words = tuple((cautions[id].text, cautions[id].defers_to) for id in ALWAYS if id in cautions)
    data = _data(copies)
    return Plan(spot.name, spot.lot_name, made, data, steps, answer, headline, words,
                _next(made, data, steps))  # fmt: skip


def _steps(
    shop: RecordShop,
    spot: Spot,
    copies: list[Record[DataCopy]],
    reckoned: Mapping[str, Reckoning],
) -> tuple[StepLine, ...]:
    records = shop.current(MoveStep, lot=spot.lot, machine=spot.machine)
    done = {record.fact.step: record for record in records}
    facts = {step: record.fact for step, record in done.items()}
    said = [record.fact for record in copies]
    return tuple(
        StepLine(
            step,
            done.get(step.id),
            () if step.id in done else waits_for(step.id, facts, said, reckoned),
        )
        for step in STEPS
    )


def _data(copies: list[Record[DataCopy]]) -> tuple[DataLine, ...]:
    by_sort: dict[str, Record[DataCopy]] = {record.fact.sort: record for record in copies}
    is_saved = saved([record.fact for record in copies])
    return tuple(
        DataLine(
            sort, say(name), by_sort.get(sort), sort in MUST_BE_SAVED, is_saved.get(sort, False)
        )
        for sort, name in DATA.items()
    )


def _answer(made: tuple[MethodStands, ...]) -> tuple[Answer, str]:
    """Go only if one way of lifting, the door and the supply are."""
    of = {one.method.id: one.reckoning for one in made}
    lifts = [of[id] for id in LIFTS]
    best = next((one for one in lifts if one.answer == "go"), lifts[0])
    decisive = [best, *(of[id] for id in WAY_IN)]
    decisive += [one.reckoning for one in made if one.touched and one.reckoning not in decisive]
    decisive = [one for one in decisive if one not in lifts or one is best]
    for answer in ("no_go", "get_first"):
        for one in decisive:
            if one.answer == answer:
                told = say("{title}: {headline}", title=one.title, headline=one.headline)
                return one.answer, told
    return "go", say("Lift, door and supply are a go by what is known.")


def _next(
    made: tuple[MethodStands, ...], data: tuple[DataLine, ...], steps: tuple[StepLine, ...]
) -> str:
    """One act: the first number that is lacking, the data, then the next step."""
    done = {line.step.id for line in steps if line.record}
    unsaved = [line for line in data if line.must and not line.done]
    if "loaded" not in done:
        for one in made:
            for lack in one.reckoning.missing[:1]:
                if one.method.id in ("lift", "door", "supply"):
                    return say("{what}. {how}", what=_cap(lack.reason), how=lack.remedy)
    if unsaved and "unplugged" not in done:
        return say("Save {what} before the plug is pulled, and read it back.",
                   what=unsaved[0].name)  # fmt: skip
    left = [line for line in steps if not line.record and not line.waits]
    return say(left[0].step.text) if left else ""


def _cap(text: str) -> str:
    return text[:1].upper() + text[1:]
