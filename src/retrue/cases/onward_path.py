"""The path of one machine: which phases are done, where it stands, what is shut and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from retrue.base.formatter import money
from retrue.base.say import say
from retrue.cases.onward_facts import Along
from retrue.cases.onward_words import (
    APART,
    MEASURE,
    MONEY,
    MOVE,
    PAY,
    POWER,
    SEEK,
    WORK,
    Step,
)

State = Literal["done", "begun", "ahead", "shut"]
Shape = Literal["good", "open", "bad", "none"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """One of the eight ticks on the rule.

    Attributes
    ----------
    phase : int
    state : str
        done, begun, ahead; shut with ``why``: only safety shuts a page.
    here : bool
        The next step is of this phase.
    """

    phase: int
    state: State
    here: bool = False
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PageLine:
    """A page of the machine with how it stands: kept 3 of 9."""

    phase: int
    path: str
    name: str
    words: str = ""
    shape: Shape = "none"


def ticks_of(along: Along, next: Step | None) -> tuple[Tick, ...]:
    """The eight ticks of one machine, in the order of the path.

    Parameters
    ----------
    along : Along
    next : Step or None
        Its next step.

    Returns
    -------
    tuple of Tick

    Examples
    --------
    >>> mill = Along(lot="1", lot_name="school", machine="2", name="mill")
    >>> [one.state for one in ticks_of(mill, None)][:3]
    ['begun', 'ahead', 'ahead']
    """
    here = None if next is None else next.phase
    states = _states(along)
    return tuple(
        Tick(phase=phase, state=state, here=phase == here, why=why)
        for phase, (state, why) in enumerate(states)
    )


def _states(along: Along) -> tuple[tuple[State, str], ...]:
    bid, moving, apart, seek = along.bid, along.move, along.apart, along.seek
    power, proving, settle, card = along.power, along.prove, along.settle, along.card
    shut = power.wants[1] if power.wants is not None and moving.here else ""
    powered: State = "done" if power.stages and not power.state else "begun"
    if power.state and not power.begun:
        powered = "shut" if shut else "ahead"
    return (
        ("done" if bid.ours or bid.outcome else "begun", ""),
        (_when(moving.here, moving.done > 0), ""),
        (_when(bool(apart.places) and apart.kept == apart.places, _touched(along)), ""),
        (_when(seek.told > 0 and not seek.open, seek.open > 0), ""),
        (_when(card.cards > 0 and card.done == card.cards, card.done > 0 or card.begun), ""),
        (powered if moving.here else "ahead", shut if powered == "shut" else ""),
        (_when(proving.daily > 0 and proving.daily_judged >= proving.daily and not proving.bad,
               proving.judged > 0 or bool(proving.set)), ""),
        (_when(settle.closed or settle.sold, bool(settle.listed) or settle.records > 0), ""),
    )  # fmt: skip


def _when(done: bool, begun: bool) -> State:
    return "done" if done else "begun" if begun else "ahead"


def _touched(along: Along) -> bool:
    return along.apart.kept > 0 or along.apart.ticks[0] < along.apart.ticks[1]


def pages_of(along: Along) -> tuple[PageLine, ...]:
    """Every page of a machine with how it stands, in the order of the path.

    Parameters
    ----------
    along : Along

    Returns
    -------
    tuple of PageLine

    Examples
    --------
    >>> mill = Along(lot="1", lot_name="school", machine="2", name="mill")
    >>> pages_of(mill)[0].words
    'not reckoned yet'
    """
    rows = (_pay(along), _move(along), _apart(along), _work(along), _prove(along), _money(along))
    return tuple(one for some in rows for one in some)


def _pay(along: Along) -> Iterator[PageLine]:
    bid, lot, path = along.bid, f"/lots/{along.lot}", along.path
    yield PageLine(phase=PAY, path=lot, name=say("What to pay"), words=_price_words(along))
    yield PageLine(phase=PAY, path=f"{path}/looks", name=say("Looks and tests"),
                   words=say("{count} answered", count=bid.findings))  # fmt: skip
    yield PageLine(phase=PAY, path=f"{path}/plate", name=say("What is stamped on it"),
                   words=_of(bid.stamped, bid.to_stamp),
                   shape=_full(bid.stamped, bid.to_stamp))  # fmt: skip
    yield PageLine(phase=PAY, path=f"{lot}/pictures", name=say("Photographs"),
                   words=f"{bid.pictures}")  # fmt: skip


def _price_words(along: Along) -> str:
    """What came of the sale; before it the number that was frozen, else the one of today."""
    bid = along.bid
    outcome = {"won": say("won"), "lost": say("lost"), "walked": say("walked away")}
    if bid.outcome in outcome:
        return outcome[bid.outcome]
    if bid.frozen is not None:
        return say("frozen at {sum}", sum=money(bid.frozen, along.currency))
    if bid.walk_away is not None and bid.walk_away <= 0:
        return say("do not bid")
    if bid.walk_away is not None:
        return say("not above {sum}", sum=money(bid.walk_away, along.currency))
    if bid.reckoned:
        return bid.why
    return say("it is yours") if bid.ours else say("not reckoned yet")


def _move(along: Along) -> Iterator[PageLine]:
    moving, path = along.move, along.path
    yield PageLine(phase=MOVE, path=f"{path}/move", name=say("Move and place"),
                   words=_of(moving.done, moving.steps),
                   shape=_full(moving.done, moving.steps))  # fmt: skip
    yield PageLine(phase=MOVE, path=f"{path}/move/data", name=say("Data rescue"),
                   words=say("{count} not saved", count=len(moving.unsaved))
                   if moving.unsaved else "")  # fmt: skip
    yield PageLine(phase=MOVE, path=f"{path}/arrival", name=say("Arrival"),
                   words=say("came on {day}", day=moving.came_on) if moving.came_on
                   else "" if moving.here else say("not yet"))  # fmt: skip
    rest = ""
    if moving.resting:
        left = moving.round_left or 0
        rest = say("round {days} days late", days=-left) if left < 0 else say("at rest")
    yield PageLine(phase=MOVE, path=f"{path}/rest", name=say("Rest"), words=rest)


def _apart(along: Along) -> Iterator[PageLine]:
    apart, path = along.apart, f"{along.path}/strip"
    ticked = apart.ticks[1] - apart.ticks[0]
    yield PageLine(phase=APART, path=path, name=say("As found and apart"),
                   words=say("kept {count} of {all}", count=apart.kept, all=apart.places)
                   if apart.places else "", shape=_full(apart.kept, apart.places))  # fmt: skip
    yield PageLine(phase=APART, path=f"{path}/night", name=say("The first night"),
                   words=_of(ticked, apart.ticks[1]),
                   shape=_full(ticked, apart.ticks[1]))  # fmt: skip
    yield PageLine(phase=APART, path=f"{path}/apart", name=say("Labels and bags"),
                   words=f"{apart.undone}" if apart.undone else "")  # fmt: skip
    yield PageLine(phase=APART, path=f"{path}/remaining", name=say("Not yet back"),
                   words=f"{apart.off}" if apart.undone else "")  # fmt: skip
    yield PageLine(phase=APART, path=f"{path}/cleaning", name=say("Cleaning"))
    yield PageLine(phase=APART, path=f"{path}/files", name=say("Files of the machine"))


def _work(along: Along) -> Iterator[PageLine]:
    seek, card, power, path = along.seek, along.card, along.power, along.path
    open_ = say("{count} open", count=seek.open) if seek.open else say("none told")
    told = say("{count} cleared", count=seek.told) if seek.told and not seek.open else open_
    yield PageLine(phase=SEEK, path=f"{path}/find", name=say("Fault-finding"), words=told,
                   shape="open" if seek.open else "good" if seek.told else "none")  # fmt: skip
    yield PageLine(phase=WORK, path=f"{path}/fix", name=say("What to do"))
    yield PageLine(phase=WORK, path=f"{path}/fix/cards", name=say("Job cards"),
                   words=say("done {count} of {all}", count=card.done, all=card.cards)
                   if card.cards else "", shape=_full(card.done, card.cards))  # fmt: skip
    yield PageLine(phase=WORK, path="/fix/waiting", name=say("Waiting for"),
                   words=f"{along.owing.waiting}" if along.owing.waiting else "")  # fmt: skip
    words = say("signed {count} of {all}", count=power.signed, all=power.stages)
    words = words if power.stages else ""
    if power.watch:
        words = say("a watch runs")
    yield PageLine(phase=POWER, path=f"{path}/wake", name=say("First power"), words=words,
                   shape=_full(power.signed, power.stages))  # fmt: skip


def _prove(along: Along) -> Iterator[PageLine]:
    proving, path = along.prove, along.path
    words, shape = _of(proving.judged, proving.tests), _full(proving.good, proving.tests)
    if proving.bad:
        words, shape = say("{count} proved bad", count=proving.bad), "bad"
    yield PageLine(phase=MEASURE, path=f"{path}/measure", name=say("Measure"), words=words,
                   shape=shape)  # fmt: skip
    yield PageLine(phase=MEASURE, path=f"{path}/prove/quiet", name=say("Sound, vibration, light"))


def _money(along: Along) -> Iterator[PageLine]:
    settle, path = along.settle, f"{along.path}/settle"
    yield PageLine(phase=MONEY, path=f"{path}/cost", name=say("What it cost"))
    yield PageLine(phase=MONEY, path=f"{path}/sell", name=say("Sell it"),
                   words=say("sold") if settle.sold else say("listed") if settle.listed
                   else "")  # fmt: skip
    yield PageLine(phase=MONEY, path=f"{path}/record", name=say("Condition record"),
                   words=say("{count} given away", count=settle.records) if settle.records
                   else "")  # fmt: skip
    if settle.sold:
        yield PageLine(phase=MONEY, path=f"{path}/after", name=say("After the sale"))
    yield PageLine(phase=MONEY, path=f"{path}/close", name=say("Close it"),
                   words=say("closed") if settle.closed else "")  # fmt: skip


def _of(count: int, all: int) -> str:
    return say("{count} of {all}", count=count, all=all) if all else ""


def _full(count: int, all: int) -> Shape:
    if not all or not count:
        return "none"
    return "good" if count >= all else "open"
