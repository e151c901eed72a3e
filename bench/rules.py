"""Rules of buying, played against the last rival, and the tables that compare them."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from buyer import SEED, STANDING, TRUTHS, TUNE, Purchase
from numpy.typing import NDArray

from retrue.base.chance import stream
from retrue.choose.normal import inverse_normal

Floats = NDArray[np.float64]

SPREADS = (0.225, 0.45, 0.9)  # log-sd of the last rival's price
STOPS = 60  # equally likely prices at which he stops
Z = inverse_normal((np.arange(STOPS) + 0.5) / STOPS)
RULES = ("the tool", "share of asking", "never unseen", "always visit", "mean, not walk-away")
SHARES = tuple(0.05 * i for i in range(1, 31))
SIGNS = (0, 1, 2, 3, 4, 6, 8, 12, 99)


@dataclass(frozen=True)
class Bid:
    """What a rule does with one lot: whether it drives there, up to what it bids, what it gets."""

    limit: float
    costs: float
    gains: Sequence[float]


Rule = Callable[[Purchase], Bid]


def share_of_asking(share: float) -> Rule:
    """Bid the same share of every asking price, on the listing alone."""
    return lambda p: Bid(share * p.asking, 0.0, p.gains["listing"])


def never_unseen(share: float, listed: int, there: int) -> Rule:
    """Drive there unless the listing shows too much; then bid a share, or nothing."""

    def bid(p: Purchase) -> Bid:
        if p.signs[0] > listed:
            return Bid(0.0, 0.0, p.gains["listing"])
        limit = share * p.asking if p.signs[1] <= there else 0.0
        return Bid(limit, p.costs["visit"], p.gains["visit"])

    return bid


def tool_rules() -> dict[str, Rule]:
    """The tool, and two buyers who use half of it."""
    return {
        "the tool": lambda p: Bid(p.bids["tool"], p.costs["tool"], p.gains["tool"]),
        "always visit": lambda p: Bid(p.bids["visit"], p.costs["visit"], p.gains["visit"]),
        "mean, not walk-away": lambda p: Bid(p.bids["mean"], p.costs["tool"], p.gains["mean"]),
    }


@dataclass(frozen=True)
class Played:
    """One rule on many lots, each an average over luck and over where the last rival stops."""

    gain: Floats  # mean gain a lot, asking paid
    bought: Floats  # chance of buying
    regretted: Floats  # chance of buying and being sorry
    asking: Floats  # spent on asking and looking


def play(rule: Rule, lots: Sequence[Purchase], spread: float) -> Played:
    """Let a rule bid up to its limit against the last rival, one step above where he stops."""
    bids = [rule(p) for p in lots]
    rows = np.array([_outcome(bid, p, Z * spread) for bid, p in zip(bids, lots, strict=True)])
    spent = np.array([bid.costs for bid in bids])
    return Played(gain=rows[:, 0], bought=rows[:, 1], regretted=rows[:, 2], asking=spent)


def _outcome(bid: Bid, lot: Purchase, z: Floats) -> tuple[float, float, float]:
    stops = np.maximum(lot.dealer * np.exp(z), STANDING * lot.dealer)
    paid = np.ceil(stops / lot.step + 1e-9) * lot.step
    wins = paid[paid <= bid.limit]
    if not len(wins):
        return -bid.costs, 0.0, 0.0
    left = np.asarray(bid.gains)[:, None] - lot.k * wins
    bought = len(wins) / len(stops)
    return float(left.mean()) * bought - bid.costs, bought, float((left < 0).mean()) * bought


def tuned(lots: Sequence[Purchase], spread: float) -> dict[str, Rule]:
    """The plain rules with the numbers that gain most on the tuning lots."""
    shares = [share_of_asking(share) for share in SHARES]
    unseen = [
        never_unseen(share, listed, there)
        for share, listed, there in itertools.product(SHARES[::2], SIGNS, SIGNS)
    ]

    def best(rules: list[Rule]) -> Rule:
        return max(rules, key=lambda rule: float(play(rule, lots, spread).gain.mean()))

    return {"share of asking": best(shares), "never unseen": best(unseen)}


def interval(played: Played, picks: NDArray[np.intp]) -> tuple[tuple[float, float], ...]:
    """95 % intervals of the mean gain and of the share regretted, lots drawn again."""
    gain = played.gain[picks].mean(axis=1)
    bought = played.bought[picks].sum(axis=1)
    regret = played.regretted[picks].sum(axis=1) / np.maximum(bought, 1e-12)
    return tuple(
        (float(np.quantile(each, 0.025)), float(np.quantile(each, 0.975)))
        for each in (gain, regret)
    )


def report(lots: Sequence[Purchase]) -> list[str]:
    """One table for each truth and each scatter of the last rival."""
    lines = [
        "Mean gain: for every lot met, against the best alternative, looking and asking paid;",
        "and for every lot bought, since nobody has the hours to restore them all.",
        "Regretted: of the lots bought, those that turned out worse than not buying.",
    ]
    for truth, spread in itertools.product(TRUTHS, SPREADS):
        tuning = [p for p in lots if p.truth == f"{TUNE}{truth}"]
        judged = [p for p in lots if p.truth == truth]
        rules = tool_rules() | tuned(tuning, spread)
        played = {name: play(rules[name], judged, spread) for name in RULES}
        draws = stream(SEED, "again", truth).integers(0, len(judged), (1000, len(judged)))
        lines += ["", f"truth {truth}; last rival log-sd {spread}; {len(judged)} lots", HEADING]
        base = played["the tool"]
        for name in RULES:
            lines.append(_row(name, played[name], base, draws))
    return [*lines, "", *(_kept_promise(truth, lots) for truth in TRUTHS)]


def _kept_promise(truth: str, lots: Sequence[Purchase]) -> str:
    """How often the price itself would be regretted, were it paid: it promises one in five."""
    bids = [p for p in lots if p.truth == truth and p.bids["tool"] > 0]
    sorry = np.array([np.mean(np.array(p.gains["tool"]) < p.k * p.bids["tool"]) for p in bids])
    error = sorry.std() / np.sqrt(len(sorry)) if len(sorry) else float("nan")
    share = sorry.mean() if len(sorry) else float("nan")
    return (
        f"truth {truth}: paying the whole walk-away price would be regretted in {share:.1%}"
        f" of cases (standard error {error:.1%}, {len(sorry)} lots)"
    )


HEADING = (
    f"{'rule':<20} {'bought':>6} {'asking':>6} {'mean gain a lot':>16} {'95 %':>17}"
    f" {'a lot bought':>12}"
    f" {'of the tool':>11} {'less than tool':>15} {'95 %':>17} {'regretted':>9} {'95 %':>13}"
)


def _row(name: str, one: Played, base: Played, draws: NDArray[np.intp]) -> str:
    (low, high), (least, most) = interval(one, draws)
    behind = base.gain - one.gain
    again = behind[draws].mean(axis=1)
    ratio = one.gain.mean() / base.gain.mean() if base.gain.mean() else float("nan")
    regret, each = (x.sum() / max(one.bought.sum(), 1e-12) for x in (one.regretted, one.gain))
    return (
        f"{name:<20} {one.bought.mean():>6.0%} {one.asking.mean():>6.0f} {one.gain.mean():>16.0f}"
        f" {f'{low:.0f} to {high:.0f}':>17} {each:>12.0f} {ratio:>11.2f} {behind.mean():>15.0f}"
        f" {f'{np.quantile(again, 0.025):.0f} to {np.quantile(again, 0.975):.0f}':>17}"
        f" {regret:>9.1%} {f'{least:.1%} to {most:.1%}':>13}"
    )
