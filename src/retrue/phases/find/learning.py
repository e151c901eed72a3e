"""Guessed, was, next time: what the shop's own teardowns say of the tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from retrue.base.say import say
from retrue.belief.scores import Bin, brier, log_score, reliability, tempered, trust
from retrue.cases.learned_kinds import OTHERS, fault_outcomes, others_cases, ranges_taught
from retrue.kinds.learned import Family, Outcome, families, learned_shares, with_learned
from retrue.kinds.library import Kind
from retrue.records.facts import Finding, Lot, Machine
from retrue.records.seeking import Guess
from retrue.records.shop import Record, RecordShop

PROVED = 30  # truths from which the shop's own cases are said to prove or disprove
BETTER = 0.6  # trust from which the looks are said to tell better than the usual shares


@dataclass(frozen=True, slots=True)
class LearnedRow:
    """One truth: what was guessed before it was opened, what was there, what is said next time.

    Attributes
    ----------
    guessed, base_rate : float
        With all findings of that day, and without any.
    next_time : float
        Share of a machine of which nothing is known, moved by all outcomes so far.
    """

    id: str
    when: datetime
    lot: str
    machine: str
    kind: str
    fault: str
    name: str
    family: str
    guessed: float
    base_rate: float
    was: bool
    next_time: float


@dataclass(frozen=True, slots=True)
class Scores:
    """How good the guesses were; None while there is no truth yet.

    Attributes
    ----------
    brier, log : float or None
        Of what was guessed: less is better.
    base_brier : float or None
        Of the bare base rates.
    tempered_brier : float or None
        Of the guesses drawn to the base rates as far as they are not to be trusted.
    bins : tuple of Bin
    """

    count: int
    brier: float | None
    log: float | None
    base_brier: float | None
    tempered_brier: float | None
    bins: tuple[Bin, ...]


@dataclass(frozen=True, slots=True)
class Learned:
    """All that the shop's own teardowns taught; ``trust`` is the weight of findings, 0 to 1."""

    rows: tuple[LearnedRow, ...]  # oldest first
    families: tuple[Family, ...]
    scores: Scores
    trust: float
    trust_text: str


def learned(shop: RecordShop, kinds: Mapping[str, Kind]) -> Learned:
    """What was guessed, what was, what is said next time; counts per family and scores.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    kinds : mapping of str to Kind
        The library before anything was learned.

    Returns
    -------
    Learned
        Empty tables where nothing was opened yet.
    """
    truths = _truths(shop)
    outcomes = [outcome for _, outcome in truths]
    shares = learned_shares(kinds, outcomes)
    rows = tuple(_row(shop, guess, outcome, kinds, shares) for guess, outcome in truths)
    weight = _weight(outcomes)
    return Learned(
        rows=rows,
        families=families(kinds, outcomes),
        scores=_scores(outcomes, weight),
        trust=weight,
        trust_text=_trust_text(len(outcomes), weight),
    )


def kinds_learned(shop: RecordShop, kinds: Mapping[str, Kind]) -> Mapping[str, Kind]:
    """The library as this shop has come to know it: learned shares over the shipped ones.

    Parameters
    ----------
    shop : RecordShop
        Where outcomes are kept.
    kinds : mapping of str to Kind
        The library, the owner's own numbers laid over it; these stay.

    Returns
    -------
    mapping of str to Kind
        The same kinds where nothing was opened or closed yet, here or elsewhere.
    """
    outcomes = [outcome for _, outcome in _truths(shop)]
    outcomes += fault_outcomes(others_cases(shop), OTHERS)
    ranged = ranges_taught(shop, kinds)
    return with_learned(ranged, outcomes) if outcomes else ranged


def how_far_trusted(shop: RecordShop) -> str:
    """In one sentence, how far the shop's own cases have proved what the looks say."""
    outcomes = [outcome for _, outcome in _truths(shop)]
    return _trust_text(len(outcomes), _weight(outcomes))


def _weight(outcomes: Sequence[Outcome]) -> float:
    return trust(
        [one.share for one in outcomes],
        [one.base_rate for one in outcomes],
        [one.was for one in outcomes],
    )


def _truths(shop: RecordShop) -> list[tuple[Record[Guess], Outcome]]:
    """Guesses whose finding still counts, with what that finding says today."""
    told = []
    for guess in shop.current(Guess):
        said = shop.history(guess.fact.finding)[-1].fact
        if isinstance(said, Finding) and said.fault == guess.fact.fault:
            one = guess.fact
            was = said.answer == "present"
            told.append((guess, Outcome(one.kind, one.fault, one.share, one.base_rate, was)))
    return told


def _row(
    shop: RecordShop,
    guess: Record[Guess],
    outcome: Outcome,
    kinds: Mapping[str, Kind],
    shares: Mapping[str, Mapping[str, float]],
) -> LearnedRow:
    said = guess.fact
    kind = kinds.get(said.kind)
    fault = kind.faults.get(said.fault) if kind else None
    now = fault.prior if fault else said.base_rate
    return LearnedRow(
        id=guess.id,
        when=guess.observed_at,
        lot=_name(shop, said.lot),
        machine=_name(shop, said.machine),
        kind=kind.name if kind else said.kind,
        fault=said.fault,
        name=fault.name if fault else said.fault,
        family=fault.subsystem if fault else "",
        guessed=said.share,
        base_rate=said.base_rate,
        was=outcome.was,
        next_time=shares.get(said.kind, {}).get(said.fault, now),
    )


def _name(shop: RecordShop, key: str) -> str:
    fact = shop.history(key)[-1].fact
    return fact.name if isinstance(fact, Lot | Machine) else key


def _scores(outcomes: Sequence[Outcome], weight: float) -> Scores:
    if not outcomes:
        return Scores(0, None, None, None, None, ())
    guessed, was = [one.share for one in outcomes], [one.was for one in outcomes]
    drawn = [tempered(one.share, one.base_rate, weight) for one in outcomes]
    return Scores(
        count=len(outcomes),
        brier=brier(guessed, was),
        log=log_score(guessed, was),
        base_brier=brier([one.base_rate for one in outcomes], was),
        tempered_brier=brier(drawn, was),
        bins=reliability(guessed, was),
    )


def _trust_text(count: int, weight: float) -> str:
    if not count:
        return say("The tables are judged, not proved: nothing was opened and told here yet.")
    if count < PROVED:
        return say(
            "Opened and told so far: {count}, too few to prove the tables: take {tenths} tenths "
            "of what the looks say and the rest from the usual share.",
            count=count,
            tenths=round(10 * weight),
        )
    if weight >= BETTER:
        return say(
            "Opened and told so far: {count}; the looks told them better than the usual shares.",
            count=count,
        )
    return say(
        "Opened and told so far: {count}; the usual shares told them as well as the looks.",
        count=count,
    )
