"""A price sheet for the terminal: the answer, then next, then a short table, then fine print."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

import click

from retrue.base import formatter
from retrue.base.one_way import one_way
from retrue.base.say import later, say
from retrue.cases.said import cautions_of
from retrue.kinds.library import Kind
from retrue.records.facts import Frozen

if TYPE_CHECKING:
    from retrue.cases.sheet import MovedRow, PriceSheet, QuestionRow
    from retrue.phases.worth import Judged

CHANNELS = {  # how a question is asked
    "call": later("call"), "photo": later("photo"), "visit_dead": later("visit dead"),
    "visit_live": later("visit live"),
}  # fmt: skip
ROWS = 5
WIDTH = 100
WORDS = {
    "keep": "keep",
    "sell_as_found": "sell as found",
    "sell_running": "sell running",
    "sell_proven": "sell proven",
    "part_out": "sell it in parts",
    "donor": "donor",
    "new_control": "new control",
    "just_running": "just running",
    "right": "right",
    "like_new": "like new",
}


def price_lines(sheet: PriceSheet, kinds: Mapping[str, Kind]) -> Iterator[str]:
    """The whole sheet.

    Parameters
    ----------
    sheet : PriceSheet
        As priced.
    kinds : mapping of str to Kind
        For the cautions that stand before a look.

    Yields
    ------
    str
        One line each.
    """
    yield from answer_lines(sheet)
    yield ""
    yield from next_lines(sheet, kinds)
    yield from moved_lines(sheet.moved)
    yield from _options(sheet)
    yield from _machines(sheet)
    yield from _clear(sheet)
    yield from _fine(sheet)


def answer_lines(sheet: PriceSheet) -> Iterator[str]:
    """The number to act on, and what stands beside it."""
    walk, c = sheet.walk_away, sheet.currency
    if walk.amount is None:
        yield say("{lot}: no price. {why}", lot=sheet.lot, why=walk.why)
        return
    if walk.amount <= 0:
        yield say("Do not bid on {lot}: {why}.", lot=sheet.lot, why=walk.why)
        return
    yield say(
        "Do not go above {amount} on the bid screen ({lot}; hammer price, {odds} of not being "
        "sorry).",
        amount=formatter.money(walk.amount, c),
        lot=sheet.lot,
        odds=chances(walk.odds),
    )
    if walk.all_in is not None:
        yield say("All in, on your floor: about {money}.", money=formatter.money(walk.all_in, c))
    if walk.why:
        yield walk.why
    beside = [
        (walk.prices_third_low, "if our prices are a third too low: {money}"),
        (walk.tables_wrong, "if every trouble is likelier than our tables say: {money}"),
    ]
    told = [say(text, money=formatter.money(v, c)) for v, text in beside if v is not None]
    if told:
        yield say("Estimate for planning; {beside}.", beside="; ".join(map(str, told)))


def frozen_line(fact: Frozen, sheet: PriceSheet) -> str:
    """The number as it was frozen."""
    if fact.hammer <= 0:
        return say("Frozen: do not bid on {lot}.", lot=sheet.lot)
    return say(
        "Frozen: {hammer} on the bid screen, {all_in} all in, chance you'd be sorry {odds}.",
        hammer=formatter.money(fact.hammer, sheet.currency),
        all_in=formatter.money(fact.all_in, sheet.currency),
        odds=formatter.odds(fact.sorry),
    )


def chances(share: float) -> str:
    """A share as chances in five, where it is one.

    Examples
    --------
    >>> chances(0.8), chances(0.95)
    ('4 chances in 5', 'about 19 in 20')
    """
    fifths = share * 5
    if abs(fifths - round(fifths)) < 1e-9 and 0 < round(fifths) < 5:
        return say("{count} chances in 5", count=round(fifths))
    return formatter.odds(share)


def next_lines(sheet: PriceSheet, kinds: Mapping[str, Kind]) -> Iterator[str]:
    """The one thing to do next, or that nothing is worth asking."""
    best = next((row for row in sheet.questions if row.net > 0), None)
    if best is None:
        yield say("Next: no single answer is worth its asking at this bid. Freeze the number.")
        if sheet.questions:
            likeliest = sheet.questions[0]
            yield say(
                "  If you ask one thing all the same: {what}",
                what=f"{likeliest.machine}: {likeliest.text}",
            )
        widest = max(sheet.moves, key=lambda move: abs(move.high - move.low), default=None)
        if widest is not None:
            yield say(
                "  What moves the price most: {what}, from {low} to {high}.",
                what=widest.what,
                low=formatter.money(min(widest.low, widest.high), sheet.currency),
                high=formatter.money(max(widest.low, widest.high), sheet.currency),
            )
        return
    yield from caution_lines(best, sheet, kinds)
    yield say(
        "Next: {machine}: {text}",
        machine=best.machine,
        text=best.text,
    )
    yield say(
        "  Worth about {worth} to your decision; asking costs {costs}.",
        worth=formatter.money(best.worth, sheet.currency),
        costs=formatter.money(best.asking_costs, sheet.currency),
    )


def caution_lines(row: QuestionRow, sheet: PriceSheet, kinds: Mapping[str, Kind]) -> Iterator[str]:
    """The caution that stands before a look."""
    kind = next((kinds.get(m.kind) for m in sheet.machines if m.name == row.machine), None)
    for caution in cautions_of(kind, row.check) if kind else ():
        yield say("Caution: {caution}", caution=caution)


def moved_lines(rows: tuple[MovedRow, ...], most: int = ROWS) -> Iterator[str]:
    """What moved the price, largest first."""
    if not rows:
        return
    yield ""
    yield say("What moved it")
    biggest = sorted(rows, key=lambda row: -abs(row.after - row.before))[:most]
    steps = [formatter.number(row.after - row.before, signed=True) for row in biggest]
    widest = max(map(len, steps))
    for step, row in zip(steps, biggest, strict=True):
        yield f"  {step.rjust(widest)}  {row.text}"


def question_lines(sheet: PriceSheet, kinds: Mapping[str, Kind], count: int) -> Iterator[str]:
    """The open questions, best first."""
    if not sheet.questions:
        yield say("Nothing is left to ask.")
        return
    for row in sheet.questions[:count]:
        yield from caution_lines(row, sheet, kinds)
        tie = say(" (as good as the first)") if row.tie and row is not sheet.questions[0] else ""
        yield f"{row.machine}: {row.text}{tie}"
        yield say(
            "  worth {worth}, asking costs {costs}, by {channel}",
            worth=formatter.money(row.worth, sheet.currency),
            costs=formatter.money(row.asking_costs, sheet.currency),
            channel=say(CHANNELS.get(row.channel, row.channel)),
        )
    if sheet.visit is not None:
        yield ""
        yield say(
            "A visit with {count} looks: worth {worth}, costs {costs}, {minutes} minutes there.",
            count=len(sheet.visit.checks),
            worth=formatter.money(sheet.visit.worth, sheet.currency),
            costs=formatter.money(sheet.visit.costs, sheet.currency),
            minutes=formatter.number(sheet.visit.minutes),
        )


def table(rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Columns, the first to the left, the others to the right.

    Examples
    --------
    >>> list(table([("a", "10"), ("long", "5")]))
    ['  a     10', '  long   5']
    """
    first = min(max(len(row[0]) for row in rows), 60)
    widths = [max(len(row[at]) for row in rows) for at in range(1, len(rows[0]))]
    for row in rows:
        head = str(row[0]) if len(row[0]) <= first else row[0][: first - 1] + "…"
        cells = [str(cell).rjust(width) for cell, width in zip(row[1:], widths, strict=True)]
        yield "  " + "  ".join([head.ljust(first), *cells])


