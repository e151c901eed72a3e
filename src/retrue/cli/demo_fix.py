"""The demo's lists: tonight, who owes what, when it will cut, and what an opening changes."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, timezone
from decimal import Decimal
from pathlib import Path
from typing import Any

from retrue.base.say import say
from retrue.cases.fix.choice_lines import Options
from retrue.cases.fix.lines import Tonight, Waiting
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.spot import find as spot_of
from retrue.cli.demo_days import example, kept_at
from retrue.cli.fix_card_lines import tonight_lines
from retrue.cli.fix_waiting import waiting_lines
from retrue.cli.house import House
from retrue.phases import find, fix
from retrue.records.fixing import Gear, Out, Rung, Worker
from retrue.records.shop import RecordShop

FILE = "fix/evenings.toml"
GHENT = timezone(timedelta(hours=1))
WORLDS = 1000
PLACE = "axis_z"  # whose visit is printed


@dataclass(frozen=True, slots=True)
class Listed:
    """What the demo's evening lists.

    Attributes
    ----------
    before, after : PlanView
        Kept before the lathe was opened; made again with what was found.
    """

    tonight: Tonight
    waiting: Waiting
    options: Options
    before: PlanView
    after: PlanView
    machine: str
    found: str


def listing(house: House, shop: RecordShop, lot: str, *, seed: int) -> Listed:
    """Say who works when, hear two quotes, send something out, plan; open, find, plan again.

    Parameters
    ----------
    house : House
    shop : RecordShop
        With the lot in it.
    lot : str
        By name.
    seed : int

    Returns
    -------
    Listed
    """
    said = tomllib.loads(example(house, FILE).decode())
    machine, on, kinds, hand = said["machine"], said["day"], house.kinds(), kept_at(house, "lists")
    now = datetime.combine(on, time(18, 30), tzinfo=GHENT)
    _people(house, shop, said)
    _telephone(house, shop, lot, said)
    asked: dict[str, Any] = {"now": now, "seed": seed, "worlds": WORLDS}
    before = fix.plan(shop, kinds, **asked)
    fix.keep_plan(shop, before, **hand)
    tonight = fix.tonight(shop, kinds, on=on, hours=2.0, alone=True, hoist=False)
    waiting = fix.waiting(shop, on=on, kinds=kinds)
    fault = said["found"]["fault"]
    find.teardown(shop, lot, machine, fault, said["found"]["answer"] == "present", kinds,
                  text=said["found"]["text"], **hand)  # fmt: skip
    options = fix.options(shop, lot, machine, kinds, level="right", **asked)
    name = next(one.name for one in options.faults if one.fault == fault)
    why = say("opened, and found: {fault}", fault=name)
    return Listed(tonight, waiting, options, before, fix.plan(shop, kinds, why=why, **asked),
                  machine, name)  # fmt: skip


def _people(house: House, shop: RecordShop, said: Mapping[str, Any]) -> None:
    for one in said["hands"]:
        worker = Worker(
            name=one["name"],
            evenings=tuple(map(tuple, one["evenings"])),
            away=tuple(map(tuple, one.get("away", ()))),
            helps_only=one.get("helps_only", False),
        )
        fix.set_worker(shop, worker, **kept_at(house, "lists"))
    for one in said["gear"]:
        costs = Decimal(one["day_costs"])
        fix.set_gear(shop, Gear(**(one | {"day_costs": costs})), **kept_at(house, "lists"))


def _telephone(house: House, shop: RecordShop, lot: str, said: Mapping[str, Any]) -> None:
    kinds, hand, on = house.kinds(), kept_at(house, "lists"), said["day"]
    spot = spot_of(shop, lot, said["machine"], kinds)
    for one in said["quotes"]:
        spoken = fix.read_quote(shop, lot, one["said"], kinds, on=on, machine=said["machine"])
        kept = fix.quote_said(shop, lot, spoken, kinds, machine=said["machine"], **hand)
        if one.get("taken"):
            fix.take(shop, kept.id, on=on, kinds=kinds, **hand)
    row = dict(said["out"]) | {"deposit": Decimal(said["out"]["deposit"])}
    sent = fix.send(shop, Out(lot=spot.lot, machine=spot.machine, **row), kinds, **hand)
    fix.ring(shop, sent.id, Rung(lot=spot.lot, out=sent.id, **said["rung"]), **hand)


def listing_lines(listed: Listed, kinds: Mapping[str, Any]) -> Iterator[str]:
    """The evening in a few lines.

    Parameters
    ----------
    listed : Listed
    kinds : mapping of str to Kind

    Yields
    ------
    str
        One line each.
    """
    yield say("What to do:")
    yield from tonight_lines(listed.tonight, kinds)
    yield say("Waiting for, chase:")
    yield from waiting_lines(listed.waiting)
    yield from dates(listed.before)
    yield say("{machine} opened, and found: {fault}. Planned again:", machine=listed.machine,
              fault=listed.found)  # fmt: skip
    yield from dates(listed.after)
    for broke in listed.after.broke:
        if broke.days is not None:
            yield say("  {machine}: {days} days later than was promised.",
                      machine=broke.machine_name, days=round(broke.days))  # fmt: skip
    for one in listed.after.machines:
        if one.machine_name == listed.machine and one.stop_loss is not None:
            yield f"  {one.stop_loss.words}"


def listing_papers(
    house: House, shop: RecordShop, lot: str, listed: Listed, folder: Path
) -> tuple[Path, ...]:
    """Write the cards of the lathe, its first week, and the calendar.

    Parameters
    ----------
    house : House
    shop : RecordShop
    lot : str
        By name.
    listed : Listed
    folder : Path

    Returns
    -------
    tuple of Path
    """
    kinds, plan = house.kinds(), listed.after
    on = datetime.fromisoformat(plan.at).date()
    made = fix.cards(shop, lot, listed.machine, kinds)
    week = fix.week(shop, plan, kinds, on=on, day=on)
    papers = {
        f"cards-{listed.machine}.pdf": house.printer.cards(
            fix.card_sheets(made, kinds, place=PLACE), house.by
        ),
        "week.pdf": house.printer.week(week, house.by),
        "plan.ics": house.printer.calendar(fix.calendar(shop, plan, kinds, on=on)),
    }
    for name, content in papers.items():
        (folder / name).write_bytes(content)
    return tuple(folder / name for name in papers)


def dates(view: PlanView) -> Iterator[str]:
    """The first good part of each machine, as a range.

    Parameters
    ----------
    view : PlanView

    Yields
    ------
    str
    """
    for one in view.machines:
        if one.why:
            yield say("  {machine}, first good part: {why}", machine=one.machine_name, why=one.why)
        else:
            yield say("  {machine}, first good part: most likely {even}, with bad luck {promise}",
                      machine=one.machine_name, even=_day(one.even_on),
                      promise=_day(one.promise_on))  # fmt: skip


def _day(text: str | None) -> str:
    if text is None:
        return say("no date")
    return date.fromisoformat(text[:10]).isoformat()
