"""Opened up, and seen: what a fault was, beside what had been guessed of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Unpack

from retrue.base.say import say
from retrue.cases.kept_case import kept_case
from retrue.cases.spot import Spot
from retrue.kinds.library import Kind
from retrue.phases.find.learning import kinds_learned
from retrue.phases.find.lines import lines, machine_at, one_of, sent_before
from retrue.records.facts import Finding
from retrue.records.hand import Hand, without_id
from retrue.records.seeking import Act, Guess
from retrue.records.shop import Record, RecordShop


def teardown(
    shop: RecordShop,
    lot: str,
    machine: str,
    fault: str,
    present: bool,
    kinds: Mapping[str, Kind],
    *,
    text: str = "",
    picture: str | None = None,
    **hand: Unpack[Hand],
) -> Record[Guess]:
    """Keep what was there when it was opened, with the chance guessed just before.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    fault : str
        F15.
    present : bool
        It was there.
    kinds : mapping of str to Kind
        The library before anything was learned.
    text : str
        What was seen.
    picture : str or None
        Of it.
    **hand : Hand
        Who saw it.

    Returns
    -------
    Record of Guess
        Said anew before anything was done about it, the truth is corrected and the guess stays.

    Raises
    ------
    Unknown
        No such lot, machine or fault.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    one_of(fault, kind.faults, say("fault of a {kind}", kind=kind.name))
    answer = "present" if present else "absent"
    truth = Finding(
        lot=spot.lot, machine=spot.machine, fault=fault, answer=answer, grade=3, channel="apart",
        text=text.strip(), picture=picture,
    )  # fmt: skip
    told = _told(shop, spot, fault)
    if told is not None:
        return _corrected(shop, told, truth, hand)
    taught = kinds_learned(shop, kinds)
    share = guessed(shop, spot, fault, taught)
    kept = shop.add(truth, **_second(hand))
    fact = Guess(
        lot=spot.lot, machine=spot.machine, kind=kind.id, fault=fault, finding=kept.id,
        share=share, base_rate=taught[kind.id].faults[fault].prior, was=present,
        kind_hash=taught[kind.id].hash,
    )  # fmt: skip
    return shop.add(fact, **hand)


def guessed(shop: RecordShop, spot: Spot, fault: str, kinds: Mapping[str, Kind]) -> float:
    """The chance that a fault is there now, by all that was found and done so far.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    spot : Spot
        The machine.
    fault : str
        F15.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    float
        Zero for a fault of a part that is not fitted; the kind's own share where the answers
        contradict each other.
    """
    # Only here the sums are needed; a list or a form shall not wait for them.
    from retrue.belief.network import Impossible
    from retrue.belief.posterior import update
    from retrue.cases.evidence import evidence
    from retrue.cases.network import build

    case = kept_case(shop, spot.lot)
    built = build(case, kinds)
    row = built.faults.get((spot.name, fault))
    if row is None:
        return 0.0
    said, _ = evidence(case, built)
    try:
        marginal = built.marginal_now(update(built.network, said).marginal)
    except (
        Impossible
    ):  # answers that exclude each other say nothing; the truth is kept all the same
        return built.kinds[spot.name].faults[fault].prior
    return min(max(float(marginal[row]), 0.0), 1.0)


def _told(shop: RecordShop, spot: Spot, fault: str) -> Record[Guess] | None:
    """The guess whose truth was told already, if nothing was done about that fault since."""
    truths = {
        one.first.id: one.first.seq
        for one in lines(shop, Finding, spot)
        if one.newest.fact.fault == fault
    }
    acts = [one.first.seq for one in lines(shop, Act, spot) if one.newest.fact.fault == fault]
    guesses = shop.current(Guess, lot=spot.lot, machine=spot.machine, fault=fault)
    open_ones = [g for g in guesses if truths.get(g.fact.finding, -1) > max(acts, default=0)]
    return open_ones[-1] if open_ones else None


def _corrected(shop: RecordShop, told: Record[Guess], truth: Finding, hand: Hand) -> Record[Guess]:
    newest = shop.history(told.fact.finding)[-1]
    if newest.fact != truth:
        shop.add(truth, replaces=newest.id, **_second(hand))
    fact = replace(told.fact, was=truth.answer == "present")
    if fact == told.fact:
        return told
    return sent_before(shop, fact, hand) or shop.add(fact, replaces=told.id, **hand)


def _second(hand: Hand) -> Hand:
    """The finding beside its guess: sent twice, both are kept once."""
    rest = without_id(hand)
    if "id" in hand:
        rest["id"] = f"{hand['id']}.truth"
    return rest
