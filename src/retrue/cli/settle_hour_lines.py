"""Own hours for the terminal: what is asked, what counts, the fine print."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.settle.evening import Evening, Guessed
from retrue.cases.settle.evening_shown import guessed_from, hours_text, question
from retrue.cases.settle.hour_lines import Expected, HoursRow, HoursView, RunningClock
from retrue.cases.settle.hours import week_of
from retrue.cases.settle.hours_view import week_rows
from retrue.cli.strip_options import columns
from retrue.records.settling import HoursTold
from retrue.records.shop import Record

HOW = {"told": "told", "card": "with a card", "clock": "by the clock"}
MOST_ASKED = 7


def hours_lines(view: HoursView, *, me: str, whole: bool = False) -> Iterator[str]:
    """The whole view."""
    on = date.fromisoformat(view.on)
    week = week_rows(view)
    yield say("This week {hours}.", hours=hours_text(sum(one.hours for one in week)))
    yield from clock_lines(view.clocks)
    asked = view.guesses if whole else view.guesses[:MOST_ASKED]
    yield from asked_lines(asked, on, me=me, keyed=True)
    if len(asked) < len(view.guesses):
        yield say("And {count} more; --all names them.", count=len(view.guesses) - len(asked))
    rows = view.rows if whole else week
    if rows:
        yield ""
        yield from columns([_row(one) for one in rows])
    yield from _sums(view)
    yield ""
    yield view.note
    yield from view.rules


def asked_lines(
    asked: Iterable[Evening], on: date, *, me: str, keyed: bool = False
) -> Iterator[str]:
    """The questions, each with what it was guessed from and how it is answered."""
    for one in asked:
        yield ""
        yield question(one, on, me=me)
        yield "  " + guessed_from(one)
        if keyed:
            yield "  " + say("retrue settle hours --yes {key} (or --less, --more, --not-mine)",
                             key=one.key)  # fmt: skip


def file_lines(guessed: Guessed, on: date) -> Iterator[str]:
    """The evenings of a plain table."""
    total = sum(one.hours for one in guessed.evenings)
    count = len(guessed.evenings)
    if count == 1:
        yield say("One evening, {hours}.", hours=hours_text(total))
    else:
        yield say("{count} evenings, {hours}.", count=count, hours=hours_text(total))
    yield from asked_lines(guessed.evenings, on, me="")
    if guessed.not_asked:
        yield ""
        yield say("Too short or too long to guess from: {count} times.", count=guessed.not_asked)


def clock_lines(clocks: Iterable[RunningClock]) -> Iterator[str]:
    """Clocks that run, and those that ran too long."""
    for one in clocks:
        named = {"machine": one.machine_name, "when": f"{one.since:%Y-%m-%d %H:%M}", "id": one.id}
        if not one.too_long:
            yield say("The clock runs: {machine}, since {when}, {hours}.",
                      hours=hours_text(one.hours), **named)  # fmt: skip
            continue
        yield say("Still at it? The clock at {machine} began {when}; it counts nothing until you "
                  "say when you stopped.", **named)  # fmt: skip
        stop = one.last_trace or "22:00"
        yield "  " + say("retrue settle stop --at {stop} --of {id}", stop=stop, id=one.id)


def kept_lines(told: Iterable[Record[HoursTold]], names: dict[str, str]) -> Iterator[str]:
    """What was kept of an answer."""
    rows = list(told)
    total = hours_text(sum(one.fact.hours for one in rows))
    if rows and rows[0].fact.answer == "not_mine":
        yield say("Kept: not mine, {day}.", day=rows[0].fact.worked_on)
    else:
        day = rows[0].fact.worked_on if rows else ""
        yield say("Kept: {hours}, {day}.", hours=total, day=day)
    for one in rows:
        name = names.get(one.fact.machine or "", "")
        card = f", {one.fact.line}" if one.fact.line else ""
        yield f"  {hours_text(one.fact.hours)}  {name}{card}  {one.id}"


def _row(one: HoursRow) -> tuple[str, ...]:
    times = f"{one.begin}–{one.end}" if one.begin else ""
    return (
        one.worked_on, times, hours_text(one.hours), one.machine_name or "–", one.line,
        say(HOW[one.how]), one.worker, one.id,
    )  # fmt: skip


def _expected(one: Expected | None) -> tuple[str, str, str]:
    """What the price expected, how it looks today, and what a plan saw on its day."""
    price = end = plan = ""
    if one is not None and one.even is not None and one.low is not None and one.high is not None:
        price = say("expected {even} h ({low} to {high})", even=number(one.even),
                    low=number(one.low), high=number(one.high))  # fmt: skip
    if one is not None and one.end_even is not None:
        end = say("in the end, as it looks today: {hours} h", hours=number(one.end_even))
    if one is not None and one.planned is not None:
        plan = say("by the plan of {day} still {hours} h", day=one.planned_on,
                   hours=number(one.planned))  # fmt: skip
    return price, end, plan


def _sums(view: HoursView) -> Iterator[str]:
    told = {one.machine: one for one in view.expected}
    names = {one.machine: one.machine_name for one in view.rows}
    rows = []
    for key in dict.fromkeys([*view.by_machine, *told]):
        one = told.get(key)
        expected = _expected(one)
        name = one.machine_name if one else names.get(key) or say("no machine")
        rows.append((name, hours_text(view.by_machine.get(key, 0.0)), *expected))
    if rows:
        yield ""
        yield from columns(rows)
    this = week_of(view.on)
    weeks = [(monday, hours_text(hours)) for monday, hours in view.by_week if monday != this]
    if weeks:
        yield ""
        yield from columns([(say("week of {day}", day=day), told) for day, told in weeks[:8]])
    if len(view.by_worker) > 1:
        yield ""
        yield from columns([(who, hours_text(hours)) for who, hours in view.by_worker])
