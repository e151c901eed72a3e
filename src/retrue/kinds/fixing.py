"""What a kind knows of the work itself: how cards are done, what ages, what can be added."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from retrue.kinds.judged import Three

CardWho = Literal["", "anyone", "competent", "electrician"]
CardAfter = Literal["", "start", "level"]
UpgradeSort = Literal["quiet", "light", "display", "sealing", "finish", "other"]
Adds = Literal["damping_factor", "panel_share_db", "light_lm", "resale_share"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardRule:
    """How cards of a place, a job, a fault, a way or a subsystem are done.

    What is empty or None says nothing; rules add up, from place and job to fault.

    Attributes
    ----------
    of : str
        place:axis_x, job:J05, fault:F15, way:local, subsystem:spindle.
    hoist, unbroken, alone : bool or None
    people : int or None
        Hands at once.
    least_hours : float
        Not begun where less of an evening is left.
    dries_days : float
        Before anything that follows.
    who : str
        anyone, competent, electrician.
    after : str
        Of a fault: level where its work means nothing before the machine is level; start where
        nobody can see it before the machine runs.
    before, work, clean, measure, close : tuple of str
        Lines of the card: what is read before it comes apart, the work, its cleaning, what is
        measured after, how it is closed.
    cautions : tuple of str
        Ids of the kind's cautions.
    tools : tuple of str
    """

    of: str
    hoist: bool | None = None
    unbroken: bool | None = None
    alone: bool | None = None
    people: int | None = None
    least_hours: float = 0.0
    dries_days: float = 0.0
    who: CardWho = ""
    after: CardAfter = ""
    before: tuple[str, ...] = ()
    work: tuple[str, ...] = ()
    clean: tuple[str, ...] = ()
    measure: tuple[str, ...] = ()
    close: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Renewal:
    """A part that ages and can be renewed while its place is open.

    Attributes
    ----------
    faults : tuple of str
        Faults of the kind that its failing would be.
    shape, life_years : float
        Weibull: shape and characteristic life in years of use by one shift.
    raisers : mapping of past life to float
        The characteristic life is divided by it.
    failing_money : Three
        What its failing breaks beside, in EUR.
    """

    id: str
    name: str
    place: str
    faults: tuple[str, ...]
    money: Three
    hours: Three
    shape: float
    life_years: float
    raisers: Mapping[str, float] = field(default_factory=dict)
    failing_money: Three | None = None
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgrade:
    """Something that makes a machine better than it was: chosen, never slipped in.

    Attributes
    ----------
    adds : mapping of str to float
        damping_factor (loss factor of panels times), panel_share_db (level of the panels below
        the whole), light_lm (luminous flux), resale_share (of the resale, expected).
    comfort : str
        In words.
    cures : mapping of fault to float
        Chance that it takes a fault along.
    """

    id: str
    name: str
    sort: UpgradeSort
    place: str
    money: Three
    hours: Three
    dries_days: float = 0.0
    adds: Mapping[str, float] = field(default_factory=dict)
    comfort: str = ""
    cures: Mapping[str, float] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WayEffect:
    """What a way of putting right does beside curing.

    Attributes
    ----------
    of : str
        A way: local; or a fault and its way: F15:local.
    again : float
        Chance that the same fails again within ``again_years``.
    accuracy, noise : str
        In words.
    """

    of: str
    again: float
    again_years: float
    accuracy: str = ""
    noise: str = ""
    mark: str = ""
