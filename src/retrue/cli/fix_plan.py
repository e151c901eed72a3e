"""Plans at the keyboard, and who works when with what."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import nullcontext
from dataclasses import asdict, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, TypeVar

import click

from retrue.base.refusals import NotYet, Problem, Unusable
from retrue.base.say import say
from retrue.cases.fix.cards_json import plan_row
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.lot_file import read_lot
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_card_lines import plan_lines
from retrue.cli.fix_days import day, today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import AMOUNT, Between, content_of, is_file, json_option, shop_option
from retrue.cli.strip_rows import put_file
from retrue.phases import fix
from retrue.records.fixing import Gear, Worker
from retrue.records.fixing_rules import WEEK
from retrue.records.shop import Record, RecordShop

pass_house = click.make_pass_decorator(House)
FILE = click.Path(dir_okay=False, path_type=Path)
MAY = ("anyone", "competent", "electrician")
HAVE = ("owned", "borrowed", "hired", "none")
PATIENCE_S = 1.0
NONE = "none"  # typed to take back what was said
WHOLE_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
F = TypeVar("F", Worker, Gear)


@click.command()
@click.argument("lots", metavar="[LOT|FILE]...", nargs=-1)
@click.option("--keep", is_flag=True, help="Keep it: it stays the same until planned again.")
@click.option("--kept", "show", is_flag=True, help="Show the plan that was kept last.")
@click.option("--why", default="", help="Planned again because.")
@click.option("--lead-times", type=Between(0.1, 10), default=1.0, show_default=True,
              help="As if every delivery took so many times as long.")  # fmt: skip
@click.option("--seconds", type=Between(0.1, 600),
              help="How long a good order is looked for; else 5, planned again 1.5.")  # fmt: skip
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=7, show_default=True,
              help="Start of the chance; the same seed gives the same numbers.")  # fmt: skip
@click.option("--worlds", type=click.IntRange(100, 100_000), default=2000, show_default=True,
              help="In how many ways it may turn out.")  # fmt: skip
@click.option("--week", metavar="DAY", help="With --pdf: the week of this day; else this week.")
@click.option("--pdf", type=FILE, help="Write one week to this PDF: evenings, whom to ring.")
@click.option("--ics", type=FILE, help="Write the plan to this calendar file.")
@json_option
@shop_option
@pass_house
def plan(
    house: House, /, lots: tuple[str, ...], keep: bool, show: bool, week: str | None,
    pdf: Path | None, ics: Path | None, as_json: bool, shop: str | None, **asked: Any,
) -> None:  # fmt: skip
    """When each machine makes its first good part: a range, what it hangs on, what to order now.

    Without LOT every machine that is worked for, together: they share you and the hoist.
    """
    if week is not None and pdf is None:
        remedy = say("Name the file it goes to with --pdf.")
        raise Unusable(say("a week goes on paper"), remedy=remedy,
                       problems=(Problem("week", say("has no file"), remedy),))  # fmt: skip
    on = today(house)
    of_week = date.fromisoformat(day(week, "week", on, ahead=True) or on.isoformat())
    if len(lots) == 1 and is_file(lots[0]):
        kinds = house.kinds()
        case = read_lot(content_of(lots[0]), lots[0], kinds)
        asked.pop("why")
        view = fix.plan_file(case, kinds, now=house.clock(), progress=_telling(), **asked)
    else:
        view = _of_shop(house, lots, keep, show, shop, asked)
    if pdf is not None or ics is not None:
        of_file = len(lots) == 1 and is_file(lots[0])
        with nullcontext() if of_file else house.open_shop(shop) as opened:
            for path in _files(house, opened, view, of_week, pdf, ics):
                click.echo(path, err=as_json)
    if as_json:
        click.echo(dumps(plan_row(view)))
        return
    put(plan_lines(view))


def _files(
    house: House, shop: RecordShop | None, view: PlanView, day: date, pdf: Path | None,
    ics: Path | None,
) -> Iterator[str]:  # fmt: skip
    """Write the week and the calendar; of a lot file there is only what the plan tells."""
    kinds, on = house.kinds(), today(house)
    if pdf is not None:
        lines = fix.week(shop, view, kinds, on=on, day=day)
        put_file(pdf, house.printer.week(lines, house.by))
        yield str(pdf)
    if ics is not None:
        put_file(ics, house.printer.calendar(fix.calendar(shop, view, kinds, on=on)))
        yield str(ics)


def _of_shop(
    house: House, lots: tuple[str, ...], keep: bool, show: bool, shop: str | None,
    asked: dict[str, Any],
) -> PlanView:  # fmt: skip
    kinds, now = house.kinds(), house.clock()
    with house.open_shop(shop) as opened:
        if show:
            kept = fix.kept_plan(opened, kinds, now=now)
            if kept is None:
                raise NotYet(say("no plan was kept yet"), remedy=say("Plan with --keep."))
            return kept
        view = fix.plan(opened, kinds, now=now, lots=lots or None, progress=_telling(), **asked)
        if keep:
            fix.keep_plan(opened, view, **house.hand)
        return view


def _telling() -> Callable[[float, str], None]:
    """A line of progress beside the answer, once it takes longer than a second."""
    begun = time.monotonic()

    def tell(share: float, what: str) -> None:
        if time.monotonic() - begun > PATIENCE_S:
            click.echo(say("{share} %: {what}", share=round(100 * share), what=what), err=True)

    return tell


@click.command()
@click.argument("name", metavar="[NAME]", required=False)
@click.option("--evening", "evenings", multiple=True, metavar="'DAY FROM-TO'",
              help="mon 19:30-22:00; repeat it.")  # fmt: skip
@click.option("--away", multiple=True, metavar="DAY..DAY",
              help="2026-12-24..2026-12-31; none takes all of them back.")  # fmt: skip
@click.option("--also", multiple=True, metavar="'DAY FROM-TO'",
              help="2026-12-05 09:00-17:00; none takes all of them back.")  # fmt: skip
@click.option(
    "--may", type=click.Choice(MAY), help="What he may do by local rules; else competent."
)
@click.option("--helps-only/--works-alone", default=None,
              help="A second pair of hands, no work alone.")  # fmt: skip
@json_option
@shop_option
@pass_house
def hands(
    house: House, name: str | None, evenings: tuple[str, ...], away: tuple[str, ...],
    also: tuple[str, ...], may: str | None, helps_only: bool | None, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """Who works, on which evenings; what is said of NAME is kept, else it is shown."""
    said: dict[str, Any] = {}
    if evenings:
        said["evenings"] = tuple(_span(one, "evening") for one in evenings)
    if away:
        said["away"] = tuple(_days(one) for one in away if one != NONE)
    if also:
        said["also"] = tuple(_span(one, "also") for one in also if one != NONE)
    said |= {} if may is None else {"may": may}
    said |= {} if helps_only is None else {"helps_only": helps_only}
    with house.open_shop(shop) as opened:
        if name is not None and said:
            old = _named(fix.workers(opened), name) or Worker(name=name, evenings=())
            fix.set_worker(opened, replace(old, **said), **house.hand)
        kept = _shown(fix.workers(opened), name)
    if as_json:
        rows = [asdict(one.fact) for one in kept]
        click.echo(dumps({"hands": rows, "schema": "fix.hands.1", "why": {}}))
        return
    put(_worker_line(one.fact) for one in kept)
    if not kept:
        click.echo(say("Nobody yet: your own hours a week are assumed, on evenings."))


@click.command()
@click.argument("name", metavar="[NAME]", required=False)
@click.option("--have", type=click.Choice(HAVE), help="Whose it is; else owned.")
@click.option("--count", type=click.IntRange(1, 100), help="How many there are; else one.")
@click.option("--day", "days", multiple=True, metavar="DAY",
              help="It is here on; repeat it; none: on any day.")  # fmt: skip
@click.option("--costs", type=AMOUNT, help="Of one day of hire.")
@click.option("--whom", help="From whom.")
@json_option
@shop_option
@pass_house
def gear(
    house: House, name: str | None, have: str | None, count: int | None, days: tuple[str, ...],
    costs: Decimal | None, whom: str | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Hoist and floor_place: owned, borrowed, hired; what is said of NAME is kept, else shown."""
    on = today(house)
    said: dict[str, Any] = {"have": have, "count": count, "day_costs": costs, "whom": whom}
    said = {key: told for key, told in said.items() if told is not None}
    if days:
        said["days"] = tuple(day(one, "day", on, ahead=True) or "" for one in days if one != NONE)
    with house.open_shop(shop) as opened:
        if name is not None and said:
            old = _named(fix.gear(opened), name) or Gear(name=name)
            fix.set_gear(opened, replace(old, **said), **house.hand)
        kept = _shown(fix.gear(opened), name)
    if as_json:
        rows = [{"count": one.fact.count, "days": list(one.fact.days), "have": one.fact.have,
                 "day_costs": None if one.fact.day_costs is None else float(one.fact.day_costs),
                 "name": one.fact.name, "whom": one.fact.whom,
                 "why": {} if one.fact.day_costs is not None else
                 {"day_costs": say("nobody said")}} for one in kept]  # fmt: skip
        click.echo(dumps({"gear": rows, "schema": "fix.gear.1", "why": {}}))
        return
    put(_gear_line(one.fact) for one in kept)
    if not kept:
        click.echo(say("Nothing yet: a hoist for hire on any day is assumed."))


