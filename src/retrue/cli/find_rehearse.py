"""A practice machine at the keyboard: it hides what is wrong; ask, test, repair, pay."""

from __future__ import annotations

import functools
import sys
from collections.abc import Iterator
from typing import Any

import click

from retrue.base import formatter
from retrue.base.refusals import Refusal
from retrue.base.say import say
from retrue.cases.find.advice import Advice, Goal
from retrue.cases.find.bill import Bill
from retrue.cases.find.policies import by_advice, play
from retrue.cases.find.practising import act, seen_words, symptom_of, truth_words
from retrue.cases.find.rehearsal import MACHINE, Rehearsal, begin
from retrue.cases.sheet_json import dumps
from retrue.cli.find_lines import brief_lines
from retrue.cli.find_options import goal_option
from retrue.cli.house import House
from retrue.cli.lines import put, table
from retrue.cli.options import json_option
from retrue.phases import find

pass_house = click.make_pass_decorator(House)
CURRENCY = "EUR"  # of an invented machine
WORDS = ("next", "again", "help", "bill", "stop")


@click.command()
@click.option(
    "--kind",
    "kind_id",
    default="vertical_machining_centre",
    show_default=True,
    help="Type of machine, as retrue kinds list names it.",
)
@goal_option
@click.option("--symptom", default="", metavar="ID", help="What it does; else chance says.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=1, show_default=True,
              help="The same seed hides the same machine, with the same luck.")  # fmt: skip
@click.option("--wrong-priors", is_flag=True,
              help="What is likely on it is not what the tables say.")  # fmt: skip
@json_option
@pass_house
def rehearse(
    house: House,
    kind_id: str,
    goal: Goal,
    symptom: str,
    seed: int,
    wrong_priors: bool,
    as_json: bool,
) -> None:
    """Hide a machine; each line you type is one act, until it is gone or you stop.

    A line is a look (C31), a repair (F15:local), a job (J07), again, group:spindle, help,
    help:spindle; next shows the advice, bill what was paid, stop gives up. At the end stand the
    truth, your bill, and the bill of the tool's own advice on the same machine.
    """
    hide = functools.partial(
        begin, house.kinds(), kind_id, seed=seed, goal=goal, symptom=symptom,
        wrong_priors=wrong_priors,
    )  # fmt: skip
    one, other = hide(), hide()
    log: list[dict[str, str]] = []
    if not as_json:
        put(_opening(one, seed))
    done = False
    for line in sys.stdin:
        word = line.strip()
        if word == "stop":
            break
        if not word or word.startswith("#"):
            continue
        told, done = _answer(house, one, word)
        log.append({"said": word, "told": " ".join(map(str, told))})
        if not as_json:
            put(iter(told))
        if done:
            break
    play(other, house.kinds(), by_advice)
    if as_json:
        answer = _told(one, other, log, done)
        click.echo(dumps(answer | {"seed": seed, "wrong_priors": wrong_priors}))
    else:
        put(_closing(one, other, done))


def _answer(house: House, one: Rehearsal, word: str) -> tuple[list[str], bool]:
    """What is printed for one typed line; a refusal costs nothing."""
    if word == "next":
        return list(brief_lines(_advice(house, one))), False
    if word == "bill":
        return list(_bill_lines(one.bill)), False
    try:
        told, met = act(one, word)
    except Refusal as refusal:
        return [refusal.reason, refusal.remedy], False
    return [told], met


def _advice(house: House, one: Rehearsal) -> Advice:
    return find.advise_case(one.case, MACHINE, house.kinds(), goal=one.goal)


def _opening(one: Rehearsal, seed: int) -> Iterator[str]:
    said = one.kind.symptoms.get(symptom_of(one) or "")
    yield say(
        "{kind}, practice machine {seed}: {words}",
        kind=one.kind.name,
        seed=seed,
        words=said.words if said else say("bring it to the level"),
    )
    yield say("Seen so far:")
    for kept in one.case.findings:
        text = one.kind.checks[kept.finding.check or ""].text
        yield f"  {kept.finding.check}  {text}: {seen_words(one, kept.finding)}"


def _bill_lines(bill: Bill) -> Iterator[str]:
    currency = CURRENCY
    rows: list[tuple[str, ...]] = [(say("act"), say("money"), say("hours"), say("in all"))]
    rows += [
        (
            line.text,
            formatter.money(line.money, currency),
            formatter.number(line.hours, 1),
            formatter.money(line.cost, currency),
        )
        for line in bill.lines
    ]
    yield from table(rows)
    yield say(
        "In all: {cost}; money {money}, {hours} own hours.",
        cost=formatter.money(bill.cost, currency),
        money=formatter.money(bill.money, currency),
        hours=formatter.number(bill.hours, 1),
    )


def _closing(one: Rehearsal, other: Rehearsal, done: bool) -> Iterator[str]:
    yield ""
    yield say("It is done.") if done else say("You stopped before it was done.")
    if one.goal == "clear":
        yield say("Behind it was: {names}.", names="; ".join(truth_words(one, one.behind)))
    there = len(one.truth)
    yield say("Wrong with the machine in all: {count} things.", count=there)
    yield ""
    yield say("Your bill: {cost}.", cost=formatter.money(one.bill.cost, CURRENCY))
    yield say("The bill of the advice: {cost}.", cost=formatter.money(other.bill.cost, CURRENCY))
    yield say("Who knew everything would have paid {cost} for the repairs.",
              cost=formatter.money(one.least(), CURRENCY))  # fmt: skip
    yield say("An invented machine. Estimate for planning.")


def _told(
    one: Rehearsal, other: Rehearsal, log: list[dict[str, str]], done: bool
) -> dict[str, Any]:
    symptom = symptom_of(one)
    return {
        "advice": _bill(other.bill),
        "behind": sorted(one.behind),
        "bill": _bill(one.bill),
        "currency": one.case.shop.currency,
        "goal": one.goal,
        "kind": one.kind.id,
        "least": one.least(),
        "log": log,
        "met": done,
        "present": sorted(one.truth),
        "schema": 1,
        "symptom": symptom,
        "why": {} if symptom else {"symptom": say("the goal is a level, not a trouble")},
    }


def _bill(bill: Bill) -> dict[str, Any]:
    rows = [
        {"cost": line.cost, "days": line.days, "hours": line.hours, "money": line.money,
         "text": line.text}
        for line in bill.lines
    ]  # fmt: skip
    return {"cost": bill.cost, "hours": bill.hours, "lines": rows, "money": bill.money}
