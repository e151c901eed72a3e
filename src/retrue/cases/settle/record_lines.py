"""What a condition record holds: what was seen or measured, what was only reported, what is open.

The gate: nothing below grade 3 can be made into something stated, by whichever way it comes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from retrue.base.say import later, say
from retrue.records.settling import SoldAs

SCHEMA = "condition_record.1"
FACT = 3  # grade from which one saw it oneself
HIGHEST = 5
MEASURED = 4  # what is measured with no instrument that was checked
WRITTEN = later("as it was written down")
Ruling = Literal["proved_good", "not_proved", "proved_bad", ""]
OpenSort = Literal["stop", "guard", "power"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """Something somebody says of a machine, before it is known how it may be told.

    Attributes
    ----------
    what : str
        In words.
    grade : int
        0 told, 1 photograph, 2 film, 3 saw it, 4 measured, 5 with a checked instrument: one
        that is named, and was in date.
    by : str
        Who saw or measured it, or who said it.
    on : str
        ISO date; empty: nobody knows.
    instrument : str
    source : str
        Of what is only reported: by what, where it is none of the grade's own words.
    deed : str
        Of what was done: written down, or signed with a licence; empty: it was seen.
    """

    what: str
    grade: int
    by: str = ""
    on: str = ""
    instrument: str = ""
    source: str = ""
    deed: Literal["", "done", "signed"] = ""
    licence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """Something that stands as a fact: it was seen or measured, by whom and when.

    Raises
    ------
    ValueError
        The grade is below 3: that can only be reported.

    Examples
    --------
    >>> Stated(what="oil on the floor", grade=1, how="", on="2026-11-25")
    Traceback (most recent call last):
    ValueError: grade 1 is no fact
    """

    what: str
    how: str
    grade: int
    on: str

    def __post_init__(self) -> None:
        """Refuse what is only reported."""
        if not FACT <= self.grade <= HIGHEST:
            raise ValueError(f"grade {self.grade} is no fact")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reported:
    """Something that was told, seen on a photograph, or does not stand: never a fact."""

    what: str
    how: str
    on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a record: what stands, and apart from it what is only reported."""

    stated: tuple[Stated, ...] = ()
    reported: tuple[Reported, ...] = ()


def told(claim: Claim) -> Stated | Reported:
    """A claim as it may be told: the only way by which anything becomes a fact.

    Parameters
    ----------
    claim : Claim

    Returns
    -------
    Stated or Reported
        Stated from grade 3 on, with "seen by" or "measured by"; else reported. Grade 5 without
        the instrument that was checked is measured, and no more.

    Examples
    --------
    >>> told(Claim(what="door switch bridged", grade=1, by="seller", on="2026-11-25")).how
    'seen on a photograph, 2026-11-25'
    >>> told(Claim(what="door switch whole", grade=3, by="An", on="2026-11-26")).how
    'Seen by An on 2026-11-26'
    """
    if claim.grade >= FACT:
        claim = _as_checked(claim)
        return Stated(what=claim.what, how=_seen(claim), grade=claim.grade, on=claim.on)
    return Reported(what=claim.what, how=_heard(claim), on=claim.on)


def _as_checked(claim: Claim) -> Claim:
    """Nothing is measured with a checked instrument that nobody names."""
    bare = claim.grade >= HIGHEST and not claim.instrument
    return replace(claim, grade=MEASURED) if bare else claim


def reported(claim: Claim) -> Reported:
    """A claim that does not stand, or that nobody looked at, whatever its grade.

    Parameters
    ----------
    claim : Claim

    Returns
    -------
    Reported

    Examples
    --------
    >>> reported(Claim(what="quiet", grade=3, by="An", on="2026-11-26")).how
    'seen by An on 2026-11-26, and does not stand'
    """
    if claim.grade < FACT or claim.source:
        return Reported(what=claim.what, how=_heard(claim), on=claim.on)
    how = _seen(_as_checked(claim))
    how = say("{how}, and does not stand", how=how[:1].lower() + how[1:])
    return Reported(what=claim.what, how=how, on=claim.on)


def part(claims: Iterable[Claim], besides: Iterable[Claim] = ()) -> Part:
    """One part of a record, facts and reports sorted by the gate.

    Parameters
    ----------
    claims : iterable of Claim
    besides : iterable of Claim
        That do not stand, whatever their grade.

    Returns
    -------
    Part
    """
    every = [told(one) for one in claims]
    rest = [reported(one) for one in besides]
    return Part(
        stated=tuple(one for one in every if isinstance(one, Stated)),
        reported=(*(one for one in every if isinstance(one, Reported)), *rest),
    )


