"""The order in which a visitor walks round a machine, look by look."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from retrue.base.refusals import Problem, Unknown
from retrue.base.say import say
from retrue.kinds.library import Check, Kind

# Round the outside first, then what is opened, from the clean to the oily. Common practice,
# no source: hands stay clean for the cabinet, and what costs no time is looked at first.
ROUND = (
    "outside",
    "foundation",
    "supply",
    "air_unit",
    "enclosure",
    "lighting",
    "panel",
    "cabinet",
    "spindle_head",
    "headstock",
    "spindle_motor",
    "chuck",
    "table",
    "axis_x",
    "axis_y",
    "axis_z",
    "axis_motors",
    "cable_chain",
    "counterbalance",
    "changer",
    "turret",
    "tailstock",
    "hydraulics",
    "lube_unit",
    "tank",
)
_WHO = ("anyone", "competent", "electrician")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A number to be read: its measure, what it is called, its unit."""

    measure: str
    name: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One look of a walk round a machine."""

    check: str
    place: str
    place_name: str
    text: str
    minutes: float
    tools: tuple[str, ...]
    who: Literal["anyone", "competent", "electrician"]
    hazard: str  # "" where there is none
    cautions: tuple[str, ...]  # words that stand before the look
    answers: Literal["yes_no", "degree", "measure"]
    readings: tuple[Reading, ...]


def walking_order(kind: Kind, checks: Iterable[str]) -> tuple[Look, ...]:
    """Put looks into the order of a walk round the machine.

    A check has no place of its own: it is looked for where the faults that show in it sit,
    by the sum of their links.

    Parameters
    ----------
    kind : Kind
        The kind of machine.
    checks : iterable of str
        Ids of its checks, in any order; a second mention is ignored.

    Returns
    -------
    tuple of Look
        By place in the order of ``ROUND`` (places it does not name come last, in the order of
        the kind); at one place first what anyone may look at, then by minutes and id.

    Raises
    ------
    Unknown
        The kind lacks a check; every missing one is named.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> kind = load(only=("turning_centre",))["turning_centre"]
    >>> [look.place for look in walking_order(kind, ["C134", "C28", "C131"])]
    ['foundation', 'cabinet', 'chuck']
    """
    wanted = tuple(dict.fromkeys(checks))
    missing = [
        Problem(check, say("a {kind} has no such look", kind=kind.name))
        for check in wanted
        if check not in kind.checks
    ]
    if missing:
        raise Unknown(
            say("some looks do not belong to this type of machine"),
            remedy=say("Take ids from the list of its looks."),
            problems=tuple(missing),
        )
    looks = [_look(kind, kind.checks[check]) for check in wanted]
    rank = _round(kind)
    return tuple(
        sorted(
            looks,
            key=lambda look: (
                rank.get(look.place, 0),
                _WHO.index(look.who),
                look.minutes,
                look.check,
            ),
        )
    )


def place_of(kind: Kind, check: Check) -> str:
    """Where a check is looked for.

    Parameters
    ----------
    kind : Kind
        The kind of machine.
    check : Check
        One of its checks.

    Returns
    -------
    str
        The place whose faults show in it most; of equals the first on the round; the outside
        where no fault is linked to it.
    """
    shows: dict[str, float] = defaultdict(float)
    for fault, link in check.links.items():
        if fault in kind.faults:
            shows[kind.faults[fault].place] += link
    order = _round(kind)
    known = [place for place in shows if place in kind.places]
    return min(
        known,
        key=lambda place: (-round(shows[place], 9), order[place]),
        default=next(iter(kind.places), "outside"),
    )


def _round(kind: Kind) -> dict[str, int]:
    """The kind's places, each with its turn on the walk."""
    turns = (*ROUND, *(place for place in kind.places if place not in ROUND))
    return {place: turn for turn, place in enumerate(turns)}


def _look(kind: Kind, check: Check) -> Look:
    place = place_of(kind, check)
    named = kind.places.get(place)
    return Look(
        check=check.id,
        place=place,
        place_name=named.name if named else place,
        text=check.text,
        minutes=check.minutes,
        tools=check.tools,
        who=check.who,
        hazard="" if check.hazard in ("", "none") else check.hazard,
        cautions=_cautions(kind, check),
        answers=check.answers,
        readings=tuple(
            Reading(measure=key, name=kind.measures[key].name, unit=kind.measures[key].unit)
            for key in check.measures
            if key in kind.measures
        ),
    )


def _cautions(kind: Kind, check: Check) -> tuple[str, ...]:
    """Words of the cautions that a check names by id; words that are no id stand as they are."""
    names = check.caution.split()
    if names and all(name in kind.cautions for name in names):
        cautions = [kind.cautions[name] for name in names]
        return tuple(f"{one.text} ({one.defers_to})" for one in cautions)
    return (check.caution,) if check.caution else ()