def _options(sheet: PriceSheet) -> Iterator[str]:
    if len(sheet.options) < 2:
        return
    c = sheet.currency
    yield ""
    rows = [(say("What could be done"), say("not above"), say("chance you'd be sorry"))]
    rows += [
        (row.name, formatter.money(row.walk_away, c), formatter.odds(row.regret_odds))
        for row in sheet.options[:ROWS]
    ]
    yield from table(rows)


def _machines(sheet: PriceSheet) -> Iterator[str]:
    c = sheet.currency
    for machine in sheet.machines:
        yield ""
        plan = say(WORDS.get(machine.plan, machine.plan))
        level = f", {say(WORDS.get(machine.level, machine.level))}" if machine.level else ""
        yield f"{machine.name}: {plan}{level}"
        rows: list[tuple[str, ...]] = [("", say("good luck"), say("most likely"), say("bad luck"))]
        rows += [
            (
                say("money until the first good part"),
                *(
                    formatter.money(v, c)
                    for v in (machine.cost.p10, machine.cost.p50, machine.cost.p90)
                ),
            )
        ]
        for name, band in ((say("own hours"), machine.own_hours), (say("days"), machine.days)):
            rows.append((name, *(formatter.number(v) for v in (band.p10, band.p50, band.p90))))
        yield from table(rows)
        for fit in machine.fits:
            if fit.answer != "fits":
                answer = say(fit.answer.replace("_", " "))
                yield f"  {fit.need}: {answer}. " + " ".join(map(str, fit.because))


