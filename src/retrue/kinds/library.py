"""What a kind of machine is made of, as frozen values. Every number carries its mark."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from retrue.kinds import fixing, guarding, waking
from retrue.kinds.judged import Estimate as Estimate
from retrue.kinds.judged import Three as Three
from retrue.kinds.stripping import AsFoundEntry, Muck, Tick

Urgency = Literal["STOP", "MUST", "SHOULD", "MAY"]
Scope = Literal["machine", "lot", "shop"]
Way = Literal[
    "clean", "adjust", "repair", "replace", "second_hand", "outside", "local", "live_with"
]
Stage = Literal["photo", "call", "visit_dead", "visit_live", "apart", "power_up", "running"]
LEVELS = ("just_running", "right", "like_new")


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """A past life: a hidden condition that shifts many faults at once."""

    id: str
    name: str
    prior: float  # share among 20 to 30 year old machines offered for sale
    scope: Scope
    question: str  # what to ask the owner, who often simply knows
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What may be wrong."""

    id: str
    subsystem: str
    scope: Scope
    urgency: Urgency
    name: str
    prior: float  # marginal share, histories averaged in
    raisers: Mapping[str, float]  # odds times, per history
    place: str
    consequence: str
    resale_drop_share: float
    accuracy_note: str
    paid: Literal["each", "unit", "once"]
    mark: str
    optional: bool = False  # of a part that such a machine may not have: it can be "not fitted"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """A way to put one fault right."""

    fault: str
    way: Way
    money: Three
    hours: Three
    lead_days: float
    cures: float
    opens: str | None
    also_cures: Mapping[str, float]
    good_for: str  # highest level the result satisfies; "" for live_with
    paid_if_it_fails: float
    note: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A base job or cleaning pass: paid once, cures some faults, shows others."""

    id: str
    sort: str  # record, clean, check, start, level, measure, finish
    places: tuple[str, ...]
    name: str
    hours: Three
    money: Three
    # always, dirty, conductive, abrasive, dried_coolant, rust, level:right, level:like_new
    when: str
    cures: Mapping[str, float]
    reveals: tuple[str, ...]
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Somewhere that must be opened and closed again."""

    id: str
    name: str
    opened_by: str
    open_hours: Three
    close_hours: Three
    needs: str
    behind: str | None
    stuck_chance: float
    stuck_raisers: Mapping[str, float]
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """How far a restoration goes."""

    id: str
    stop: str
    must: str
    should: str
    may: str
    live_min_p: float
    live_max_drop: float
    jobs: tuple[str, ...]  # job "when" words that apply: always, level:right
    resale_state: str
    resale_share: Mapping[int, float]  # age in years -> share of the new price
    resale_log_sd: float
    says: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """Money that is not a repair: purchase, move, place, storage, sale."""

    id: str
    group: str
    item: str
    unit: str
    amount: Three
    hours: Three
    when: str
    cures: Mapping[str, float]
    note: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A look, a question or a test, and how each fault shows in it."""

    id: str
    stages: tuple[Stage, ...]
    text: str
    minutes: float
    tools: tuple[str, ...]
    tool_hire: float
    hazard: str
    caution: str
    who: Literal["anyone", "competent", "electrician"]
    answers: Literal["yes_no", "degree", "measure"]
    measures: tuple[str, ...]
    leak: float
    links: Mapping[str, float]  # fault -> chance that it shows, leak outside
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One fault's part in a measure: lognormal."""

    median: float
    log_sd: float
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A number read from an instrument; observed is the worst part present."""

    id: str
    name: str
    unit: str
    bad_side: Literal["high", "low"]
    healthy: Part
    parts: Mapping[str, Part]  # fault -> part
    instrument: str
    uncertainty: float
    uncertainty_kind: Literal["abs", "rel"]
    check: str
    check_limit: float
    limits: Mapping[str, tuple[str, float]]  # accept, rework, STOP -> (op, value)
    limit_marks: Mapping[str, str]
    note: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chip:
    """A ready answer below a picture: its words, and what one tap says."""

    words: str
    target: Literal["check", "history", "need"]
    id: str
    answer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """A picture worth asking for (S), or a view that any picture may be (W)."""

    id: str
    view: bool  # True: a generic view, not one to ask for
    shows: str
    ask: Mapping[str, str]  # language -> text for the seller
    checks: tuple[str, ...]
    chips: tuple[Chip, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One ready answer of the telephone call: what it says of checks and past lives."""

    words: str
    says: tuple[Chip, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A question for the telephone."""

    id: str
    ask: Mapping[str, str]
    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateEntry:
    """A value stamped on the machine."""

    id: str
    where: str
    label: str
    unit: str
    used_by: tuple[str, ...]
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StopCover:
    """For a STOP fault: where it hurts, and the check that clears it before."""

    fault: str
    danger_at: str
    check: str
    done_at: str
    danger: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One fault that brings about others if it is left, or only looks like them."""

    fault: str
    sort: Literal["feeds", "imitates"]
    leads_to: tuple[str, ...]
    why: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """Words that stand before a number."""

    id: str
    situation: str
    text: str
    defers_to: str
    shown_before: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """What one quantity of a test may be at most on a restored machine, and where to look it up."""

    id: str
    test: str  # level, sweep, taper ...
    key: str  # the quantity of that test's result: sweep_300_um
    name: str
    value: float
    unit: str  # that of the quantity
    standard: str
    edition: str
    mark: str
    note: str = ""
    kinds: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Symptom:
    """What a machine does, in its owner's words."""

    id: str  # Y01
    words: str
    check: str  # its own look: the one it is nearest to
    answer: Literal["seen", "slight", "severe"]  # what that look would say
    also: Mapping[str, str]  # other looks it says something of: check -> answer
    recipe: str  # the step that separates, in words
    switch_off_first: bool
    links: Mapping[str, float]  # fault -> chance to complain of it, if the fault is there
    leak: float  # chance to complain of it with none of them there
    shows: float  # chance that it shows at one try while its cause is there
    minutes: float  # to try again whether it still does it
    group: str  # id of the group it belongs to
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """A group of the machine that is proved together: spindle, axes, control ..."""

    id: str
    name: str
    subsystems: tuple[str, ...]  # of its faults
    proof: str  # in words: what shows that it is right
    checks: tuple[str, ...]  # the looks and readings of that proof
    minutes: float  # of the whole proof
    stage: Stage  # where it can be done
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Swappable:
    """A part that can change places with one of the same type: what goes along, what stays."""

    id: str  # axis_drive
    name: str
    goes_along: tuple[str, ...]  # faults that travel with the part
    stays: tuple[str, ...]  # faults of the slot: motor, cable, feedback
    follows: str  # the look "the fault follows the part"; empty: there is none
    keeps: str  # the look "the fault stays where it was"; empty: there is none
    first: tuple[str, ...]  # looks that must have passed before: motor and cable
    minutes: float
    place: str  # to be open
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Severe:
    """A fault that is cleared by a look whatever its odds."""

    fault: str
    check: str  # what clears it
    why: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of machine, complete and checked."""

    id: str  # vertical_machining_centre, turning_centre, milling_machine, surface_grinder
    letter: str  # V, L, K, G: the short code of the tables
    name: str
    histories: Mapping[str, History]
    faults: Mapping[str, Fault]
    fixes: Mapping[str, tuple[Fix, ...]]  # by fault
    jobs: Mapping[str, Job]
    places: Mapping[str, Place]
    levels: Mapping[str, Level]
    costs: Mapping[str, Cost]
    checks: Mapping[str, Check]
    measures: Mapping[str, Measure]
    shots: Mapping[str, Shot]
    questions: Mapping[str, Question]
    plate: Mapping[str, PlateEntry]
    stop_cover: Mapping[str, StopCover]
    cautions: Mapping[str, Caution]
    version: str
    hash: str  # of the merged content
    base_log_odds: Mapping[str, float] = field(default_factory=dict)  # solved, per fault
    as_found_share: Mapping[int, float] = field(default_factory=dict)  # age -> share, not running
    marks: Mapping[str, str] = field(default_factory=dict)  # "cost.E10.amount" -> its own mark
    causes: tuple[Cause, ...] = ()  # what is cleared first
    limits: Mapping[str, Limit] = field(default_factory=dict)  # of the tests of measuring
    symptoms: Mapping[str, Symptom] = field(default_factory=dict)
    groups: Mapping[str, Group] = field(default_factory=dict)
    swappable: Mapping[str, Swappable] = field(default_factory=dict)
    severe: Mapping[str, Severe] = field(default_factory=dict)  # by fault
    estimates: Mapping[str, Estimate] = field(default_factory=dict)
    as_found: Mapping[str, AsFoundEntry] = field(default_factory=dict)
    ticks: Mapping[str, Tick] = field(default_factory=dict)
    mucks: Mapping[str, Muck] = field(default_factory=dict)
    mass_kg: float = 4000.0  # of a usual one: the move costs of this kind are for that mass
    stages: Mapping[str, waking.Stage] = field(default_factory=dict)  # of first power
    stage_readings: Mapping[str, waking.Bands] = field(default_factory=dict)  # by stage
    run_in: tuple[waking.RunInStep, ...] = ()
    card_rules: tuple[fixing.CardRule, ...] = ()
    renewals: Mapping[str, fixing.Renewal] = field(default_factory=dict)
    upgrades: Mapping[str, fixing.Upgrade] = field(default_factory=dict)
    way_effects: Mapping[str, fixing.WayEffect] = field(default_factory=dict)
    guards: Mapping[str, guarding.Guard] = field(default_factory=dict)  # with interlocks
