"""The one next step of a machine: chosen from belief, plan, stop points and rounds."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from retrue.base.say import say
from retrue.cases.onward_before import bid_for, closing, move
from retrue.cases.onward_facts import Along
from retrue.cases.onward_ways import (
    after_sale,
    card_at,
    measure,
    off,
    sale,
    stage,
    strip,
    trouble,
    watched,
)
from retrue.cases.onward_words import Step, step

__all__ = ["Step", "ahead_of", "next_step", "steps_of"]

FIRST, STOP, LATE, DUE, OFFER, PATH = range(6)
NEAR_DAYS = 3  # a day that does not wait is named before all else so early, judgement
SELLING = ("sell_as_found", "part_out", "donor")


@dataclass(frozen=True, slots=True)
class Ranked:
    """A step with its urgency; of two the lower goes first."""

    urgency: int
    by: int  # days left, or place among equals
    step: Step


def next_step(along: Along) -> Step | None:
    """What to do next at one machine, and why just that.

    Parameters
    ----------
    along : Along
        How every phase of it stands today.

    Returns
    -------
    Step or None
        A running watch goes before all; then what means "stop"; then what is late; then days that
        are near; an offer that waits; then the step of the phase it stands in. None where nothing
        is left to do: a lot that was lost or walked away from, a machine that is closed.

    Examples
    --------
    >>> from retrue.cases.onward_facts import Bid, Power
    >>> mill = Along(lot="1", lot_name="school", machine="2", name="mill")
    >>> next_step(mill).sort, next_step(mill).path
    ('price', '/lots/1')
    >>> from dataclasses import replace
    >>> next_step(replace(mill, bid=Bid(ours=True, outcome="won"), power=Power(watch="w"))).sort
    'watch'
    >>> next_step(replace(mill, bid=Bid(outcome="lost"))) is None
    True
    """
    found = steps_of(along)
    return found[0] if found else None


def steps_of(along: Along) -> tuple[Step, ...]:
    """Every step that could be next, the one to take first.

    Parameters
    ----------
    along : Along

    Returns
    -------
    tuple of Step

    Examples
    --------
    >>> mill = Along(lot="1", lot_name="school", machine="2", name="mill")
    >>> [one.sort for one in steps_of(mill)]
    ['price']
    """
    ranked = sorted(_every(along), key=lambda one: (one.urgency, one.by))
    return tuple(one.step for one in ranked)


def ahead_of(one: Along, other: Along) -> bool:
    """Whether one machine's step goes before another's, by urgency, then by the plan.

    Parameters
    ----------
    one, other : Along

    Returns
    -------
    bool

    Examples
    --------
    >>> mill = Along(lot="1", lot_name="school", machine="2", name="mill")
    >>> ahead_of(mill, mill)
    False
    """
    return place_of(one) < place_of(other)


def place_of(along: Along) -> tuple[int, int, int]:
    """By what a machine stands among others: urgency of its step, its place in the plan.

    Parameters
    ----------
    along : Along

    Returns
    -------
    tuple of (int, int, int)
        The lowest goes first; where nothing is to be done, last.

    Examples
    --------
    >>> place_of(Along(lot="1", lot_name="school", machine="2", name="mill"))[0] == PATH
    True
    """
    ranked = min(_every(along), key=lambda one: (one.urgency, one.by), default=None)
    planned = along.card.rank
    if ranked is None:
        return PATH + 1, 0, 0
    return ranked.urgency, 0 if planned is not None else 1, planned or ranked.by


def _every(along: Along) -> Iterator[Ranked]:
    if along.settle.closed or along.bid.outcome in ("lost", "walked"):
        return
    if along.settle.sold:
        yield from (Ranked(DUE, at, one) for at, one in enumerate(after_sale(along)))
        return
    yield from _stops(along)
    yield from _days(along)
    if along.settle.offer is not None:
        yield Ranked(OFFER, 0, sale(along))
    found = _of_the_path(along)
    if found is not None:
        yield Ranked(PATH, 0, found)


def _stops(along: Along) -> Iterator[Ranked]:
    """What goes before everything: a watch that runs, a machine that has to stay off."""
    if along.power.watch:
        yield Ranked(FIRST, 0, watched(along))
    if along.seek.means_off:
        yield Ranked(STOP, 0, off(along))
    called_off = stage(along) if along.power.state in ("aborted", "strip") else None
    if called_off is not None:
        yield Ranked(STOP, 1, called_off)


def _days(along: Along) -> Iterator[Ranked]:
    """Days that do not wait: what is late, then what is near."""
    for left, made in _dated(along):
        if left is not None and left <= NEAR_DAYS:
            yield Ranked(LATE if left < 0 else DUE, left, made(along))
    if along.owing.state in ("late", "ring", "back_not_judged"):
        urgency = LATE if along.owing.state == "late" else DUE
        yield Ranked(urgency, -along.owing.days_late, owed(along))


def _dated(along: Along) -> Iterator[tuple[int | None, Callable[[Along], Step]]]:
    if not along.bid.ours:
        yield along.bid.days_left, closing
        return
    yield along.move.damage_left, damage
    yield along.move.round_left, round_at_rest


def _of_the_path(along: Along) -> Step | None:
    """The step of the phase that the machine stands in."""
    if not along.bid.ours:
        return bid_for(along)
    if not along.move.here:
        return move(along)
    if along.card.aim in SELLING:
        return sale(along)
    for way in (strip, trouble, _first_measured, _at_work, measure):
        found = way(along)
        if found is not None:
            return found
    return sale(along)


def _first_measured(along: Along) -> Step | None:
    """After first power the daily five, level first: what else is open waits for what they say."""
    power, proving = along.power, along.prove
    signed = power.stages > 0 and not power.state
    return measure(along) if signed and proving.daily_judged < proving.daily else None


def _at_work(along: Along) -> Step | None:
    """Job cards and first power: what was begun first, else what is open."""
    power, card = stage(along), card_at(along)
    if power is not None and along.power.begun and along.power.wants is None:
        return power
    return power if card is None else card


def damage(along: Along) -> Step:
    """The last day to write to the carrier.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step

    Examples
    --------
    >>> damage(Along(lot="1", lot_name="a", machine="2", name="mill")).path
    '/lots/1/machines/2/arrival#note'
    """
    looked = along.move.damage not in ("", "not_looked")
    act = (
        say("Write to the carrier what is broken") if looked else say("Look for damage of the way")
    )
    return step("damage", 1, act, along.move.damage_words, f"{along.path}/arrival#note",
                say("The damage note"), minutes=15)  # fmt: skip


def round_at_rest(along: Along) -> Step:
    """A round at a machine that rests.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step

    Examples
    --------
    >>> round_at_rest(Along(lot="1", lot_name="a", machine="2", name="mill")).sort
    'round'
    """
    late = -(along.move.round_left or 0)
    why = say("It is {days} days late: damp and a flat cell do their work unseen.", days=late)
    if late <= 0:
        why = say("It is due in {days} days: damp and a flat cell do their work unseen.",
                  days=-late)  # fmt: skip
    return step("round", 1, say("Go round the machine at rest"), why, f"{along.path}/rest#rounds",
                say("The round"), minutes=15)  # fmt: skip


def owed(along: Along) -> Step:
    """Something is out at somebody, and late.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step

    Examples
    --------
    >>> from retrue.cases.onward_facts import Owing
    >>> out = Owing(out="o", what="spindle motor", whom="the winder", state="late", days_late=6)
    >>> told = owed(Along(lot="1", lot_name="a", machine="2", name="mill", owing=out))
    >>> told.act, told.path
    ('Ring up: spindle motor, the winder', '/fix/waiting/o')
    """
    out = along.owing
    if out.state == "back_not_judged":
        return step(
            "judge", 4, say("Look at what came back: {what}", what=out.what),
            say("It came back from {whom}, and nobody has said whether it is good.",
                whom=out.whom),
            f"/fix/waiting/{out.out}", say("Judge it"), minutes=10,
        )  # fmt: skip
    why = say("Its day to ring has come.")
    if out.days_late:
        why = say("Promised, and {days} days late.", days=out.days_late)
    act = say("Ring up: {what}, {whom}", what=out.what, whom=out.whom)
    return step("owed", 4, act, why, f"/fix/waiting/{out.out}", say("Ring, and keep the answer"),
                minutes=5)  # fmt: skip
