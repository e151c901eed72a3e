"""Open questions by what their answer is worth, less what asking costs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import uniforms
from retrue.cases.answers import OpenQuestion, likelihoods
from retrue.cases.drivers import leading
from retrue.cases.sheet import QuestionRow, VisitRow
from retrue.cases.view import View
from retrue.choose.looking import perfect_information, stack_answers, worth_of_answers
from retrue.choose.visit import worth_of_visit

Floats = NDArray[np.float64]

MOST_DECISIONS = 9
VISIT_WORLDS = 4_000
VISIT_LOOKS = 24  # the most telling ones, each by itself
VISIT_MINUTES = 240.0  # one visit, without the road
ROAD_KM_PER_HOUR = 70.0
KILOMETRE_COST = 0.35  # common practice, no source
VISIT_CHANNELS = ("visit_dead", "visit_live")


@dataclass(frozen=True, slots=True)
class Asking:
    """Open questions, a visit, and what no answer can be worth more than; money."""

    rows: tuple[QuestionRow, ...]
    visit: VisitRow | None
    most: float


def question_rows(view: View, questions: Sequence[OpenQuestion]) -> Asking:
    """Every open question with its worth, best net first, and a visit as one joint answer.

    Questions asked on the spot are valued one by one as well, without the road: the road is paid
    once, by the visit.

    Parameters
    ----------
    view : View
    questions : sequence of OpenQuestion

    Returns
    -------
    Asking
    """
    decisions = _decisions(view)
    most = _cents(perfect_information(decisions))
    if not questions:
        return Asking((), None, most)
    chances = likelihoods(questions, view.stage.built, view.states)
    costs = np.array([asking_cost(view, question) for question in questions])
    worths = worth_of_answers(decisions.astype(np.float32), stack_answers(chances), costs=costs)
    rows = [
        QuestionRow(
            machine=question.machine,
            check=question.check,
            text=question.text,
            channel=question.channel,
            worth=_cents(worths.worth[i]),
            asking_costs=_cents(costs[i]),
            net=_cents(_cents(worths.worth[i]) - _cents(costs[i])),
            error=_cents(worths.error[i]),
            tie=bool(worths.tie[i]),
        )
        for i, question in enumerate(questions)
    ]

    def rank(i: int) -> tuple[bool, float, str, str, str]:
        """Those that cannot be told from nothing come after, best guess first."""
        row = rows[i]
        worth = row.net if row.worth else float(worths.raw[i]) - float(costs[i])
        return row.worth == 0, -worth, row.machine, row.check, row.channel

    order = sorted(range(len(rows)), key=rank)
    visit = _visit(view, questions, chances, decisions, worths.raw)
    return Asking(tuple(rows[i] for i in order), visit, most)


def _cents(amount: float) -> float:
    """Money to the cent: single precision holds no more.

    >>> _cents(12.345678)
    12.35
    """
    return round(float(amount), 2)


def _decisions(view: View) -> Floats:
    """Walk away, or buy by one of the leading options at the price asked (else the limit)."""
    settled = view.settled
    at = settled.asking if settled.asking is not None else view.price.exact
    kept = leading(view, MOST_DECISIONS)
    rows = view.gains[kept] - settled.k * at
    return np.vstack((np.zeros((1, rows.shape[1])), rows))


def asking_cost(view: View, question: OpenQuestion) -> float:
    """Minutes at the alternative's rate, and hire of what is not owned.

    Parameters
    ----------
    view : View
    question : OpenQuestion

    Returns
    -------
    float
        Money in the lot's currency.
    """
    settled = view.settled
    owned = set(view.stage.case.shop.instruments)
    hire = 0.0 if set(_tools(view, question)) <= owned else question.tool_hire
    return (question.minutes / 60.0 * settled.rate + hire) / settled.exchange


def _tools(view: View, question: OpenQuestion) -> tuple[str, ...]:
    check = view.stage.built.kinds[question.machine].checks.get(question.check)
    return () if check is None else check.tools


def _visit(
    view: View,
    questions: Sequence[OpenQuestion],
    chances: Sequence[NDArray[np.float32]],
    decisions: Floats,
    raw: Floats,
) -> VisitRow | None:
    there = [i for i, question in enumerate(questions) if question.channel in VISIT_CHANNELS]
    if not there:
        return None
    there = sorted(sorted(there, key=lambda i: (-raw[i], i))[:VISIT_LOOKS])
    worlds = min(VISIT_WORLDS, decisions.shape[1])
    minutes = np.array([questions[i].minutes for i in there])
    name = view.stage.case.lot.name
    draws = uniforms(view.stage.drawer.seed, name, "visit", worlds=worlds, columns=len(there))
    visit = worth_of_visit(
        decisions[:, :worlds],
        stack_answers([chances[i][:, :worlds] for i in there]),
        draws,
        minutes=minutes,
        limit_minutes=VISIT_MINUTES,
    )
    taken = [questions[there[place]] for place in visit.order]
    spent = float(sum(question.minutes for question in taken))
    costs = _road(view) + sum(_hire(view, taken), start=0.0)
    costs += spent / 60.0 * view.settled.rate / view.settled.exchange
    return VisitRow(
        worth=_cents(visit.worth),
        costs=_cents(costs),
        net=_cents(_cents(visit.worth) - _cents(costs)),
        error=_cents(visit.error),
        minutes=spent,
        checks=tuple((question.machine, question.check) for question in taken),
    )


def _road(view: View) -> float:
    """There and back once: kilometres, and own hours.

    >>> from types import SimpleNamespace
    >>> settled = SimpleNamespace(distance_km=70.0, rate=15.0, exchange=1.0)
    >>> case = SimpleNamespace(shop=SimpleNamespace(kilometre_cost=None))
    >>> _road(SimpleNamespace(settled=settled, stage=SimpleNamespace(case=case)))
    79.0
    """
    settled, shop = view.settled, view.stage.case.shop
    kilometre = KILOMETRE_COST if shop.kilometre_cost is None else float(shop.kilometre_cost)
    both_ways = 2.0 * settled.distance_km
    return (both_ways * kilometre + both_ways / ROAD_KM_PER_HOUR * settled.rate) / settled.exchange


def _hire(view: View, questions: Sequence[OpenQuestion]) -> list[float]:
    """Each instrument hired once for the day."""
    owned = set(view.stage.case.shop.instruments)
    hired: dict[tuple[str, ...], float] = {}
    for question in questions:
        tools = _tools(view, question)
        if not set(tools) <= owned:
            hired[tools] = max(hired.get(tools, 0.0), question.tool_hire)
    return [math.fsum(hired.values()) / view.settled.exchange]
