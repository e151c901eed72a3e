"""What to pay for a lot: the one calculation behind the page, the command and the paper."""

from __future__ import annotations

from collections.abc import Mapping
from math import e

import numpy as np
from numpy.typing import NDArray

from retrue import __version__
from retrue.base.formatter import odds
from retrue.base.say import say
from retrue.cases.answers import open_questions
from retrue.cases.assume import Settled, settle
from retrue.cases.bidding import bid_row
from retrue.cases.case import LotCase
from retrue.cases.clear import clear_first
from retrue.cases.drawing import Drawer
from retrue.cases.drivers import Moving, leading, moves
from retrue.cases.evidence import evidence
from retrue.cases.machines import idle_rows, machine_rows
from retrue.cases.need import DOES_NOT_FIT, fits
from retrue.cases.network import CaseNetwork, build
from retrue.cases.questions import question_rows
from retrue.cases.redraw import Redrawer
from retrue.cases.returns import return_row
from retrue.cases.sheet import HourValues, OptionRow, PriceSheet, Spread, WalkAway
from retrue.cases.view import View, look, price_of
from retrue.choose.walkaway import down_to_step, sorry_chance
from retrue.kinds.library import Kind

Floats = NDArray[np.float64]

THIRD_TOO_LOW = 1.5  # what costs grow to when prices were a third too low
WRONG_BY = e
COMPARED = 16  # options that could carry the price with other costs or hours
CAUTIONS = ("X01",)


def price(
    case: LotCase,
    kinds: Mapping[str, Kind],
    *,
    seed: int = 7,
    worlds: int = 20_000,
    questions: bool = True,
    processes: int = 1,
) -> PriceSheet:
    """What a lot is worth to this shop, at most, and why.

    Parameters
    ----------
    case : LotCase
        The lot as it stands; what is missing is assumed and written down.
    kinds : mapping of kind id to Kind
    seed : int
        Printed on the sheet; the same seed gives the same bytes.
    worlds : int
        How many ways it could turn out are drawn, at least 1,000.
    questions : bool
        Whether open questions are valued too.
    processes : int
        What is drawn anew (worse tables, hard findings left out) may be shared out; it changes
        no bit of the answer.

    Returns
    -------
    PriceSheet

    Raises
    ------
    Unknown
        A machine's kind is not among ``kinds``.

    Notes
    -----
    Every option is a net present value over one horizon for the same hours of work a year, less
    the value of the best alternative; the price is the lesser of its mean and its lower quantile,
    divided by all that goes up with the hammer.

    References
    ----------
    Raiffa and Schlaifer 1961, Applied Statistical Decision Theory; Howard 1966, Information Value
    Theory, IEEE Transactions on Systems Science and Cybernetics 2(1).

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> lathe = Machine(lot="14", name="lathe", kind="turning_centre", age_years=22)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="14"), terms=Terms(lot="14"), machines=(lathe,))
    >>> sheet = price(case, load(only=("turning_centre",)), worlds=2000, questions=False)
    >>> sheet.currency, sheet.walk_away.odds
    ('EUR', 0.8)
    """
    built = build(case, kinds)
    settled = settle(case, built.kinds)
    rows = [fits(case, machine) for machine in case.machines]
    found, not_used = evidence(case, built)
    if all(each and all(fit.answer == DOES_NOT_FIT for fit in each) for each in rows):
        return _unfit(case, built, settled, not_used, seed, worlds)
    view = look(case, built, found, settled, drawer=Drawer(seed, case.lot.name, worlds))
    again, moved = Redrawer(view, case, kinds, processes), Moving(view, case, built, found)
    redrawn = again.prices([(WRONG_BY, ""), *((1.0, id) for id in moved.hard)])
    walk_away = _walk_away(view, redrawn[0])
    asked = question_rows(view, open_questions(case, built) if questions else ())
    return PriceSheet(
        lot=case.lot.name,
        currency=settled.currency,
        walk_away=walk_away,
        options=_options(view),
        machines=machine_rows(view, built, found),
        questions=asked.rows,
        visit=asked.visit,
        all_answers=asked.most,
        returns=return_row(view, view.price.amount),
        moves=moves(view),
        moved=moved.rows(dict(zip(moved.hard, redrawn[1:], strict=True))),
        clear_first=clear_first(view, case),
        assumed=settled.assumed,
        set_aside=view.set_aside,
        not_used=not_used,
        bid=bid_row(view, case, walk_away.amount),
        cautions=_cautions(built),
        seed=seed,
        worlds=worlds,
        kind_hash=_hashes(built),
        version=__version__,
    )


