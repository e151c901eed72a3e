"""A trouble as a complaint: which faults make it show, and how often it is told of nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from retrue.belief.looks import SEVERE_LEAK, SEVERE_LINK
from retrue.cases.case import Happened, Kept, LotCase
from retrue.kinds.library import Kind, Symptom
from retrue.records.seeking import Act, Trouble

OWN = 3  # grade from which an answer is one's own eyes or instrument
COMES_AND_GOES = 0.5  # chance that such a trouble shows at one try (judgement)
MOST_CAUGHT = 0.98  # no try is so sure that what is seen later could not say otherwise (judgement)
SEEN = ("seen", "slight", "severe")


@dataclass(frozen=True, slots=True)
class Complaint:
    """What a trouble says.

    Attributes
    ----------
    links : mapping of fault to float
        Chance that the fault is behind it, if it is there.
    leak : float
        Chance of the trouble with none of them there.
    caught : float
        Chance that trying again catches it while its cause is there.
    machine : str
        Of the trouble.
    instead : str
        Id of the finding that is the same sight and is not counted twice; empty if none.
    """

    links: Mapping[str, float]
    leak: float
    caught: float
    machine: str
    instead: str = ""


def complaint(case: LotCase, told: Happened, kind: Kind) -> Complaint | None:
    """Make a trouble a complaint.

    Parameters
    ----------
    case : LotCase
    told : Happened
        Its event is a Trouble.
    kind : Kind

    Returns
    -------
    Complaint or None
        None where the kind has no such symptom.

    Notes
    -----
    While only the symptom is known, its own links count. Once its own look was made with one's
    own eyes, before anything was done to the machine, the look's links count instead, and that
    answer is not counted a second time. What comes and goes is tried several times over before
    it counts as gone.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> growls = Happened(id="1", event=Trouble(lot="a", machine="A", symptom="Y01"), place=0)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,),
    ...                happened=(growls,))
    >>> complaint(case, growls, load()[mill.kind]).links["F01"]
    0.6
    """
    event = told.event
    symptom = kind.symptoms.get(event.symptom) if isinstance(event, Trouble) else None
    if symptom is None or not isinstance(event, Trouble):
        return None
    shows = min(symptom.shows, COMES_AND_GOES) if event.comes_and_goes else symptom.shows
    seen = _same_sight(case, event, symptom)
    if seen is None:
        return Complaint(symptom.links, symptom.leak, caught(shows), event.machine)
    check = kind.checks[symptom.check]
    bad = seen.finding.answer == "severe" and check.answers == "degree"
    link, leak = (SEVERE_LINK, SEVERE_LEAK) if bad else (1.0, 1.0)
    links = {fault: share * link for fault, share in check.links.items()}
    return Complaint(links, check.leak * leak, caught(shows), event.machine, seen.id)


def caught(shows: float) -> float:
    """Chance that trying again catches what shows at one try with a chance.

    Parameters
    ----------
    shows : float

    Returns
    -------
    float
        What always shows is caught nearly always; else it is tried so often that it would show
        once on average.

    Examples
    --------
    >>> caught(1.0), caught(0.5)
    (0.98, 0.75)
    """
    if not 0.0 < shows < 1.0:
        return MOST_CAUGHT
    return min(MOST_CAUGHT, 1.0 - (1.0 - shows) ** math.ceil(1.0 / shows))


def _same_sight(case: LotCase, event: Trouble, symptom: Symptom) -> Kept | None:
    """The symptom's own look, seen with one's own eyes before anything was done."""
    acts = [
        one.place
        for one in case.happened
        if isinstance(one.event, Act) and one.event.machine == event.machine
    ]
    end = min(acts, default=len(case.findings))
    for kept in reversed(case.findings[:end]):
        finding = kept.finding
        if finding.check != symptom.check or finding.machine != event.machine:
            continue
        if finding.grade >= OWN and finding.answer in SEEN:
            return kept
        return None
    return None