def _seen(claim: Claim) -> str:
    by = claim.by or say("the owner")
    if claim.deed == "done":
        return say("Written down by {by} on {day}", by=by, day=claim.on)
    if claim.deed == "signed":
        by = say("{by}, licence {licence},", by=by, licence=claim.licence) if claim.licence else by
        return say("Signed by {by} on {day}", by=by, day=claim.on)
    if claim.grade == FACT:
        return say("Seen by {by} on {day}", by=by, day=claim.on)
    if claim.grade == HIGHEST:
        return say("Measured with {instrument}, checked, by {by} on {day}",
                   instrument=claim.instrument, by=by, day=claim.on)  # fmt: skip
    if claim.instrument:
        return say("Measured with {instrument} by {by} on {day}", instrument=claim.instrument,
                   by=by, day=claim.on)  # fmt: skip
    return say("Measured by {by} on {day}", by=by, day=claim.on)


def _heard(claim: Claim) -> str:
    words = claim.source or {
        1: say("seen on a photograph"),
        2: say("seen on a film"),
    }.get(claim.grade, say("reported by {by}", by=claim.by or say("somebody")))
    return ", ".join(str(one) for one in (words, claim.on) if one)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proved:
    """One result: what was read, against what, and what it proves on that day.

    Attributes
    ----------
    title : str
        Test and place.
    value, uncertainty, limit : float or None
        In ``unit``; the uncertainty is expanded, k = 2.
    source : str
        Of the limit: standard, edition, and its mark.
    ruling : str
    words : str
        The ruling and its reason, word by word.
    apart : str
        Why it proves nothing: provisional, changed since, or measured before later work.
    aged : bool
        It was measured before later work on the machine.
    certificate : str
        Of the instrument: its number, from when, good until when; empty: none is kept.
    """

    title: str
    value: float | None
    unit: str
    uncertainty: float | None
    limit: float | None
    source: str
    ruling: Ruling
    words: str
    apart: str
    on: str
    by: str
    instrument: str
    certificate: str
    grade: int
    aged: bool = False

    def __post_init__(self) -> None:
        """A result is measured, or it is none."""
        if not FACT < self.grade <= HIGHEST:
            raise ValueError(f"grade {self.grade} is no measurement")


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """A setting of the control that was changed."""

    name: str
    old: str
    new: str
    why: str
    put_back: bool | None
    by: str
    on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GuardLine:
    """How one guard or interlock stands; ``open`` where it is not proved at grade 3 or better."""

    id: str
    name: str
    state: str  # proved, defeated, missing, not_tested, not_fitted
    words: str
    proves: str = ""  # in words: what proves it
    grade: int = 0
    open: bool = True
    optional: bool = False  # a machine may have none: it is then "not fitted"
    on: str = ""
    cautions: tuple[str, ...] = ()  # ids

    def __post_init__(self) -> None:
        """What is closed was seen, or measured: never told, never a photograph."""
        if not self.open and not FACT <= self.grade <= HIGHEST:
            raise ValueError(f"grade {self.grade} closes no guard")


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenItem:
    """Something that keeps a record closed, and what would clear it."""

    id: str
    sort: OpenSort
    what: str
    clears: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Untested:
    """What nobody has tested, of one place."""

    place: str
    looks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pictured:
    """A photograph: what it shows is what it shows; its caption claims nothing."""

    id: str
    sha256: str  # of the original, which stays with its owner
    caption: str
    place: str
    on: str
    by: str
    copy_sha256: str = ""  # of the small copy without metadata that goes with the record


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionRecord:
    """The condition of one machine as far as it was seen and measured, on the dates given.

    Attributes
    ----------
    stands_for : str
        What the record says of itself: no promise of fitness.
    sold_words : str
        As what it is sold, in a sentence.
    title, as_found, looked, done, stages, quiet, parts, known, data, included, moved : Part
    proved : tuple of Proved
        Also what is provisional: its ``apart`` says so.
    settings : tuple of Changed
    guards : tuple of GuardLine
    open : tuple of OpenItem
        Of a machine sold as parts: what nobody cleared. Empty on every other record.
    live_with : tuple of str
        Faults that its owner lives with, agreed.
    untested : tuple of Untested
        By place.
    again : tuple of Untested
        Looked at before the work on it, and not since.
    """

    schema: str = SCHEMA
    machine: str
    kind: str
    made_on: str
    made_by: str
    sold_as: SoldAs
    sold_words: str
    stands_for: str
    cautions: tuple[str, ...]
    title: Part
    as_found: Part
    looked: Part
    done: Part
    proved: tuple[Proved, ...]
    stages: Part
    quiet: Part
    settings: tuple[Changed, ...]
    parts: Part
    known: Part
    live_with: tuple[str, ...]
    guards: tuple[GuardLine, ...]
    open: tuple[OpenItem, ...]
    untested: tuple[Untested, ...]
    again: tuple[Untested, ...]
    data: Part
    included: Part
    moved: Part
    pictures: tuple[Pictured, ...]
    edition: str = ""
