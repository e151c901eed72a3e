"""Guessed against was, as lines of a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.settle.closed_case import ClosedCase, ComparedRow, Stands
from retrue.cases.settle.closing_lines import Closing
from retrue.cases.settle.sharing import TakenIn
from retrue.kinds.learned_ranges import MovedRange

MOST_FAULTS = 12
ENDS = {
    "keeps_working": "keeps working",
    "sold": "sold",
    "parted_out": "parted out",
    "scrapped": "scrapped",
}


def stands_words(stands: Stands) -> str:
    """Where a row stands, in the words of a page."""
    return {
        "inside": say("as expected"),
        "above": say("more than expected"),
        "below": say("less than expected"),
        "nothing": say("nothing so far"),
        "not_foreseen": say("not foreseen"),
        "not_needed": say("not needed"),
        "not_seen": say("nobody saw"),
        "was": say("was there"),
        "not": say("was not there"),
    }[stands]


def figure(row: ComparedRow, value: float | None, currency: str) -> str:
    """A figure of a row in its own unit."""
    if value is None:
        return "-"
    if row.sort == "fault":
        return formatter.odds(value)
    if row.sort == "hours" or row.line == "hours":
        return f"{formatter.number(value, 1)} h"
    if row.sort == "days":
        return say("{days} days", days=formatter.number(value))
    return formatter.money(value, currency)


def closing_lines(made: Closing, *, whole: bool = False) -> Iterator[str]:
    """The answer, the table, what is said next time, the fine print."""
    case = made.case
    yield _first(made)
    for words in made.waits:
        yield f"  {words}"
    for title, sort in (
        (say("In all"), "total"),
        (say("By where the money went"), "bucket"),
        (say("Line by line"), "line"),
        (say("Faults"), "fault"),
    ):
        rows = [row for row in case.rows if _belongs(row, sort)]
        if not rows:
            continue
        most = len(rows) if whole or sort != "fault" else MOST_FAULTS
        yield f"{title}:"
        for row in _ordered(rows, sort)[:most]:
            yield f"  {row.words}: {row_words(row, case)}"
        if most < len(rows):
            yield "  " + say("and {count} more: --all", count=len(rows) - most)
    yield from _learned(made)


def _first(made: Closing) -> str:
    if not made.closed_on:
        return say(
            "{machine}, as it stands; it is not closed. Close it with: retrue settle close",
            machine=made.machine_name,
        )
    return say(
        "{machine}, closed on {day}: {end}.{changes}",
        machine=made.machine_name,
        day=made.closed_on,
        end=say(ENDS[made.case.end]),
        changes=f" {made.changes}" if made.changes else "",
    )


def _belongs(row: ComparedRow, sort: str) -> bool:
    return row.sort in ("money", "hours", "days") if sort == "line" else row.sort == sort


def _ordered(rows: list[ComparedRow], sort: str) -> list[ComparedRow]:
    if sort != "fault":
        return rows
    return sorted(rows, key=lambda row: (row.was is None, -(row.guessed or 0.0), row.line))


def row_words(row: ComparedRow, case: ClosedCase) -> str:
    """What a row was guessed at, what it came to, and how that stands."""
    guessed = figure(row, row.guessed, case.currency)
    if row.low is not None and row.high is not None:
        low, high = (figure(row, one, case.currency) for one in (row.low, row.high))
        guessed = say("{even} ({low} to {high})", even=guessed, low=low, high=high)
    if row.sort == "fault":
        return say("guessed {guessed}; {stands}", guessed=guessed, stands=stands_words(row.stands))
    return say(
        "guessed {guessed}, was {was}: {stands}",
        guessed=guessed,
        was=figure(row, row.was, case.currency),
        stands=stands_words(row.stands),
    )


def _learned(made: Closing) -> Iterator[str]:
    if made.moved:
        yield say("Next time:") if made.closed_on else say("Next time, if it is closed so:")
        for one in made.moved:
            yield f"  {one.line}: {moved_words(one, made.case.currency)}"
    for family in made.families:
        yield "  " + say(
            "{name}: {found} of {looked} were there, {expected} were expected",
            name=family.name,
            found=family.found,
            looked=family.looked,
            expected=formatter.number(family.expected, 1),
        )
    if made.others:
        yield say("Among it: {count} machines of others, each counts half.", count=made.others)


def moved_words(one: MovedRange, currency: str) -> str:
    """A figure of the tables before and after what was seen."""

    def told(value: float) -> str:
        if one.what == "money":
            return formatter.money(value, currency)
        return f"{formatter.number(value, 1)} {'h' if one.what == 'hours' else say('days')}"

    return say(
        "{before} becomes {after} ({low} to {high}), from {count}",
        before=told(one.before.likely),
        after=told(one.after.likely),
        low=told(one.after.low),
        high=told(one.after.high),
        count=one.outcomes,
    )


def taken_lines(read: TakenIn, kept: bool) -> Iterator[str]:
    """What a file of others holds, and what keeping it did."""
    yield say("New here: {count}. Known: {known}.", count=len(read.cases), known=read.known)
    for one in read.cases:
        yield f"  {one.kind}, {one.year}, {say(ENDS.get(one.end, one.end))}: " + say(
            "{count} rows", count=len(one.rows)
        )
    for kind in read.strange:
        yield say("No type of machine here is called {kind}: it is kept and says nothing.",
                  kind=kind)  # fmt: skip
    yield say("Kept.") if kept else say("Nothing is kept yet.")
