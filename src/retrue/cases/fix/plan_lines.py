"""The plan as people read it: dates as ranges, what makes them late, days to hire."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.cases.fix.choice_lines import StopLoss
from retrue.cases.fix.lines import Card, Refused


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRow:
    """One card in the plan."""

    card: Card  # without its steps: those stand with the card itself
    people: tuple[str, ...]
    begins: str  # by the clock on the wall, if all goes as expected; offset only of a known zone
    ends: str
    late_begins: str  # nine in ten of the ways in which it is there have begun by then
    late_ends: str  # empty: they never end
    slack_days: float  # it may wait so long without moving the date, as expected
    pieces: tuple[tuple[str, str], ...] = ()  # when it is worked at, if other work lies between


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderNow:
    """What ordering a part today is worth, before anybody knows that it is needed."""

    line: str
    what: str
    machine_name: str
    chance: float  # that it is needed
    days_earlier: float  # of the even date
    worth: float  # days earlier by what a day is worth, less what is lost if it is not needed
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineDates:
    """When one machine makes its first good part.

    Attributes
    ----------
    early_on, even_on, promise_on, expected_on : str or None
        One in ten, half, nine in ten of the ways it could go are done by that day; all as
        expected. None where so many never are, because something they need cannot be planned.
    late_by : tuple of (words, share)
        What the date hangs on, largest first.
    of_time : bool
        Those shares are of the machine's time until then, not of the ways it could go.
    why : str
        Why there is no date.
    """

    machine: str
    machine_name: str
    early_on: str | None
    even_on: str | None
    promise_on: str | None
    expected_on: str | None
    late_by: tuple[tuple[str, float], ...]
    order_now: tuple[OrderNow, ...]
    stop_loss: StopLoss | None
    hours_left: float
    day_worth: float
    of_time: bool = False
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HireDay:
    """One day on which something is hired: all that needs it, together."""

    name: str  # hoist
    on: str
    cards: tuple[str, ...]  # keys
    titles: tuple[str, ...]
    costs: float | None
    saved: float | None  # against hiring it for each
    assumed: bool = False  # nobody said what a day costs: as is usual
    chance: float = 1.0  # that anything of it is needed


@dataclass(frozen=True, slots=True, kw_only=True)
class Broke:
    """By how much a promise broke against the plan kept before."""

    machine_name: str
    was_on: str
    now_on: str | None  # None: there is no date any more
    days: float | None
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanView:
    """Everything of one plan."""

    at: str
    lots: tuple[str, ...]
    machines: tuple[MachineDates, ...]
    rows: tuple[PlanRow, ...]
    hire: tuple[HireDay, ...]
    refused: tuple[Refused, ...]
    hands: tuple[str, ...]
    proved: bool
    by_rule: bool
    gap: float
    seed: int
    worlds: int
    currency: str
    broke: tuple[Broke, ...] = ()
    kept: bool = False  # as it was kept, not made anew
    stale: bool = False  # something was kept since that would change it
    fine: tuple[str, ...] = ()  # the fine print, sentences
    why: str = ""  # planned again because
    inputs: str = ""  # hash of what it was made of
    priority: tuple[str, ...] = ()  # keys of tasks, where whoever is there takes the next
    made_of: tuple[tuple[str, str], ...] = ()  # hash of hands, gear, what was chosen, by name
