"""Cards, tonight and plans for the terminal: cautions first, then what to do, then the rest."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime

from retrue.base.formatter import day, money, number, odds
from retrue.base.say import say
from retrue.cases.fix.hire import HARDLY
from retrue.cases.fix.left import hours_left
from retrue.cases.fix.licensed import licensed_words
from retrue.cases.fix.lines import Card, Cards, Refused, Tonight
from retrue.cases.fix.plan_lines import MachineDates, PlanView
from retrue.cases.strip.cautions import told
from retrue.cli.strip_options import caution_lines, columns
from retrue.kinds.library import Kind

STATES = {
    "open": "can be done", "waiting": "waits for a part", "out": "out", "stuck": "stuck",
    "begun": "begun", "not_now": "put off", "done": "done", "not_yet": "not yet",
}  # fmt: skip
STEPS = {
    "open": "open", "before": "read before", "work": "work", "clean": "clean",
    "measure": "measure", "close": "close",
}  # fmt: skip
MOST_ROWS = 30
ALWAYS = 0.95
LEAST_HOURS = 0.95  # below it in minutes


def tonight_lines(view: Tonight, kinds: Mapping[str, Kind]) -> Iterator[str]:
    """What to do tonight.

    Parameters
    ----------
    view : Tonight
    kinds : mapping of str to Kind

    Yields
    ------
    str
    """
    yield from _cautions(view.cautions, kinds)
    alone = say("alone") if view.alone else say("not alone")
    hoist = say("with the hoist") if view.hoist else say("no hoist")
    yield say("You have {hours} h, {alone}, {hoist}:", hours=number(view.hours, 1), alone=alone,
              hoist=hoist)  # fmt: skip
    for pick in view.picks:
        part = "" if pick.whole else f" ({pick.part})"
        yield say("  {hours}  {machine}: {title}{part}. {why}. [{key}]",
                  hours=_long(pick.hours), machine=pick.card.machine_name,
                  title=pick.card.title, part=part, why=_big(pick.why),
                  key=pick.card.key)  # fmt: skip
    if view.nothing:
        yield view.nothing
    if view.not_tonight:
        yield say("Not tonight:")
    for one in view.not_tonight:
        yield say("  {machine}: {title}: {why}", machine=one.card.machine_name,
                  title=one.card.title, why=one.why)  # fmt: skip
    yield from refused_lines(view.refused)
    if view.evening:
        yield view.evening
    if not view.planned:
        yield say("Not planned yet: by what the date hangs on. `retrue fix plan --keep` plans it.")


def cards_lines(cards: Cards, kind: Kind, *, whole: bool) -> Iterator[str]:
    """All cards of one machine.

    Parameters
    ----------
    cards : Cards
    kind : Kind
    whole : bool
        With what is done, and with what nobody has seen yet.

    Yields
    ------
    str
    """
    yield from caution_lines(told(kind, ("X01",)))
    if not cards.cards:
        yield say("{machine} is not worked for: no cards.", machine=cards.machine_name)
        return
    yield say("{machine}: about {hours} h left, chances counted.", machine=cards.machine_name,
              hours=number(cards.hours))  # fmt: skip
    shown = [one for one in cards.cards if whole or (one.state != "done" and _sure(one))]
    for state in ("begun", "stuck", "open", "out", "waiting", "not_now", "not_yet", "done"):
        rows = [one for one in shown if one.state == state]
        if rows:
            yield _big(say(STATES[state])) + ":"
            yield from columns([_row(one) for one in (rows if whole else rows[:MOST_ROWS])])
    hidden = len(cards.cards) - len(shown)
    if hidden:
        yield say("{count} more are done or of what nobody has seen yet: --all.", count=hidden)
    yield from refused_lines(cards.refused)


def card_lines(card: Card, kind: Kind) -> Iterator[str]:
    """One card with every step.

    Parameters
    ----------
    card : Card
    kind : Kind

    Yields
    ------
    str
    """
    yield from caution_lines(told(kind, card.cautions))
    yield f"{card.machine_name}: {card.title} [{card.key}]"
    why = f": {card.state_why}" if card.state_why else ""
    yield say("{hours} expected, {state}{why}", hours=_long(hours_left(card)),
              state=say(STATES[card.state]), why=why)  # fmt: skip
    needs = [say("{count} people", count=card.people) if card.people > 1 else "",
             "" if card.alone else say("not alone"), say("hoist") if card.hoist else "",
             say("in one go") if card.unbroken else "",
             "" if card.who == "anyone" else say("who: {who}", who=card.who)]  # fmt: skip
    if any(needs):
        yield say("Needs: {needs}", needs=", ".join(str(one) for one in needs if one))
    if card.tools:
        yield say("Tools: {tools}", tools=", ".join(map(str, card.tools)))
    if card.stuck:
        yield say("A stuck bolt: {odds}", odds=odds(card.stuck))
    for part in card.parts:
        yield say("Part: {what}, about {days} days ({source})", what=part.what,
                  days=number(part.days), source=part.source)  # fmt: skip
    yield from licensed_words(card)
    for step in card.steps:
        yield f"  [ ] {say(STEPS[step.sort])}: {step.text}"


def plan_lines(view: PlanView) -> Iterator[str]:
    """A plan: dates first, then what they hang on, then the next weeks.

    Parameters
    ----------
    view : PlanView

    Yields
    ------
    str
    """
    for machine in view.machines:
        yield from _dates(machine, view.currency)
    for broke in view.broke:
        if broke.now_on is None or broke.days is None:
            yield say("{machine}: {was} was promised, now there is no date: {why}.",
                      machine=broke.machine_name, was=_day(broke.was_on),
                      why=broke.why)  # fmt: skip
            continue
        yield say("{machine}: {was} was promised, now {now}, {days} days later: {why}.",
                  machine=broke.machine_name, was=_day(broke.was_on), now=_day(broke.now_on),
                  days=number(broke.days), why=broke.why)  # fmt: skip
    for one in view.hire:
        saved = (
            "" if not one.saved else say(", saves {money}", money=money(one.saved, view.currency))
        )
        if saved and one.assumed:
            saved += say(" (the cost of a day is assumed)")
        if one.chance < HARDLY:
            saved = say(": hire it only if it is needed, {odds}", odds=odds(one.chance))
        yield say("{what} on {day}: {titles}{saved}", what=_big(one.name.replace("_", " ")),
                  day=_day(one.on), titles="; ".join(map(str,
                                                         one.titles)), saved=saved)  # fmt: skip
    if view.rows:
        yield say("Next:")
    yield from columns(
        [
            (_when(one.begins), f"{one.card.machine_name}: {one.card.title}",
             " + ".join(one.people))
            for one in view.rows[:12]
        ]
    ) if view.rows else ()  # fmt: skip
    yield from refused_lines(view.refused)
    if view.stale:
        yield say("Something was kept since: plan again.")
    yield from view.fine


def refused_lines(refused: Iterable[Refused]) -> Iterator[str]:
    """What cannot be planned, and what helps.

    Parameters
    ----------
    refused : iterable of Refused

    Yields
    ------
    str
    """
    for one in refused:
        yield say("Not planned: {title}: {why}. {remedy}", title=one.title, why=one.why,
                  remedy=one.remedy)  # fmt: skip


def _dates(one: MachineDates, currency: str) -> Iterator[str]:
    if one.early_on or not one.why:
        yield say("{machine}, first good part: most likely {even}, with luck {early}, with bad "
                  "luck {promise}", machine=one.machine_name, even=_day(one.even_on),
                  early=_day(one.early_on), promise=_day(one.promise_on))  # fmt: skip
    if one.why:
        yield say("{machine}, first good part: {why}", machine=one.machine_name, why=one.why)
    hangs = [
        what if share >= ALWAYS
        else say("{what} ({n} % of the time)", what=what, n=round(100 * share)) if one.of_time
        else say("{what} (in {n} of ten)", what=what, n=round(10 * share))
        for what, share in one.late_by
    ]  # fmt: skip
    if hangs:
        yield say("  The date hangs on: {what}", what="; ".join(map(str, hangs)))
    for part in one.order_now:
        yield say("  {what}: {words}", what=part.what, words=part.words)
    if not one.order_now and not one.why:
        yield say("  No order today gains a day.")
    yield say("  A day is worth about {money}.", money=money(one.day_worth, currency))
    if one.stop_loss is not None:
        yield f"  {one.stop_loss.words}"


def _cautions(ids: Iterable[str], kinds: Mapping[str, Kind]) -> Iterator[str]:
    wanted, seen = set(ids), set[str]()
    for kind in kinds.values():
        for text in told(kind, wanted):
            if text not in seen:
                seen.add(text)
                yield from caution_lines((text,))


def _row(card: Card) -> tuple[str, ...]:
    chance = "" if card.chance >= 1 else odds(card.chance)
    return (card.key, card.title, _long(hours_left(card)), chance, card.state_why)


def _long(hours: float) -> str:
    """Hours, or minutes where there is less than one."""
    if 0 < hours < LEAST_HOURS:
        return say("{count} min", count=max(1, round(hours * 60)))
    return f"{number(hours, 1)} h"


def _sure(card: Card) -> bool:
    return card.chance >= 1 or not card.faults


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]


def _day(text: str | None) -> str:
    if text is None:
        return say("no date")
    return day(date.fromisoformat(text))


def _when(text: str) -> str:
    at = datetime.fromisoformat(text)
    return f"{day(at)} {at:%H:%M}"
