"""Invented sales, and every choice of bids tried: slow, plain, without the code that is tested.

Only the shape of a candidate is shared. What a choice of bids comes to is worked out anew here:
lots are looked at one by one in every world, and the first in the fixed order meets the need.
"""

from __future__ import annotations

from itertools import product

import numpy as np

from retrue.choose.commit import Candidate, Limits


def sure(brings: float, costs: float, worlds: int = 4, **more: object) -> Candidate:
    """A lot at a fixed price, which is always had."""
    row = np.full((1, worlds), brings + costs)
    zero = np.zeros_like(row)
    told = {"hours": zero, "floor": zero[0], "money": zero} | more
    return Candidate(
        bids=np.array([costs]), wins=zero == 0, pays=zero + costs, gain=row, **told
    )  # fmt: skip


def sale(
    rng: np.random.Generator, lots: int, levels: int, worlds: int, needs: int = 2
) -> list[Candidate]:
    """Lots of one sale: the room is keen or not, prices are high or not, for all of them."""
    keen = np.exp(0.25 * rng.standard_normal(worlds))
    pace = np.exp(0.22 * rng.standard_normal(worlds))
    return [_lot(rng, levels, worlds, needs, keen, pace) for _ in range(lots)]


def _lot(rng, levels, worlds, needs, keen, pace):
    worth = rng.uniform(4, 20)
    truth = worth * np.exp(0.4 * rng.standard_normal(worlds))
    stop = 0.75 * truth * keen * np.exp(0.5 * np.abs(rng.standard_normal(worlds)))
    bids = worth * np.linspace(0.5, 1.1, levels)
    sealed = rng.random() < 0.3
    wins = stop < bids[:, None]
    pays = 1.16 * np.where(sealed, bids[:, None], np.minimum(stop, bids[:, None]))
    repair = rng.uniform(0.2, 0.7) * worth * np.exp(0.3 * rng.standard_normal(worlds))
    hours = rng.uniform(20, 120) * pace * np.exp(0.2 * rng.standard_normal(worlds))
    floor = np.full(worlds, rng.uniform(3, 10))
    shared = rng.random() < 0.7
    if not shared:
        one = (truth + 2)[None]
        return Candidate(bids, wins, pays, one, repair[None], hours[None], floor)
    sold = truth * rng.uniform(0.5, 1.0)
    return Candidate(
        bids, wins, pays, np.array([truth + 3, sold]), np.array([repair, 0.3 * repair]),
        np.array([hours, 0.2 * hours]), floor,
        (f"need {int(rng.integers(needs))}",), (0, 1), (1, 0),
    )  # fmt: skip


def tight(rng: np.random.Generator, candidates: list[Candidate]) -> Limits:
    """Limits that hold for some of the lots and not for all."""
    share = rng.uniform(0.25, 0.7)
    cost = sum(float((one.pays[-1] + one.money[0]).mean()) for one in candidates)
    hours = sum(float(one.hours[0].mean()) for one in candidates)
    floor = sum(float(one.floor.mean()) for one in candidates)
    return Limits(money=share * cost, hours=share * hours, floor=1.3 * share * floor,
                  odds=float(rng.choice([0.8, 0.9, 0.95])))  # fmt: skip


def every_choice(candidates: list[Candidate], limits: Limits) -> float:
    """The highest mean gain of all choices of bids that hold the limits."""
    plans = np.array(list(product(*(range(len(one.bids) + 1) for one in candidates))))
    worlds = len(candidates[0].floor)
    gain, money = np.zeros((len(plans), worlds)), np.zeros((len(plans), worlds))
    hours, floor = np.zeros((len(plans), worlds)), np.zeros((len(plans), worlds))
    met = {need: np.zeros((len(plans), worlds), bool) for one in candidates for need in one.needs}
    keeps_first = sorted(
        candidates, key=lambda one: -(one.gain[0] - one.gain[-1]).mean() if one.needs else 0
    )
    for one in keeps_first:
        level = plans[:, next(i for i, other in enumerate(candidates) if other is one)]
        won = np.vstack([np.zeros(worlds, bool), one.wins])[level]
        pays = np.vstack([np.zeros(worlds), one.pays])[level]
        second = met[one.needs[0]] if one.needs else np.zeros_like(won)
        gain += won * (np.where(second, one.gain[-1], one.gain[0]) - pays)
        money += won * (np.where(second, one.money[-1], one.money[0]) + pays)
        hours += won * np.where(second, one.hours[-1], one.hours[0])
        floor += won * one.floor
        if one.needs:
            met[one.needs[0]] = second | won
    over = (money > limits.money) | (hours > limits.hours) | (floor > limits.floor)
    holds = over.mean(axis=1) <= 1 - limits.odds + 1e-12
    return float(gain.mean(axis=1)[holds].max())