def _named(kept: tuple[Record[F], ...], name: str) -> F | None:
    return next((one.fact for one in kept if one.fact.name == name), None)


def _shown(kept: tuple[Record[F], ...], name: str | None) -> tuple[Record[F], ...]:
    """All, or one by its name.

    Raises
    ------
    Unusable
        There is none of that name.
    """
    if name is None:
        return kept
    found = tuple(one for one in kept if one.fact.name == name)
    if not found:
        told = say("nothing is kept of {name}", name=f"“{name}”")
        remedy = say("Say what there is with an option, or leave the name out to see all.")
        raise Unusable(told, remedy=remedy, problems=(Problem("name", told, remedy),))
    return found


def _span(text: str, option: str) -> tuple[str, str, str]:
    """A day and hours as typed: mon 19:30-22:00.

    Raises
    ------
    Unusable
        It cannot be read so.
    """
    first, _, hours = text.strip().partition(" ")
    begins, dash, ends = hours.strip().partition("-")
    if not (first and dash and begins and ends):
        raise _unread(text, option, say("Write it as {example}.", example="mon 19:30-22:00"))
    return _weekday(first) if option == "evening" else first, begins.strip(), ends.strip()


def _weekday(text: str) -> str:
    """Monday and mon are the same; anything else stays as it was typed, to be refused so."""
    low = text.lower()
    for short, whole in zip(WEEK, WHOLE_DAYS, strict=True):
        if len(low) >= len(short) and whole.startswith(low):
            return short
    return text


def _days(text: str) -> tuple[str, str]:
    first, dots, last = text.partition("..")
    if not dots:
        raise _unread(text, "away", say("Write it as 2026-12-24..2026-12-31."))
    return first.strip(), last.strip()


def _unread(text: str, option: str, remedy: str) -> Unusable:
    told = say("{text} cannot be read", text=f"“{text}”")
    return Unusable(told, remedy=remedy, problems=(Problem(option, told, remedy),))


def _worker_line(one: Worker) -> str:
    spans = ", ".join(f"{day} {begins}-{ends}" for day, begins, ends in (*one.evenings, *one.also))
    helps = say(", helps only") if one.helps_only else ""
    return say("{name}: {spans} ({may}{helps})", name=one.name, spans=spans or "-", may=one.may,
               helps=helps)  # fmt: skip


def _gear_line(one: Gear) -> str:
    return say("{name}: {count}, {have}{days}", name=one.name, count=one.count, have=one.have,
               days=f", {', '.join(map(str, one.days))}" if one.days else "")  # fmt: skip
