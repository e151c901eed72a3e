"""What fault-finding says: the next step and why, what else could be done, what is suspected."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Goal = Literal["clear", "just_running", "right", "like_new"]
GOALS: tuple[Goal, ...] = ("clear", "just_running", "right", "like_new")
StepSort = Literal[
    "observe",
    "measure",
    "clean",
    "adjust",
    "repair",
    "replace",
    "swap",
    "send_out",
    "call_for_help",
    "try_again",
    "sign",
]


@dataclass(frozen=True, slots=True)
class Separates:
    """What a step does to one suspect: from what to what, in words and as chances."""

    fault: str
    name: str
    now: float
    if_yes: float  # seen, or: the step did not help
    if_no: float  # not seen, or: the step helped
    words: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step that could be done now.

    ``expected_cost`` is from now to the end of the goal if this step is done first; ``cost`` is
    of this step alone: money, own hours, hire and days, in the shop's currency.
    """

    id: str  # C31, F15:local, J07, swap:axis_drive, again, group:spindle, sign:running, help
    sort: StepSort
    text: str
    why: str
    expected_cost: float
    cost: float
    money: float
    minutes: float
    hire: float
    days: float
    opens: tuple[str, ...]  # names of places to be opened for it
    separates: tuple[Separates, ...]
    cautions: tuple[str, ...]  # stand before it
    who: str  # anyone, competent, electrician
    tie: bool = False
    check: str | None = None  # where its answer is kept: a look of the kind
    fault: str | None = None
    way: str = ""
    place: str = ""  # first place that is opened


@dataclass(frozen=True, slots=True)
class Held:
    """A step that would be worth it but is not offered, and what would open it."""

    id: str
    text: str
    reason: str
    remedy: str
    opens_with: str = ""  # id of the step that opens it, if there is one: C31, sign:running


@dataclass(frozen=True, slots=True)
class Suspect:
    """What may be behind it, in words; shares are from 0 to 1."""

    fault: str
    name: str
    words: str
    share: float
    low: float
    high: float
    first: str = ""  # "first what killed it": what must be cleared before it


@dataclass(frozen=True, slots=True)
class HunchCost:
    """What following a hunch costs on average, against the best step."""

    fault: str
    name: str
    text: str
    expected_cost: float
    best_cost: float


@dataclass(frozen=True, slots=True)
class GroupStands:
    """A group that is proved as one, and whether it has passed at the level that is the goal."""

    id: str
    name: str
    right: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """Everything fault-finding says of one machine and one goal.

    Attributes
    ----------
    met : bool
        The goal is met: nothing is left to do for it.
    switch_off : str
        What must be done before anything else (a symptom that means: off). Empty if none.
    steps : tuple of Step
        Best first. Empty exactly if the goal is met, or all is held.
    bound, expected_cost, guess_cost : float
        With perfect information; by the first step; by buying the most likely part first.
    """

    machine: str
    goal: Goal
    trouble: str | None
    title: str  # the symptom in the owner's words, or the level
    headline: str  # the answer in one sentence
    met: bool
    switch_off: str
    steps: tuple[Step, ...]
    held: tuple[Held, ...]
    suspects: tuple[Suspect, ...]
    hunch: HunchCost | None
    expected_cost: float
    guess_cost: float
    plain_cost: float
    bound: float
    cautions: tuple[str, ...]
    set_aside: tuple[str, ...]
    not_used: tuple[str, ...]
    assumed: tuple[str, ...]
    currency: str
    seed: int
    worlds: int
    kind_hash: str
    version: str
    groups: tuple[GroupStands, ...] = ()  # of a level; none for a trouble
