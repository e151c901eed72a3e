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


def _page(
    phase: int, path: str, name: str, words: str = "", shape: Shape = "none", *, show: bool = True
) -> PageLine:
    return PageLine(phase=phase, path=path, name=name, words=words if show else "", shape=shape)


def _pay(along: Along) -> Iterator[PageLine]:
    bid, lot, path = along.bid, f"/lots/{along.lot}", along.path
    yield _page(PAY, lot, say("What to pay"), _price_words(along))
    yield _page(PAY, f"{path}/looks", say("Looks and tests"),
                say("{count} answered", count=bid.findings))  # fmt: skip
    yield _page(PAY, f"{path}/plate", say("What is stamped on it"),
                *_of(bid.stamped, bid.to_stamp))  # fmt: skip
    yield _page(PAY, f"{lot}/pictures", say("Photographs"), f"{bid.pictures}")


def _price_words(along: Along) -> str:
    """What came of the sale; before it the number that was frozen, else the one of today."""
    bid = along.bid
    outcome = {"won": say("won"), "lost": say("lost"), "walked": say("walked away")}
    if bid.outcome in outcome:
        return outcome[bid.outcome]
    number = bid.walk_away if bid.frozen is None else bid.frozen
    if number is not None and number <= 0:
        return say("do not bid")
    if bid.frozen is not None:
        return say("frozen at {sum}", sum=money(bid.frozen, along.currency))
    if bid.walk_away is not None:
        return say("not above {sum}", sum=money(bid.walk_away, along.currency))
    if bid.reckoned:
        return bid.why
    return say("it is yours") if bid.ours else say("not reckoned yet")


def _move(along: Along) -> Iterator[PageLine]:
    moving, path = along.move, along.path
    came = "" if moving.here else say("not yet")
    rest = ""
    if moving.resting:
        left = moving.round_left or 0
        rest = say("round {days} days late", days=-left) if left < 0 else say("at rest")
    yield _page(MOVE, f"{path}/move", say("Move and place"), *_of(moving.done, moving.steps))
    yield _page(MOVE, f"{path}/move/data", say("Data rescue"),
                say("{count} not saved", count=len(moving.unsaved)),
                show=bool(moving.unsaved))  # fmt: skip
    yield _page(MOVE, f"{path}/arrival", say("Arrival"),
                say("came on {day}", day=moving.came_on) if moving.came_on else came)  # fmt: skip
    yield _page(MOVE, f"{path}/rest", say("Rest"), rest)


def _apart(along: Along) -> Iterator[PageLine]:
    apart, path = along.apart, f"{along.path}/strip"
    yield _page(APART, path, say("As found and apart"),
                say("kept {count} of {all}", count=apart.kept, all=apart.places),
                _full(apart.kept, apart.places), show=bool(apart.places))  # fmt: skip
    yield _page(APART, f"{path}/night", say("The first night"),
                *_of(apart.ticks[1] - apart.ticks[0], apart.ticks[1]))  # fmt: skip
    yield _page(APART, f"{path}/apart", say("Labels and bags"), f"{apart.undone}",
                show=apart.undone > 0)  # fmt: skip
    yield _page(APART, f"{path}/remaining", say("Not yet back"), f"{apart.off}",
                show=apart.undone > 0)  # fmt: skip
    yield _page(APART, f"{path}/cleaning", say("Cleaning"))
    yield _page(APART, f"{path}/files", say("Files of the machine"))


def _work(along: Along) -> Iterator[PageLine]:
    seek, card, power, path = along.seek, along.card, along.power, along.path
    told = say("{count} open", count=seek.open) if seek.open else say("none told")
    if seek.told and not seek.open:
        told = say("{count} cleared", count=seek.told)
    signed = say("signed {count} of {all}", count=power.signed, all=power.stages)
    yield _page(SEEK, f"{path}/find", say("Fault-finding"), told,
                "open" if seek.open else "good" if seek.told else "none")  # fmt: skip
    yield _page(WORK, f"{path}/fix", say("What to do"))
    yield _page(WORK, f"{path}/fix/cards", say("Job cards"),
                say("done {count} of {all}", count=card.done, all=card.cards),
                _full(card.done, card.cards), show=card.cards > 0)  # fmt: skip
    yield _page(WORK, "/fix/waiting", say("Waiting for"), f"{along.owing.waiting}",
                show=along.owing.waiting > 0)  # fmt: skip
    yield _page(POWER, f"{path}/wake", say("First power"),
                say("a watch runs") if power.watch else signed,
                _full(power.signed, power.stages),
                show=bool(power.watch or power.stages))  # fmt: skip


def _prove(along: Along) -> Iterator[PageLine]:
    proving, path = along.prove, along.path
    words, shape = _of(proving.judged, proving.tests)[0], _full(proving.good, proving.tests)
    if proving.bad:
        words, shape = say("{count} proved bad", count=proving.bad), "bad"
    yield _page(MEASURE, f"{path}/measure", say("Measure"), words, shape)
    yield _page(MEASURE, f"{path}/prove/quiet", say("Sound, vibration, light"))


def _money(along: Along) -> Iterator[PageLine]:
    settle, path = along.settle, f"{along.path}/settle"
    yield _page(MONEY, f"{path}/cost", say("What it cost"))
    yield _page(MONEY, f"{path}/sell", say("Sell it"),
                say("sold") if settle.sold else say("listed"),
                show=bool(settle.sold or settle.listed))  # fmt: skip
    yield _page(MONEY, f"{path}/record", say("Condition record"),
                say("{count} given away", count=settle.records),
                show=settle.records > 0)  # fmt: skip
    if settle.sold:
        yield _page(MONEY, f"{path}/after", say("After the sale"))
    yield _page(MONEY, f"{path}/close", say("Close it"), say("closed"), show=settle.closed)


def _of(count: int, all: int) -> tuple[str, Shape]:
    """So many of all, in words and as a shape."""
    return (say("{count} of {all}", count=count, all=all) if all else ""), _full(count, all)


def _full(count: int, all: int) -> Shape:
    if not all or not count:
        return "none"
    return "good" if count >= all else "open"
