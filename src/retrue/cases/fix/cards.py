"""Job cards of one machine: made from its faults, places and jobs, in an order that works."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from retrue.base.say import say
from retrue.cases.fix.card_steps import (
    before_steps,
    close_steps,
    job_steps,
    open_steps,
    send_steps,
    send_title,
    way_title,
    work_steps,
    work_title,
)
from retrue.cases.fix.clearing import clearing_cards
from retrue.cases.fix.extras import extra_cards
from retrue.cases.fix.kept import FixKept
from retrue.cases.fix.layout import (
    BEFORE,
    CLEAN,
    CLOSE,
    OPEN,
    OUTSIDE,
    POWER,
    RECORD,
    TEST,
    WORK,
    Layout,
    cleans_outside,
    layout_of,
)
from retrue.cases.fix.licensed import without_live_steps
from retrue.cases.fix.lines import Card, Cards, Refused, Step, Visit
from retrue.cases.fix.looks import (
    ELSEWHERE,
    LOOK,
    LOOK_SHARE,
    look_steps,
    looked_at,
    pressing_places,
)
from retrue.cases.fix.needed import FaultNeed, JobNeed, Needed
from retrue.cases.fix.parts import own_line, part_of
from retrue.cases.fix.places import stuck_chance
from retrue.cases.fix.rules import Manner, manner_of
from retrue.cases.fix.states import with_states
from retrue.cases.fix.told_once import told_once
from retrue.cases.fix.waits import wait_for_all
from retrue.kinds.judged import Three
from retrue.kinds.library import Job, Place

HALF = 0.5  # of the own hours of outside work: to take out and send; the other half to refit
A_LOOK = Three(0.05, 0.1, 0.2)  # hours, where nothing has to be opened (judgement)
UNSEEN, CONTROL = "unseen", "work:control"
CHANGE = "E70"  # the cost line of another control
URGENCY = ("STOP", "MUST", "SHOULD", "MAY")


def cards_of(kept: FixKept, need: Needed, on: date | None = None) -> Cards:
    """All cards of one machine as they stand.

    Parameters
    ----------
    kept : FixKept
    need : Needed
        Of one of its machines.
    on : date, optional
        The day they are looked at: what was put off until then is open again.

    Returns
    -------
    Cards
    """
    machine = need.machine
    layout = layout_of(need)
    ranked, refused = _all(kept, need, layout) if machine.worked_for else ([], [])
    waiting = wait_for_all(ranked, need, layout)
    told = [without_live_steps(one, need.kind) for one in told_once(waiting)]
    cards = with_states(told, kept, need, on)
    return Cards(
        lot=kept.lot,
        lot_name=kept.lot_name,
        machine=machine.key,
        machine_name=machine.name,
        kind=machine.kind.id,
        aim=machine.aim,
        level=need.level,
        cards=cards,
        visits=_visits(cards),
        hours=sum(one.chance * one.expected_hours for one in cards if one.state != "done"),
        refused=(*need.refused, *refused) if machine.worked_for else (),
        currency=kept.case.shop.currency,
    )


def _all(
    kept: FixKept, need: Needed, layout: Layout
) -> tuple[list[tuple[int, Card]], list[Refused]]:
    refused: list[Refused] = []
    ranked = [*_doors(kept, need, layout), *_jobs(kept, need, layout, refused)]
    ranked += [(TEST, card) for card in _looks(kept, need, layout)]
    for one in need.faults:
        for rank, card in _fault(kept, need, layout, one):
            if any(part.state == "no_vendor" for part in card.parts):
                refused.append(_no_vendor(card))
            ranked.append((rank, card))
    ranked += [(WORK, card) for card in extra_cards(kept, need, layout)]
    ranked += [(TEST, card) for card in _together(kept, need)]
    ranked += [(TEST, card) for card in clearing_cards(kept, need)]
    return ranked, refused


def _doors(kept: FixKept, need: Needed, layout: Layout) -> Iterator[tuple[int, Card]]:
    """Openings, what is read before it comes apart, closings."""
    record = next((one for one in need.kind.jobs.values() if one.sort == "record"), None)
    left = {one.job.id: one.share for one in need.jobs}
    looked = looked_at(need, layout)
    pressing = pressing_places(need, layout)
    outside = {place for one in layout.early if cleans_outside(need.kind, one.job)
               for place in one.job.places}  # fmt: skip
    for id, chance in layout.opened.items():
        place = need.kind.places[id]
        manner = manner_of(need.kind, sort="open", place=id)
        own = layout.before.get(id)
        stuck = 0.0 if id in need.openings.opened_before else stuck_chance(place, need.lives)
        first = OUTSIDE if id in outside else OPEN
        yield first, _card(
            kept, need, manner, key=f"open:{id}", sort="open", place=place, chance=chance,
            title=say("Open: {place}", place=place.name), hours=place.open_hours, stuck=stuck,
            urgency=pressing.get(id, ""),
            steps=tuple(open_steps(place, need, manner, own is None)),
        )  # fmt: skip
        if own is not None and record is not None:
            reading = manner_of(need.kind, sort="before", place=id)
            yield first if id in outside else BEFORE, _card(
                kept, need, reading, key=f"before:{id}", sort="before", place=place,
                title=say("Read before it comes apart: {place}", place=place.name),
                hours=_scaled(_job_hours(kept, need, record), left.get(record.id, 1.0) * own),
                steps=tuple(before_steps(place, need, reading)),
            )  # fmt: skip
        shut = manner_of(need.kind, sort="close", place=id)
        yield CLOSE, _card(
            kept, need, shut, key=f"close:{id}", sort="close", place=place, chance=chance,
            title=say("Close: {place}", place=place.name),
            hours=_scaled(place.close_hours, 1.0 - LOOK_SHARE if id in looked else 1.0),
            urgency=pressing.get(id, ""),
            steps=tuple(close_steps(place, need, shut)),
        )  # fmt: skip


def _looks(kept: FixKept, need: Needed, layout: Layout) -> Iterator[Card]:
    """What nobody has seen yet, place by place: looked at before it is closed."""
    for id, mine in looked_at(need, layout).items():
        place = need.kind.places.get(id) if id != ELSEWHERE else None
        hours = _scaled(place.close_hours, LOOK_SHARE) if place else A_LOOK
        manner = manner_of(need.kind, sort="measure", place=place.id if place else "")
        yield _card(
            kept, need, manner, key=f"{LOOK}{id}", sort="measure", place=place,
            title=say("Look before it is closed: {place}", place=place.name) if place
            else say("Look before power: what nothing has to be opened for"),
            chance=layout.opened.get(id, 1.0), hours=hours, steps=tuple(look_steps(need, mine)),
            faults=tuple(one.fault.id for one in mine), urgency=mine[0].fault.urgency,
        )  # fmt: skip


def _jobs(
    kept: FixKept, need: Needed, layout: Layout, refused: list[Refused]
) -> Iterator[tuple[int, Card]]:
    """Base jobs and cleaning passes; those behind us stay on the list as done."""
    todo = {one.job.id for one in need.jobs}
    words = need.kind.levels[need.level].jobs
    for job in need.kind.jobs.values():
        if job.id not in todo and job.when in words:
            yield RECORD, replace(_job(kept, need, JobNeed(job=job, chance=1.0, share=1.0)),
                                  state="done")  # fmt: skip
    ranks = {"record": RECORD, "clean": CLEAN, "check": TEST}
    for one in layout.early:
        bad = [place for place in one.job.places if need.openings.bad_place(place)]
        if bad:
            refused.append(need.openings.refusal(one.job.id, one.job.name, bad[0]))
            continue
        rank = OUTSIDE if cleans_outside(need.kind, one.job) else ranks.get(one.job.sort, WORK)
        yield rank, _job(kept, need, one, sum(layout.before.values()))
    for at, one in enumerate(layout.late):
        yield POWER + at, _job(kept, need, one)


def _job(kept: FixKept, need: Needed, of: JobNeed, elsewhere: float = 0.0) -> Card:
    """The card of one base job; ``elsewhere``: the share of a record that is read at its place."""
    job, kind = of.job, need.kind
    live = job.sort == "start"
    place = kind.places.get(job.places[0]) if job.places else None
    manner = manner_of(kind, sort="job", place=place.id if place else "", job=job.id, live=live)
    tools = [tool for one in job.reveals if one in kind.checks for tool in kind.checks[one].tools]
    share = of.share * (1.0 - elsewhere if job.sort == "record" else 1.0)
    card = _card(
        kept, need, manner, key=job.id, sort="clean" if job.sort == "clean" else "job",
        place=place, title=job.name, job=job.id, chance=of.chance,
        hours=_scaled(_job_hours(kept, need, job), share),
        steps=tuple(job_steps(job, kind, manner)), good_part=job.sort != "finish",
    )  # fmt: skip
    return replace(card, tools=tuple(dict.fromkeys((*card.tools, *tools))))


def _fault(
    kept: FixKept, need: Needed, layout: Layout, of: FaultNeed
) -> Iterator[tuple[int, Card]]:
    """One card, or two where somebody else does the work."""
    kind, fault, fix = need.kind, of.fault, of.fix
    inner = layout.inner(kind, fix.opens)
    place = kind.places.get(fix.opens or fault.place)
    manner = manner_of(kind, sort="work", place=place.id if place else "", fault=fault.id,
                       way=fix.way)  # fmt: skip
    late = layout.is_late(of)
    opened = kind.places[inner] if inner and not late else None
    part = part_of(kept, need.machine, fix, way_title(of))
    if part is not None and of.units > 1:
        part = replace(part, units=of.units, money=_scaled(part.money, float(of.units)))
    hours = _scaled(_own_hours(kept, need, of.line, fix.hours), float(of.units))
    common: dict[str, Any] = {
        "place": place, "chance": 1.0 if of.confirmed and not of.after else of.chance,
        "faults": (fault.id,), "way": fix.way, "urgency": fault.urgency,
    }  # fmt: skip
    if of.sent:
        yield WORK, _card(
            kept, need, manner, key=f"send:{of.line}", sort="send", title=send_title(of),
            hours=_scaled(hours, HALF), steps=tuple(send_steps(of, need, manner, opened)),
            **common,
        )  # fmt: skip
        hours = _scaled(hours, 1.0 - HALF)
    dries = fix.lead_days if part is None and not of.sent else 0.0
    card = _card(
        kept, need, manner, key=of.line, sort="work", title=work_title(of), hours=hours,
        steps=tuple(work_steps(of, need, manner, opened)), parts=(part,) if part else (),
        **common,
    )  # fmt: skip
    if late and place is not None and fix.opens:
        again = say("{place} is closed by now: opened for this alone, and closed after it.",
                    place=place.name)  # fmt: skip
        card = replace(card, steps=(Step(sort="open", text=again), *card.steps))
    yield WORK, replace(card, dries_days=max(card.dries_days, dries))


def _together(kept: FixKept, need: Needed) -> Iterator[Card]:
    """What nobody has seen yet, in one card; another control, in another."""
    rare = [(one, one.chance * one.units) for one in need.rare]
    hours = sum(share * _mean(_own_hours(kept, need, one.line, one.fix.hours))
                for one, share in rare)  # fmt: skip
    hours += sum(one.chance * one.share * _mean(_job_hours(kept, need, one.job))
                 for one in need.rare_jobs)  # fmt: skip
    plain = Manner(cautions=("X01",), who="competent")
    if rare or need.rare_jobs:
        yield _card(
            kept, need, plain, key=UNSEEN, sort="unseen", place=None,
            title=say("What nobody has seen yet"), hours=Three(0.0, hours, 2.0 * hours),
            steps=(), faults=tuple(one.fault.id for one, _ in rare),
        )  # fmt: skip
    change = need.kind.costs.get(CHANGE)
    if need.machine.aim == "new_control" and change is not None:
        yield _card(
            kept, need, replace(plain, cautions=("X01", "X02", "X03", "X37")), key=CONTROL,
            sort="work", place=need.kind.places.get("cabinet"), title=change.item,
            hours=change.hours, steps=(),
        )  # fmt: skip


def _card(kept: FixKept, need: Needed, manner: Manner, *, place: Place | None, **of: Any) -> Card:
    return Card(
        lot=kept.lot,
        machine=need.machine.key,
        machine_name=need.machine.name,
        place=place.id if place else "",
        place_name=place.name if place else "",
        people=manner.people,
        alone=manner.alone,
        hoist=manner.hoist,
        unbroken=manner.unbroken,
        least_hours=manner.least_hours,
        dries_days=manner.dries_days,
        who=manner.who,
        cautions=tuple(id for id in need.kind.cautions if id in manner.cautions),
        tools=manner.tools,
        **of,
    )


def _visits(cards: tuple[Card, ...]) -> tuple[Visit, ...]:
    """Cards by place, in order; what is done is done."""
    places: dict[str, list[Card]] = {}
    for one in cards:
        if one.place and one.state != "done":
            places.setdefault(one.place, []).append(one)
    return tuple(
        Visit(
            place=place,
            place_name=mine[0].place_name,
            cards=tuple(mine),
            hours=sum(one.chance * one.expected_hours for one in mine),
        )
        for place, mine in places.items()
    )


def _no_vendor(card: Card) -> Refused:
    part = next(part for part in card.parts if part.state == "no_vendor")
    return Refused(
        card=card.key,
        title=card.title,
        why=say("nobody supplies it: {source}", source=part.source),
        remedy=say("Ask somebody else and keep his quote, or choose another way."),
    )


def _job_hours(kept: FixKept, need: Needed, job: Job) -> Three:
    return _own_hours(kept, need, job.id, job.hours)


def _own_hours(kept: FixKept, need: Needed, key: str, table: Three) -> Three:
    own = own_line(kept, need.machine, key)
    return table if own is None or own.hours is None else Three(own.hours, own.hours, own.hours)


def _scaled(three: Three, by: float) -> Three:
    return Three(three.low * by, three.likely * by, three.high * by)


def _mean(three: Three) -> float:
    return (three.low + 4 * three.likely + three.high) / 6


def most_urgent(cards: Iterable[Card]) -> str:
    """The most urgent class among some cards.

    Parameters
    ----------
    cards : iterable of Card

    Returns
    -------
    str
        Empty where none has any.

    Examples
    --------
    >>> most_urgent(())
    ''
    """
    found: Mapping[str, bool] = {one.urgency: True for one in cards}
    return next((one for one in URGENCY if one in found), "")
