"""Own hours at the keyboard: guessed, answered, typed; start and stop."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import click

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.cases.settle.evening_clock import moment_of
from retrue.cases.settle.hour_answers import How
from retrue.cases.settle.hours_json import flat, flat_guessed, flat_kept
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_days import today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of, json_option, shop_option
from retrue.cli.settle_hour_lines import clock_lines, file_lines, hours_lines, kept_lines
from retrue.cli.strip_options import is_table, machine_of
from retrue.phases import settle
from retrue.phases.settle.hours import end_of, this_wall
from retrue.records.settling import HoursTold
from retrue.records.shop import Record, RecordShop
from retrue.store.spreadsheet import as_csv

pass_house = click.make_pass_decorator(House)
HOWS: tuple[How, ...] = ("yes", "less", "more", "not_mine")
ON = click.option("--on", "on", metavar="DAY", help="On which day; else today.")
BY = click.option("--worker", default="", help="Whose hours; else yours.")
AT = click.option("--at", metavar="TIME", help="When it was: 22:10; else now.")
TEXT = click.option("--text", default="", help="What was done, in one sentence.")


@click.command()
@click.argument("lot", metavar="[LOT|FILE]", required=False)
@click.option("--yes", metavar="KEY", help="The evening KEY is right.")
@click.option("--less", metavar="KEY", help="Half an hour less than was guessed, or stands.")
@click.option("--more", metavar="KEY", help="Half an hour more.")
@click.option("--not-mine", "not_mine", metavar="KEY", help="The evening KEY was not mine.")
@click.option("--hours", "figure", metavar="FIGURE", help="With an answer: another figure.")
@click.option("--add", "words", metavar='"2.5 h lathe"', help="Hours that nobody guessed.")
@click.option("--instead-of", "replaces", metavar="ID", help="With --add: the hours it corrects.")
@BY
@TEXT
@click.option("--all", "whole", is_flag=True, help="Every row and question, not this week's.")
@ON
@json_option
@shop_option
@pass_house
def hours(
    house: House, /, lot: str | None, figure: str | None, words: str | None,
    replaces: str | None, worker: str, text: str, whole: bool, on: str | None, as_json: bool,
    shop: str | None, **said: str | None,
) -> None:  # fmt: skip
    """Own hours: what was guessed of the last evenings, and what counts.

    An evening is guessed from what was kept at the machines, and asked about once. FILE is a
    plain table of moments and machines, CSV or XLSX: its evenings are told without a shop.
    """
    day = today(house, on)
    if lot is not None and is_table(lot):
        _file(lot, day, as_json)
        return
    asked = [(how, key) for how in HOWS if (key := said[how]) is not None]
    _refuse_two(asked, words)
    now, hand = house.clock(), house.hand
    with house.open_shop(shop) as opened:
        if asked:
            how, key = asked[0]
            until = None if on is None else end_of(day, now, this_wall)
            told = settle.answer(opened, key, how, now=now, until=until, hours=_figure(figure),
                                 text=text, **hand)  # fmt: skip
        elif words is not None:
            fact = settle.hours_typed(opened, words, on=day, lot=lot, worker=worker)
            fact = _with_text(fact, text)
            told = [settle.tell_hours(opened, fact, house.kinds(), now=now, replaces=replaces,
                                      **hand)]  # fmt: skip
        else:
            view = settle.hours(opened, house.kinds(), on=day, now=now, lot=lot)
            if as_json:
                click.echo(dumps(flat(view)))
            else:
                put(hours_lines(view, me=house.by, whole=whole))
            return
        _kept(opened, told, as_json)


@click.command()
@click.argument("lot", metavar="[LOT]", required=False)
@click.argument("machine", metavar="[MACHINE]", required=False)
@click.option("--card", "line", default="", help="The card that is worked at: F15:local.")
@AT
@BY
@click.option("--text", default="", help="What for, where it is at no machine.")
@json_option
@shop_option
@pass_house
def start(
    house: House, /, lot: str | None, machine: str | None, line: str, at: str | None,
    worker: str, text: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Begin to work at MACHINE of LOT; without them, say what for with --text."""
    with house.open_shop(shop) as opened:
        if lot is not None:
            lot, machine = machine_of(opened, lot, machine)
        record = settle.start(
            opened, house.kinds(), now=house.clock(), lot=lot, machine=machine,
            at=_moment(at, house), worker=worker, line=line, text=text, **house.hand,
        )  # fmt: skip
    fact = record.fact
    if as_json:
        told = {"schema": "settle.clock.1", "kept": record.id, "how": "start", "at": fact.at,
                "machine": fact.machine, "hours": None,
                "why": {"hours": say("the clock runs")} | _no_machine(fact.machine)}  # fmt: skip
        click.echo(dumps(told))
        return
    click.echo(say("Begun {when}.", when=fact.at[11:16]))
    click.echo(record.id)