def _clear(sheet: PriceSheet) -> Iterator[str]:
    if not (sheet.clear_first or sheet.cautions):
        return
    yield ""
    yield say("Before any money goes")
    for caution in sheet.cautions:
        yield f"  {say('Caution: {caution}', caution=caution)}"
    for what, (why, machines) in _grouped(sheet).items():
        whose = f" [{', '.join(map(str, machines))}]" if machines else ""
        yield f"  {what}{whose}" + (f": {why}" if why else "")


def _grouped(sheet: PriceSheet) -> dict[str, tuple[str, list[str]]]:
    """What must be cleared, once for all machines that need it."""
    rows: dict[str, tuple[str, list[str]]] = {}
    for row in sheet.clear_first:
        machine = row.machine or ""
        what = row.what.removeprefix(f"{machine}: ") if machine else row.what
        _, machines = rows.setdefault(what, (row.why, []))
        if machine and machine not in machines:
            machines.append(machine)
    return rows


def _returns(sheet: PriceSheet) -> Iterator[str]:
    """What the money put in brings, in one line."""
    row = sheet.returns
    if row is None:
        return
    brings = (
        say(row.why)
        if row.rate is None
        else say("{share} % a year", share=formatter.number(100 * row.rate))
    )
    back = (
        say("not back within the years looked at")
        if row.payback_years is None
        else say("back after {years} years", years=formatter.number(row.payback_years, 1))
    )
    yield say(
        "What the money put in brings, your hours not counted: {brings}, {back}.",
        brings=brings,
        back=back,
    )


def _fine(sheet: PriceSheet) -> Iterator[str]:
    yield ""
    if sheet.bid.says:
        yield sheet.bid.says
    if sheet.bid.warning:
        yield sheet.bid.warning
    yield from _returns(sheet)
    yield from assumed_lines(sheet)
    if sheet.set_aside:
        yield say("Left out of the sum: {names}.", names=", ".join(map(str, sheet.set_aside)))
    if sheet.not_used:
        yield say(
            "Not used, this type has no such look: {names}.",
            names=", ".join(map(str, sheet.not_used)),
        )
    yield say(
        "How far the sum itself may be off: {error}. Seed {seed}, {worlds} ways it could turn out, "
        "retrue {version}.",
        error=formatter.money(sheet.walk_away.error, sheet.currency),
        seed=sheet.seed,
        worlds=formatter.number(sheet.worlds),
        version=sheet.version,
    )


def assumed_lines(sheet: PriceSheet) -> Iterator[str]:
    """What nobody said, and what was taken in its place."""
    if sheet.assumed:
        yield say("Nobody said, so this was taken:")
        yield from (f"  {row.field}: {row.value}. {row.why}" for row in sheet.assumed)


def price_moved(judged: Judged) -> list[str]:
    """What a finding did to the price, in one line."""
    before, after = judged.amounts
    if judged.after is None or judged.before is None:
        return [say("The price waits: {why}", why=judged.why)]
    currency = judged.after.currency
    if before is None or after is None:
        return [judged.after.walk_away.why]
    if after <= 0:
        why = judged.after.walk_away.why
        if before <= 0:
            return [say("Do not bid, as before: {why}.", why=why)]
        return [
            say("Do not bid: {why}. Before, the number was {before}.", why=why,
                before=formatter.money(before, currency))
        ]  # fmt: skip
    if before == after:
        return [say("Do not go above {money}, as before.", money=formatter.money(after, currency))]
    return [
        say(
            "Do not go above {after} now; it was {before}.",
            after=formatter.money(after, currency),
            before=formatter.money(before, currency),
        )
    ]


def put(lines: Iterator[str]) -> None:
    """Print lines; long ones are broken at a space, with their own indent and two more."""
    for line in map(one_way, lines):
        indent = line[: len(line) - len(line.lstrip())]
        whole = textwrap.fill(line, WIDTH, subsequent_indent=f"{indent}  ",
                              break_long_words=False, break_on_hyphens=False)  # fmt: skip
        click.echo(whole if line else "")
