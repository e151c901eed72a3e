"""Plan a move: every calculator with what is known, kept as it was filled in."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.base.say import say
from retrue.cases.move.steps import DATA, MUST_BE_SAVED, STEPS, saved, waits_for
from retrue.cases.reckon.kept import MethodStands, method_stands
from retrue.cases.reckon.method import methods
from retrue.cases.reckon.reckoning import Answer, Reckoning
from retrue.cases.spot import Spot, find
from retrue.kinds.library import Kind
from retrue.phases.move.views import DataLine, Plan, StepLine
from retrue.records.moving import DataCopy, MoveStep
from retrue.records.shop import Record, RecordShop

WAY_IN = ("door", "supply")
LIFTS = ("lift", "forklift")
ALWAYS = ("X01", "X20", "X32", "X22", "X08")  # before any number, of air as well


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
    made = tuple(method_stands(shop, spot, one, kinds) for one in methods("move"))
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
