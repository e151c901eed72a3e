"""Advice for the terminal: the answer, the next step, a short table, what waits, fine print."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.find.advice import Advice, Step

ROWS = 5


def advice_lines(advice: Advice) -> Iterator[str]:
    """Everything a person needs for the next step.

    Parameters
    ----------
    advice : Advice

    Yields
    ------
    str
        One line each; each caution before its step.
    """
    yield from brief_lines(advice)
    yield from _others(advice)
    yield from _held(advice)
    yield from _suspects(advice)
    yield from _fine(advice)


def brief_lines(advice: Advice) -> Iterator[str]:
    """The answer and the next step.

    Parameters
    ----------
    advice : Advice

    Yields
    ------
    str
        One line each.
    """
    if advice.switch_off:
        yield say("First: {what}", what=advice.switch_off)
    yield f"{advice.machine}, {advice.title.rstrip('.')}: {advice.headline}"
    if not advice.steps:
        return
    first = advice.steps[0]
    yield from caution_lines(dict.fromkeys((*advice.cautions, *first.cautions)))
    yield f"  {first.why}"
    yield f"  {_besides(first, advice.currency)}"


def caution_lines(cautions: Iterable[str]) -> Iterator[str]:
    """Cautions, each on a line of its own."""
    for caution in cautions:
        yield say("Caution: {caution}", caution=caution)


def _besides(step: Step, currency: str) -> str:
    """What it is called, time, hire, what is opened, who does it."""
    parts = [step.id]
    if step.minutes:
        parts.append(say("{minutes} minutes", minutes=formatter.number(step.minutes)))
    if step.hire:
        parts.append(say("hire {money}", money=formatter.money(step.hire, currency)))
    if step.days:
        parts.append(say("{days} days of waiting", days=formatter.number(step.days)))
    if step.opens:
        parts.append(say("open: {places}", places=", ".join(map(str, step.opens))))
    if step.who == "electrician":
        parts.append(say("by a licensed electrician"))
    return "; ".join(map(str, parts))


def _others(advice: Advice) -> Iterator[str]:
    others, c = advice.steps[1 : ROWS + 1], advice.currency
    if not others:
        return
    yield ""
    before = {*advice.cautions, *advice.steps[0].cautions}
    more = dict.fromkeys(one for step in others for one in step.cautions if one not in before)
    yield from caution_lines(more)
    yield say("What else could be done: now, in all.")
    sums = [(formatter.money(one.cost, c), formatter.money(one.expected_cost, c)) for one in others]
    widths = [max(len(row[place]) for row in sums) for place in (0, 1)]
    for (now, whole), step in zip(sums, others, strict=True):
        tie = say(" (as good as the first)") if step.tie and advice.steps[0].tie else ""
        yield f"  {now.rjust(widths[0])}  {whole.rjust(widths[1])}  {step.id}: {step.text}{tie}"


def _held(advice: Advice) -> Iterator[str]:
    if not advice.held:
        return
    yield ""
    yield say("Waits:")
    for one in advice.held[:ROWS]:
        yield f"  {one.text}: {one.reason}. {one.remedy}"


def _suspects(advice: Advice) -> Iterator[str]:
    if not advice.suspects:
        return
    yield ""
    yield say("What may be behind it:")
    for one in advice.suspects[:ROWS]:
        first = say(" First: {first}.", first=one.first) if one.first else ""
        yield f"  {one.name}: {one.words}.{first}"


def _fine(advice: Advice) -> Iterator[str]:
    yield ""
    if advice.hunch is not None:
        yield advice.hunch.text
    yield from guessing_lines(advice)
    if advice.assumed:
        yield say("Nobody said, so this was taken:")
        yield from (f"  {line}" for line in advice.assumed)
    if advice.set_aside:
        yield say("Left out: {names}.", names=", ".join(map(str, advice.set_aside)))
    if advice.not_used:
        yield say("Not used, this type has no such look: {names}.",
                  names=", ".join(map(str, advice.not_used)))  # fmt: skip
    yield say(
        "Estimate for planning. Seed {seed}, {worlds} ways it could be, retrue {version}.",
        seed=advice.seed,
        worlds=formatter.number(advice.worlds),
        version=advice.version,
    )


def guessing_lines(advice: Advice) -> Iterator[str]:
    """What it costs on average, what guessing would, and what nobody can do better than.

    Parameters
    ----------
    advice : Advice

    Yields
    ------
    str
        One line; none where the goal is met.
    """
    if not advice.met:
        c = advice.currency
        yield say(
            "On average until then: {cost}. Buying the likeliest part first: {guess}. Not below "
            "{bound}, even for somebody who knew what it is.",
            cost=formatter.money(advice.expected_cost, c),
            guess=formatter.money(advice.guess_cost, c),
            bound=formatter.money(advice.bound, c),
        )
