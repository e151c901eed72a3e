"""Open looks and questions, and the chance of each answer in every drawn world."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from retrue.base.recalled import in_tongues
from retrue.base.say import ENGLISH
from retrue.belief.looks import CANDID_PRIOR, PICTURE, Spread, look, reading
from retrue.belief.network import Seen
from retrue.cases.case import LotCase
from retrue.cases.evidence import NOTHING, SAID
from retrue.cases.network import CaseNetwork
from retrue.kinds.library import Check, Measure, Question, Stage

Singles = NDArray[np.float32]
States = NDArray[np.bool_]

GRADES: dict[Stage, int] = {"call": 0, "photo": 1, "visit_dead": 3, "visit_live": 3}
REMOTE: tuple[Stage, ...] = ("photo", "call")
VISIT: tuple[Stage, ...] = ("visit_dead", "visit_live")
ASKING_MINUTES = 3.0  # own time to ask for a picture or on the telephone, and to judge it
UNKNOWING = 0.3  # how readily people say that they do not know, against a full answer (judgement)
ROUNDS = 40
FAR = 1.5  # times the limit: the least that counts as far beyond it


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenQuestion:
    """Something that could still be looked at, asked or measured.

    Attributes
    ----------
    machine, check : str
        The check's id, or the id of a question of the telephone call.
    text : str
        The look's own words; for a question of the call, its English text.
    channel : str
        What would be used now.
    minutes : float
        Own time.
    tool_hire : float
        Money a day, 0 for tools the shop owns.
    informant : str or None
        Whose candour the answer would hang on; None for a picture or one's own eyes.
    outcomes : tuple of str
        Names of the answers, in the order of :func:`likelihoods`.
    """

    machine: str
    check: str
    text: str
    channel: Stage
    minutes: float
    tool_hire: float
    informant: str | None
    outcomes: tuple[str, ...]


def open_questions(case: LotCase, built: CaseNetwork) -> tuple[OpenQuestion, ...]:
    """List what is still open before money goes.

    Parameters
    ----------
    case : LotCase
    built : CaseNetwork
        The network of the same case.

    Returns
    -------
    tuple of OpenQuestion
        For every check at most two: from afar (a picture, else the call) and on a visit, each
        only while no answer of that grade or better is kept; then the questions of the call about
        past lives nobody has spoken of. A past life shared by the lot is asked once.

    Examples
    --------
    >>> from retrue.cases.network import build
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> first = open_questions(case, build(case, load()))[0]
    >>> first.check, first.channel, first.outcomes
    ('C01', 'photo', ('not_seen', 'slight', 'severe'))
    """
    best = _best_grades(case, built)
    found: list[OpenQuestion] = []
    for machine, kind in built.kinds.items():
        ways = (REMOTE, VISIT if _shown(case, machine) else VISIT[:1])
        for check in kind.checks.values():
            for way in ways:
                channel = next((c for c in way if c in check.stages), None)
                if channel and best.get((machine, check.id), -1) < GRADES[channel]:
                    found.append(_of_check(case, machine, check, channel))
    return (*found, *_calls(case, built))


def _best_grades(case: LotCase, built: CaseNetwork) -> dict[tuple[str, str], int]:
    best: dict[tuple[str, str], int] = {}
    for kept in case.findings:
        finding = kept.finding
        if finding.check is None or (finding.answer in NOTHING and finding.reading is None):
            continue
        for machine in [finding.machine] if finding.machine else built.kinds:
            key = machine, finding.check
            best[key] = max(best.get(key, -1), finding.grade)
    return best


def _shown(case: LotCase, machine: str) -> bool:
    """Whether the machine may still be shown under power."""
    said = [
        k.finding.answer
        for k in case.findings
        if k.finding.history == "NP" and k.finding.machine in (machine, None)
    ]
    return not said or said[-1] != "yes"


def _of_check(case: LotCase, machine: str, check: Check, channel: Stage) -> OpenQuestion:
    visit = channel in VISIT
    owned = set(check.tools) <= set(case.shop.instruments)
    if check.answers == "degree":
        outcomes: tuple[str, ...] = ("not_seen", "slight", "severe")
    elif visit and len(check.measures) == 1:
        outcomes = ("within", "beyond", "far_beyond")
    else:
        outcomes = ("not_seen", "seen")
    return OpenQuestion(
        machine=machine,
        check=check.id,
        text=check.text,
        channel=channel,
        minutes=check.minutes if visit else min(check.minutes, ASKING_MINUTES),
        tool_hire=check.tool_hire if visit and not owned else 0.0,
        informant=case.lot.seller if channel == "call" else None,
        outcomes=outcomes,
    )


def _calls(case: LotCase, built: CaseNetwork) -> Iterator[OpenQuestion]:
    """Questions of the call about past lives, each set of variables once."""
    spoken = {
        built.histories.get((machine, str(k.finding.history)))
        for k in case.findings
        if k.finding.history is not None and k.finding.answer not in NOTHING
        for machine in ([k.finding.machine] if k.finding.machine else built.kinds)
    }
    asked: set[tuple[str, tuple[int, ...]]] = set()
    for machine, kind in built.kinds.items():
        for question in kind.questions.values():
            lives = _lives(question, machine, built)
            key = question.id, tuple(lives.values())
            if not lives or key in asked or spoken & set(lives.values()):
                continue
            asked.add(key)
            names, _ = _telling(question, lives)
            yield OpenQuestion(
                machine=machine,
                check=question.id,
                text=in_tongues({ENGLISH: question.id, **question.ask}),
                channel="call",
                minutes=ASKING_MINUTES,
                tool_hire=0.0,
                informant=case.lot.seller,
                outcomes=names,
            )


def _lives(question: Question, machine: str, built: CaseNetwork) -> dict[str, int]:
    """Past lives a question is about, and their variables."""
    ids = {s.id for o in question.options for s in o.says if s.target == "history"}
    return {
        id: built.histories[machine, id] for id in sorted(ids) if (machine, id) in built.histories
    }


def _telling(question: Question, lives: dict[str, int]) -> tuple[tuple[str, ...], Singles]:
    """Answers that differ in what they say, and P(answer | past lives), one column a state.

    Options that say the same are one answer.
    """
    merged: dict[tuple[float, ...], list[str]] = {}
    for option in question.options:
        told = {
            s.id: SAID.get(s.answer, 1.0)
            for s in option.says
            if s.target == "history" and s.id in lives
        }
        merged.setdefault(tuple(told.get(id, 1.0) for id in lives), []).append(option.words)
    return tuple(" / ".join(map(str, words)) for words in merged.values()), _shares(tuple(merged))


@lru_cache(maxsize=256)
def _shares(answers: tuple[tuple[float, ...], ...]) -> Singles:
    """P(answer | past lives), one row an answer, from the odds each answer gives each past life.

    Shares of the answers are chosen so that each speaks with its own odds while all of them sum
    to one in every state: by repeated scaling, and a last division.
    """
    odds = np.array(answers)
    states = (np.arange(1 << odds.shape[1])[:, None] >> np.arange(odds.shape[1])) & 1
    weight = np.where(states[None] == 1, odds[:, None], 1.0).prod(axis=2)
    share = np.where((weight == 1.0).all(axis=1), UNKNOWING, 1.0) / weight.max(axis=1)
    for _ in range(ROUNDS):
        share *= weight @ (1.0 / (share @ weight)) / weight.sum(axis=1)
    chance = share[:, None] * weight
    return np.asarray(chance / chance.sum(axis=0), dtype=np.float32)


def likelihoods(
    questions: Sequence[OpenQuestion], built: CaseNetwork, states: States
) -> list[Singles]:
    """Give the chance of every answer to every question in every world.

    Parameters
    ----------
    questions : sequence of OpenQuestion
        From :func:`open_questions` of the same case.
    built : CaseNetwork
    states : ndarray of bool, shape (variables, worlds)
        Drawn worlds.

    Returns
    -------
    list of ndarray of float32, shape (outcomes, worlds)
        One for each question; the outcomes of one question sum to one in every world.

    Notes
    -----
    The same looks, degrees and readings as evidence of the answer would use; a number is reduced
    to three bands: within its limit, beyond it, far beyond it.
    """
    present = states.astype(np.float32)
    answers: list[Singles] = []
    for question in questions:
        # one small table each: a large one is given back to the system and faulted in anew
        rows = np.empty((len(question.outcomes), states.shape[1]), dtype=np.float32)
        kind = built.kinds[question.machine]
        if question.check in kind.checks:
            _check_rows(question, kind.checks[question.check], built, present, rows)
        else:
            _call_rows(question, kind.questions[question.check], built, states, rows)
        answers.append(rows)
    return answers


def _call_rows(
    question: OpenQuestion, asked: Question, built: CaseNetwork, states: States, rows: Singles
) -> None:
    lives = _lives(asked, question.machine, built)
    _, chance = _telling(asked, lives)
    index = np.zeros(states.shape[1], dtype=np.intp)
    for bit, variable in enumerate(lives.values()):
        index += states[variable].astype(np.intp) << bit
    np.take(chance, index, axis=1, out=rows)


def _check_rows(
    question: OpenQuestion, check: Check, built: CaseNetwork, present: Singles, rows: Singles
) -> None:
    """Fill in P(answer | world) of one look, by the chances of staying under each degree."""
    steps = _steps(question, check, built)
    under = _under(steps, present)
    if question.informant is None:
        below = under[0]
    else:
        gate = built.candid.get(question.informant)
        candid = np.float32(CANDID_PRIOR) if gate is None else present[gate]
        below = under[0] + candid * (under[1] - under[0])
    rows[0] = below[0]
    for place in range(1, len(below)):
        np.subtract(below[place], below[place - 1], out=rows[place])
    np.subtract(np.float32(1.0), below[-1], out=rows[-1])


def _steps(question: OpenQuestion, check: Check, built: CaseNetwork) -> Seen:
    """One product for each degree but the last: the chance of no more than that."""
    if "within" in question.outcomes:
        return _bands(question, check, built)
    fitted = [f for f in check.links if (question.machine, f) in built.faults]
    seen = look(
        check.id,
        "slight",
        [built.faults[question.machine, f] for f in fitted],
        [check.links[f] for f in fitted],
        check.leak,
        share=PICTURE if question.channel == "photo" else 1.0,
        gate=None if question.informant is None else 0,
    )
    degrees = [1, 0] if len(question.outcomes) == 3 else [1]
    level = np.abs(seen.coefficient[:, degrees])
    return Seen(check.id, seen.faults, level, seen.ratio[:, degrees])


def _bands(question: OpenQuestion, check: Check, built: CaseNetwork) -> Seen:
    measure = built.kinds[question.machine].measures[check.measures[0]]
    healthy = Spread(measure.healthy.median, measure.healthy.log_sd)
    parts = {
        built.faults[question.machine, f]: Spread(p.median, p.log_sd)
        for f, p in measure.parts.items()
        if (question.machine, f) in built.faults
    }
    seen = []
    for limit in (measure.check_limit, _far(measure)):
        low, high = (0.0, limit) if measure.bad_side == "high" else (limit, np.inf)
        seen.append(reading(check.id, low, high, healthy, parts, measure.bad_side))
    level = np.stack([s.coefficient[:, 0] for s in seen], axis=1)
    ratio = np.stack([s.ratio[:, 0] for s in seen], axis=1)
    return Seen(check.id, seen[0].faults, level, ratio)


def _far(measure: Measure) -> float:
    """Where a number is far beyond its limit: the middle of what the faults themselves show."""
    logs = [math.log(p.median) for p in measure.parts.values()]
    middle = math.exp(sum(logs) / len(logs)) if logs else measure.check_limit
    if measure.bad_side == "high":
        return max(middle, FAR * measure.check_limit)
    return min(middle, measure.check_limit / FAR)


def _under(steps: Seen, present: Singles) -> Singles:
    """Level * prod(ratio ** present), shape (candour, steps, worlds), through logarithms."""
    level = steps.coefficient.astype(np.float32)[:, :, None]
    if not steps.faults:
        return np.broadcast_to(level, (*level.shape[:2], present.shape[1]))
    logs = np.log(np.maximum(steps.ratio, 1e-30)).astype(np.float32)
    answer = np.matmul(logs, present[list(steps.faults)])
    np.exp(answer, out=answer)
    answer *= level
    return np.asarray(answer, dtype=np.float32)