@click.command()
@AT
@click.option("--hours", "figure", metavar="FIGURE", help="Or how long it was.")
@click.option("--of", metavar="ID", help="Which start it ends; else the one that runs.")
@BY
@TEXT
@json_option
@shop_option
@pass_house
def stop(
    house: House, /, at: str | None, figure: str | None, of: str | None, worker: str, text: str,
    as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Stop working. A clock that ran too long counts nothing until --at or --hours is said."""
    now = house.clock()
    with house.open_shop(shop) as opened:
        record = settle.stop(
            opened, now=now, at=_moment(at, house), hours=_figure(figure), of=of, worker=worker,
            text=text, **house.hand,
        )  # fmt: skip
        ends = datetime.fromisoformat(record.fact.at)
        # the day it ended, by the clock on the wall: its row belongs to that day or the one before
        view = settle.hours(opened, house.kinds(), on=this_wall(ends).date(), now=now)
    rows = [one for one in view.rows if one.how == "clock"]
    hours = rows[0].hours if rows else 0.0
    if as_json:
        told = {"schema": "settle.clock.1", "kept": record.id, "how": "stop",
                "at": record.fact.at, "machine": record.fact.machine, "hours": hours,
                "why": _no_machine(record.fact.machine)}  # fmt: skip
        click.echo(dumps(told))
        return
    click.echo(say("Stopped {when}: {hours} h.", when=record.fact.at[11:16], hours=hours))
    put(clock_lines(view.clocks))


def _file(lot: str, day: date, as_json: bool) -> None:
    content = as_csv(content_of(lot, say("Check the path of the table.")), lot)
    guessed = settle.hours_file(content, lot)
    if as_json:
        click.echo(dumps(flat_guessed(guessed, day)))
    else:
        put(file_lines(guessed, day))


def _kept(shop: RecordShop, told: list[Record[HoursTold]], as_json: bool) -> None:
    if as_json:
        click.echo(dumps(flat_kept(told)))
        return
    names = {
        key: str(getattr(shop.history(key)[-1].fact, "name", ""))
        for one in told
        if (key := one.fact.machine) is not None
    }
    put(kept_lines(told, names))


def _with_text(fact: HoursTold, text: str) -> HoursTold:
    from dataclasses import replace

    return replace(fact, text=text) if text else fact


def _figure(text: str | None) -> float | None:
    return None if text is None else float(number(text, field="hours"))


def _moment(text: str | None, house: House) -> datetime | None:
    """A time of today, or of yesterday where it is still to come today; or a whole moment."""
    if text is None:
        return None
    now = this_wall(house.clock())
    try:
        if "T" in text or "-" in text:
            told = datetime.fromisoformat(text)
            return told if told.tzinfo else told.astimezone()
        found = moment_of(now.date(), text, this_wall)
        earlier = moment_of(now.date() - timedelta(days=1), text, this_wall)
    except ValueError:
        what = say("“{text}” is no time", text=text[:30])
        remedy = say("Write it as 22:10, or 2026-11-25T22:10.")
        raise Unusable(what, remedy=remedy, problems=(Problem("at", what, remedy),)) from None
    return found if found <= now else earlier


def _refuse_two(asked: list[tuple[How, str]], words: str | None) -> None:
    if len(asked) + (words is not None) > 1:
        what = say("two things are said at once")
        remedy = say("Answer one evening, or add hours.")
        raise Unusable(what, remedy=remedy, problems=(Problem("answer", what, remedy),))


def _no_machine(machine: str | None) -> dict[str, str]:
    return {} if machine else {"machine": say("at no machine")}
