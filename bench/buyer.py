"""One simulated purchase: what the tool asks, sees and bids, and what each choice really brings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from twin import Twin, asking_price, bad_signs, dealer_price, knowing, twin

from retrue.base.chance import stream
from retrue.cases.answers import VISIT, OpenQuestion, open_questions
from retrue.cases.assume import settle
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import evidence
from retrue.cases.network import build
from retrue.cases.questions import question_rows
from retrue.cases.sheet import QuestionRow, VisitRow
from retrue.cases.view import View, look
from retrue.choose.walkaway import down_to_step
from retrue.kinds.library import Kind

SEED = 20_261
TRUTHS = {"as the tables say": 0.0, "wrong by a factor e": 1.0}
TUNE = "tune "  # lots for tuning rules are named apart, so that none of them is judged
SHOWN = 0.6  # of the pictures that could be judged, the listing has
ASKED_AT_ONCE = 5
ROUNDS = 2
STANDING = 0.6  # of a dealer's price, the bid that stands

Open = Mapping[tuple[str, str, str], OpenQuestion]


@dataclass(frozen=True)
class Purchase:
    """What one lot looks like to every rule. Money; ``gains`` at price 0, one a turn of luck."""

    truth: str
    index: int
    asking: float
    dealer: float
    k: float
    step: float
    signs: tuple[int, int]  # bad signs in the listing, and on a visit
    bids: Mapping[str, float]  # "tool", "mean", "visit"
    costs: Mapping[str, float]  # of asking: "tool", "visit"
    gains: Mapping[str, Sequence[float]]  # "listing", "tool", "mean", "visit"


class Buyer:
    """The tool as a buyer uses it: look, ask, look again."""

    def __init__(self, kinds: dict[str, Kind], worlds: int) -> None:
        self.kinds = kinds
        self.worlds = worlds

    def view(self, case: LotCase) -> View:
        """The lot as priced on what is known: as the price sheet does it."""
        built = build(case, self.kinds)
        found, _ = evidence(case, built)
        settled = settle(case, built.kinds)
        return look(case, built, found, settled, drawer=Drawer(SEED, case.lot.name, self.worlds))

    def questions(self, view: View) -> tuple[Open, tuple[QuestionRow, ...], VisitRow | None]:
        """What could be asked, what it is worth, and what a visit is worth."""
        case, built = view.stage.case, view.stage.built
        opened = open_questions(case, built)
        asked = question_rows(view, opened)
        return {(q.machine, q.check, q.channel): q for q in opened}, asked.rows, asked.visit

    def shop(self, hidden: Twin, case: LotCase) -> tuple[View, float]:
        """Ask, visit and stop where the tool says so; the last view, and what asking cost."""
        spent, view = 0.0, self.view(case)
        opened, rows, visit = self.questions(view)
        for _ in range(ROUNDS):
            worth = [r for r in rows if r.net > 0 and r.channel not in VISIT][:ASKED_AT_ONCE]
            if not worth:
                break
            spent += sum(row.asking_costs for row in worth)
            asked = [opened[row.machine, row.check, row.channel] for row in worth]
            view = self.view(knowing(view.stage.case, hidden.answers(asked)))
            opened, rows, visit = self.questions(view)
        if visit is not None and visit.net > 0:
            view, cost = self.go(hidden, view, opened, visit)
            spent += cost
        return view, spent

    def go(
        self,
        hidden: Twin,
        view: View,
        opened: Open,
        visit: VisitRow,
    ) -> tuple[View, float]:
        """Drive there and look at everything the visit is for."""
        there = [
            opened[machine, check, channel]
            for machine, check in visit.checks
            for channel in VISIT
            if (machine, check, channel) in opened
        ]
        return self.view(knowing(view.stage.case, hidden.answers(there))), visit.costs


def purchase(kinds: dict[str, Kind], truth: str, index: int, worlds: int) -> Purchase:
    """One lot, met by the tool and by whoever always drives there."""
    hidden = twin(f"{truth} {index}", kinds, seed=SEED, wrong_by=TRUTHS[truth.removeprefix(TUNE)])
    buyer = Buyer(kinds, worlds)
    case = _listed(hidden)
    first = buyer.view(case)
    dealer = dealer_price(case, first)
    standing = Decimal(round(max(10.0, STANDING * dealer), -1))
    case = replace(case, terms=replace(case.terms, bid_now=standing))
    first = buyer.view(case)
    opened, _, visit = buyer.questions(first)
    assert visit is not None
    seen, road = buyer.go(hidden, first, opened, visit)
    bids = {"visit": seen.price.amount}
    costs = {"visit": road}
    gains = {
        "listing": hidden.gains(case, kinds, first.option.id),
        "visit": hidden.gains(seen.stage.case, kinds, seen.option.id),
    }
    if not truth.startswith(TUNE):
        last, spent = buyer.shop(hidden, case)
        means = last.gains.mean(axis=1)
        by_mean = int(means.argmax())
        known, settled = last.stage.case, last.settled
        bids |= {
            "tool": last.price.amount,
            "mean": down_to_step(max(0.0, float(means[by_mean]) / settled.k), settled.step),
        }
        costs["tool"] = spent
        gains["tool"] = hidden.gains(known, kinds, last.option.id)
        gains["mean"] = hidden.gains(known, kinds, last.options[by_mean].id)
    return Purchase(
        truth=truth,
        index=index,
        asking=asking_price(case, kinds, SEED),
        dealer=dealer,
        k=first.settled.k,
        step=first.settled.step,
        signs=(
            bad_signs(case, kinds),
            bad_signs(seen.stage.case, kinds, len(case.findings)),
        ),
        bids=bids,
        costs=costs,
        gains={name: [round(float(x), 2) for x in row] for name, row in gains.items()},
    )


def _listed(hidden: Twin) -> LotCase:
    """The lot with the pictures its listing happens to have."""
    chance = stream(SEED, hidden.name, "shown")
    pictures = [q for q in open_questions(hidden.case, hidden.built) if q.channel == "photo"]
    shown = [q for q in pictures if chance.random() < SHOWN]
    return knowing(hidden.case, hidden.answers(shown))