def _walk_away(view: View, tables_wrong: float) -> WalkAway:
    price, settled, option = view.price, view.settled, view.option
    landed = sum(float(outcome.landed.mean()) for outcome in option.outcomes)
    landed = (landed + float(view.chooser.shared.money.mean())) / settled.exchange
    paid = price.amount * settled.k
    return WalkAway(
        amount=price.amount,
        why=why_nothing(view),
        all_in=paid + landed,
        restored=paid + float(option.money.mean()) / settled.exchange,
        option=option.id,
        odds=settled.odds,
        error=price.error,
        prices_third_low=_third_low(view),
        tables_wrong=tables_wrong,
        by_hour_value=HourValues(
            zero=_at_rate(view, 0.0),
            alternative=price.amount,
            full=_at_rate(view, settled.rate_full),
        ),
        spread=Spread(
            low=price.p20 / settled.k, even=price.p50 / settled.k, high=price.p80 / settled.k
        ),
        mean=price.mean / settled.k,
        sorry=sorry_chance(view.gains[view.best], price.amount, k=settled.k),
        bid_step=settled.step,
    )


def why_nothing(view: View) -> str:
    """Why no bid is left, where none is: no gain at all, or a gain too doubtful.

    Parameters
    ----------
    view : View

    Returns
    -------
    str
        Empty where there is one.
    """
    price = view.price
    if price.amount > 0:
        return ""
    if price.mean <= 0:
        return say("even for nothing it is no better than the best alternative")
    sorry = sorry_chance(view.gains[view.best], 0.0, k=view.settled.k)
    return say("even for nothing, the chance you'd be sorry is {odds}", odds=odds(sorry))


def _third_low(view: View) -> float:
    """The price if everything the tables price costs half as much again."""
    settled = view.settled
    extra = (THIRD_TOO_LOW - 1.0) / settled.exchange
    kept = leading(view, COMPARED)
    gains = view.gains[kept] - extra * np.array([view.options[i].money for i in kept])
    return down_to_step(price_of(gains, settled), settled.step)


def _at_rate(view: View, rate: float) -> float:
    """The price with the own hours of every plan, and of the alternative, at another rate."""
    settled = view.settled
    more = (rate - settled.rate) / settled.exchange
    kept = leading(view, COMPARED)
    gains = view.gains[kept] - more * np.array([_more_hours(view, i) for i in kept])
    return down_to_step(price_of(gains, settled), settled.step)


def _more_hours(view: View, index: int) -> Floats:
    """Own hours of an option beyond those its alternatives would have taken."""
    shared, hours = view.chooser.shared, view.chooser.shared.hours
    for prospect, outcome in zip(view.chooser.prospects, view.options[index].outcomes, strict=True):
        hours = hours + outcome.hours
        if outcome.plan.keeps:
            hours = hours - prospect.worth.own_hours * outcome.went_on
    if any(outcome.plan.works for outcome in view.options[index].outcomes):
        hours = hours + shared.running_hours
    return hours


def _options(view: View) -> tuple[OptionRow, ...]:
    """Every option, the one that carries most first."""
    settled = view.settled
    at = settled.asking if settled.asking is not None else 0.0
    return tuple(
        OptionRow(
            id=view.options[i].id,
            name=view.options[i].name,
            walk_away=down_to_step(float(view.exact[i]), settled.step),
            mean_gain=float(view.means[i]) - settled.k * at,
            regret_odds=sorry_chance(view.gains[i], at, k=settled.k),
        )
        for i in view.order
    )


def _unfit(
    case: LotCase,
    built: CaseNetwork,
    settled: Settled,
    not_used: tuple[str, ...],
    seed: int,
    worlds: int,
) -> PriceSheet:
    """Nothing in the lot can do the work: no price is made."""
    none = HourValues(zero=None, alternative=None, full=None)
    return PriceSheet(
        lot=case.lot.name,
        currency=settled.currency,
        walk_away=WalkAway(
            amount=None,
            why=say("no machine of the lot fits the work it must do")
            if case.machines
            else say("the lot has no machine"),
            all_in=None,
            restored=None,
            option="",
            odds=settled.odds,
            error=0.0,
            prices_third_low=None,
            tables_wrong=None,
            by_hour_value=none,
            spread=Spread(low=0.0, even=0.0, high=0.0),
            mean=0.0,
            sorry=0.0,
            bid_step=settled.step,
        ),
        options=(),
        machines=idle_rows(case),
        questions=(),
        visit=None,
        all_answers=0.0,
        returns=None,
        moves=(),
        moved=(),
        clear_first=(),
        assumed=settled.assumed,
        set_aside=(),
        not_used=not_used,
        bid=bid_row(None, case, None),
        cautions=_cautions(built),
        seed=seed,
        worlds=worlds,
        kind_hash=_hashes(built),
        version=__version__,
    )


def _cautions(built: CaseNetwork) -> tuple[str, ...]:
    return tuple(
        f"{first.cautions[id].text} ({first.cautions[id].defers_to})"
        for first in list(built.kinds.values())[:1]
        for id in CAUTIONS
        if id in first.cautions
    )


def _hashes(built: CaseNetwork) -> str:
    return " ".join(dict.fromkeys(kind.hash for kind in built.kinds.values()))
