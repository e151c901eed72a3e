"""A practice machine: a hidden truth that answers looks and readings with their own noise."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from retrue.belief.likelihood import likelihood
from retrue.belief.looks import PICTURE, Answer, look
from retrue.belief.worlds import draw
from retrue.cases.network import CaseNetwork, gated
from retrue.kinds.library import Check, Measure
from retrue.records.facts import Channel, Finding, Grade

States = NDArray[np.bool_]

GRADE: dict[Channel, Grade] = {"call": 0, "photo": 1}


def hidden_truth(built: CaseNetwork, chance: np.random.Generator) -> States:
    """Draw one whole truth from what is believed before anything was seen.

    Parameters
    ----------
    built : CaseNetwork
    chance : numpy.random.Generator

    Returns
    -------
    ndarray of bool, shape (variables,)

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.network import build
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> built = build(case, load())
    >>> chance = np.random.Generator(np.random.Philox(1))
    >>> truth = hidden_truth(built, chance)
    >>> answer(built, truth, "A", "C31", "visit_dead", chance).measure
    'M07'
    """
    uniforms = chance.random((len(built.network.names), 1), dtype=np.float32)
    return built.there_now(draw(built.network, (), uniforms).states)[:, 0]


def answer(
    built: CaseNetwork,
    truth: States,
    machine: str,
    check: str,
    channel: Channel,
    chance: np.random.Generator,
    *,
    informant: str | None = None,
) -> Finding:
    """Let the practice machine answer one look through one channel.

    Parameters
    ----------
    built : CaseNetwork
    truth : ndarray of bool, shape (variables,)
        From :func:`hidden_truth`.
    machine, check : str
    channel : str
        A picture is judged at grade 1, the call is grade 0, all else is one's own eyes (3);
        a measure read by oneself is grade 4 and comes as a number.
    chance : numpy.random.Generator
    informant : str, optional
        Who answers the call.

    Returns
    -------
    Finding
        Drawn with the chances that :func:`retrue.cases.evidence.evidence` will use.
    """
    kind = built.kinds[machine]
    asked = kind.checks[check]
    grade = GRADE.get(channel, 3)
    if asked.measures and grade >= 3:
        measure = kind.measures[asked.measures[0]]
        return Finding(
            lot="",
            machine=machine,
            check=check,
            measure=measure.id,
            reading=_read(built, truth, machine, measure, chance),
            grade=4,
            channel=channel,
        )
    plain = Finding(
        lot="", machine=machine, check=check, grade=grade, channel=channel, informant=informant
    )
    words: Sequence[Answer] = ("not_seen", "seen")
    if asked.answers == "degree":
        words = ("not_seen", "slight", "severe")
    shares = [_chance(built, truth, plain, asked, word) for word in words]
    place = int(np.searchsorted(np.cumsum(shares), chance.random()))
    said = words[min(place, len(words) - 1)]
    return Finding(
        lot="",
        machine=machine,
        check=check,
        answer=said,
        grade=grade,
        channel=channel,
        informant=informant,
    )


def _chance(
    built: CaseNetwork, truth: States, finding: Finding, check: Check, word: Answer
) -> float:
    gate = built.candid.get(str(finding.informant)) if gated(finding) else None
    fitted = [f for f in check.links if (str(finding.machine), f) in built.faults]
    seen = look(
        check.id,
        word,
        [built.faults[str(finding.machine), f] for f in fitted],
        [check.links[f] for f in fitted],
        check.leak,
        share=PICTURE if finding.grade in (1, 2) else 1.0,
        gate=gate,
    )
    return float(likelihood(seen, truth[:, None])[0])


def _read(
    built: CaseNetwork,
    truth: States,
    machine: str,
    measure: Measure,
    chance: np.random.Generator,
) -> float:
    """The worst of what the healthy part and the faults present show."""
    parts = [measure.healthy]
    for fault, part in measure.parts.items():
        variable = built.faults.get((machine, fault))
        if variable is not None and truth[variable]:
            parts.append(part)
    shown = [p.median * math.exp(p.log_sd * chance.standard_normal()) for p in parts]
    return max(shown) if measure.bad_side == "high" else min(shown)
