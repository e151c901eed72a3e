"""What the shop remembers of its fault-finding: what was tried, where parts are, what it taught."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

import click

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.sheet_json import dumps
from retrue.cli.find_options import case_argument, machine_option
from retrue.cli.find_source import machine_in, open_kept
from retrue.cli.house import House
from retrue.cli.lines import put, table
from retrue.cli.options import json_option, shop_option
from retrue.phases import find
from retrue.phases.find import Learned, LearnedRow, NotNeeded, TriedLine

pass_house = click.make_pass_decorator(House)


@click.command()
@case_argument
@machine_option
@json_option
@shop_option
@pass_house
def tried(house: House, case: str, machine: str | None, as_json: bool, shop: str | None) -> None:
    """Tell what was seen, done and tried, oldest first, and what was bought for nothing."""
    with open_kept(house, case, shop) as seeker:
        stands = seeker.case()
        name = machine_in(stands, machine)
        lines = find.tried(seeker.shop, seeker.lot, name, house.kinds())
        idle = find.not_needed(seeker.shop, seeker.lot, name, house.kinds())
    currency = stands.shop.currency
    if as_json:
        told = {"currency": currency, "lot": stands.lot.name, "machine": name}
        rows = [_told(line) for line in lines]
        waste = {"hours": idle.hours, "money": float(idle.money),
                 "ids": [line.id for line in idle.lines]}  # fmt: skip
        click.echo(dumps(told | {"not_needed": waste, "schema": 1, "tried": rows}))
        return
    put(_tried_lines(lines, idle, currency))


def _told(line: TriedLine) -> dict[str, Any]:
    names = ("bought", "corrected", "decided", "expected", "hours", "id", "needed", "pictures",
             "seen", "sort", "what", "who")  # fmt: skip
    told: dict[str, Any] = {name: getattr(line, name) for name in names}
    told["money"] = None if line.money is None else float(line.money)
    told["on"] = line.when.date().isoformat()
    why = {name: say("nobody said") for name in ("hours", "money", "needed") if told[name] is None}
    return told | {"why": why}


def _tried_lines(lines: tuple[TriedLine, ...], idle: NotNeeded, currency: str) -> Iterator[str]:
    if not lines:
        yield say("Nothing was tried yet. retrue find tell keeps what it does.")
        return
    for line in lines:
        yield f"{line.when.date().isoformat()}  {line.what}" + (
            f": {line.seen}" if line.seen else ""
        )
        if line.expected:
            yield "  " + say("expected: {words}", words=line.expected)
        if line.decided:
            yield "  " + say("decided: {words}", words=line.decided)
        spent = list(_spent(line, currency))
        if spent:
            yield "  " + "; ".join(map(str, spent))
    if idle.lines:
        yield ""
        yield say(
            "Not needed after all: {count}, {money} and {hours} hours.",
            count=len(idle.lines),
            money=formatter.money(idle.money, currency),
            hours=formatter.number(idle.hours, 1),
        )


def _spent(line: TriedLine, currency: str) -> Iterator[str]:
    if line.money is not None:
        yield formatter.money(line.money, currency)
    if line.hours is not None:
        yield say("{hours} hours", hours=formatter.number(line.hours, 1))
    if line.bought:
        yield say("bought: {what}", what=line.bought)
    if line.needed is not None:
        yield say("needed") if line.needed else say("not needed")
    if line.pictures:
        yield say("photographs: {count}", count=len(line.pictures))


@click.command("take-back")
@click.argument("record")
@click.option("--reason", default="", help="Why.")
@json_option
@shop_option
@pass_house
def take_back(house: House, record: str, reason: str, as_json: bool, shop: str | None) -> None:
    """Take back what was said or done by mistake; it stays readable and counts no more.

    RECORD is the id that was printed when it was kept; retrue find tried --json has them all.
    """
    with house.open_shop(shop) as opened:
        gone = find.withdraw(opened, record, reason, **house.hand)
    if as_json:
        click.echo(dumps({"kept": gone.id, "of": gone.fact.of_kind, "schema": 1}))
        return
    click.echo(say("Taken back: {kind} {id}", kind=say(gone.fact.of_kind), id=record))


@click.command()
@json_option
@shop_option
@pass_house
def serials(house: House, as_json: bool, shop: str | None) -> None:
    """Tell where each part with a serial number is now, by all the moves that were kept."""
    with house.open_shop(shop) as opened:
        rows = find.serials(opened)
    if as_json:
        names = ("came_from", "lot", "machine", "part", "serial", "slot")
        told = [{name: getattr(row, name) for name in names} for row in rows]
        click.echo(dumps({"schema": 1, "serials": told}))
        return
    if not rows:
        click.echo(say("No part has changed places yet."))
    for row in rows:
        click.echo(
            say("{part} {serial}: {machine}, {slot}; came from {came}", part=row.part,
                serial=row.serial, machine=row.machine, slot=row.slot, came=row.came_from)
        )  # fmt: skip


@click.command()
@json_option
@shop_option
@pass_house
def learned(house: House, as_json: bool, shop: str | None) -> None:
    """Tell what was guessed, what was, and what is said next time; how good the guesses were."""
    with house.open_shop(shop) as opened:
        taught = find.learned(opened, house.kinds())
    if as_json:
        click.echo(dumps(_taught(taught)))
        return
    put(_learned_lines(taught))


def _taught(taught: Learned) -> dict[str, Any]:
    scores = asdict(taught.scores)
    gone = say("nothing was opened and told here yet")
    scores["why"] = {name: gone for name, value in scores.items() if value is None}
    rows = []
    for row in taught.rows:
        told = asdict(row)
        told["on"] = told.pop("when").date().isoformat()
        rows.append(told)
    return {
        "families": [asdict(family) for family in taught.families],
        "rows": rows,
        "schema": 1,
        "scores": scores,
        "trust": taught.trust,
        "trust_text": taught.trust_text,
    }


def _learned_lines(taught: Learned) -> Iterator[str]:
    yield taught.trust_text
    if not taught.rows:
        return
    rows: list[tuple[str, ...]] = [("", say("guessed"), say("was"), say("next time"))]
    rows += [_row(row) for row in taught.rows]
    yield from table(rows)


def _row(row: LearnedRow) -> tuple[str, ...]:
    was = say("there") if row.was else say("not there")
    odds = formatter.odds
    return f"{row.machine}: {row.name}", odds(row.guessed), was, odds(row.next_time)
