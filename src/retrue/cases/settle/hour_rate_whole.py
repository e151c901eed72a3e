"""One machine as a whole: what was spent as it was, what is still to come as drawn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.alternatives import DAYS_A_YEAR, Worth, later
from retrue.cases.assume import Settled, settle
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import evidence
from retrue.cases.find.standing import standing
from retrue.cases.fix.far import Far, far_of
from retrue.cases.fix.scene import aim_of
from retrue.cases.network import build
from retrue.cases.plans import KEEP, Plan, Prospect
from retrue.cases.settle.cost_rows import POWER, ROAD
from retrue.cases.settle.cost_still import Known, less_paid, paid_off
from retrue.cases.settle.cost_words import RUNNING, bucket_words
from retrue.cases.settle.cost_worlds import Worlds, aimed, carried
from retrue.cases.settle.lines import Book
from retrue.cases.settle.rate_lines import RunYear
from retrue.cases.view import View, look
from retrue.kinds.library import Kind

Floats = NDArray[np.float64]

SOLD = "sold"
GONE = ("sold", "parted_out", "scrapped")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spent:
    """What one machine took so far, as the book and the hours have it; shop's currency.

    Attributes
    ----------
    money : float
        All but running; in the book, and known from an outcome, an order or a hire.
    brought : float
        Taken for it.
    hours : float
        Own.
    first_on, sold_on : str
        ISO dates; empty: nothing yet, not sold.
    ended, ended_on : str
        How it was closed (keeps_working, sold, parted_out, scrapped) and when; empty: it is not.
    buckets : mapping of bucket to float
    priced : bool
        Whether the price is in it.
    run_years : tuple of RunYear
    run_a_year : float or None
        None: there is not a year of it yet.
    """

    money: float = 0.0
    brought: float = 0.0
    hours: float = 0.0
    first_on: str = ""
    sold_on: str = ""
    ended: str = ""
    ended_on: str = ""
    buckets: Mapping[str, float] = field(default_factory=dict)
    priced: bool = False
    run_years: tuple[RunYear, ...] = ()
    run_a_year: float | None = None

    @property
    def gone(self) -> bool:
        """Whether it is sold, parted out or scrapped."""
        return bool(self.sold_on) or self.ended in GONE

    @property
    def over(self) -> bool:
        """Whether nothing is still to come."""
        return self.gone or bool(self.ended)


@dataclass(frozen=True, slots=True, eq=False)
class Whole:
    """One machine in every world, from its first euro to the horizon; shape (worlds,).

    Attributes
    ----------
    money, hours : ndarray
        Spent, behind and still to come: money without the sale, own hours.
    behind : ndarray
        Money that lies behind it and is nowhere in the book: as the tables have it.
    still_money, still_hours : ndarray
        To come.
    days : ndarray
        From the first euro to the first good part, or to the sale.
    left : ndarray
        What it brings at the horizon, undiscounted; of a machine that is sold, nothing.
    sale : ndarray
        What its sale brings, as worth on the first day; of a machine that is kept, nothing.
    assumed : tuple of str
        In words.
    """

    name: str
    kind: Kind
    plan: Plan
    settled: Settled
    prospect: Prospect
    drawer: Drawer
    spent: Spent
    money: Floats
    hours: Floats
    behind: Floats
    still_money: Floats
    still_hours: Floats
    days: Floats
    left: Floats
    sale: Floats
    currency: str
    assumed: tuple[str, ...] = ()

    @property
    def worth(self) -> Worth:
        """The work it does, and what else would do it."""
        return self.prospect.worth

    @property
    def keeps(self) -> bool:
        """Whether it stays and works."""
        return self.plan.keeps and not self.spent.gone


def spent_of(book: Book, machine: str, hours: float, *, on: date) -> Spent:
    """What one machine took so far.

    Parameters
    ----------
    book : Book
    machine : str
        Key.
    hours : float
        Own, told and clocked.
    on : date
        Today.

    Returns
    -------
    Spent

    Examples
    --------
    >>> spent_of(Book(currency="EUR"), "mill", 12.0, on=date(2026, 11, 26)).hours
    12.0
    """
    money, brought = 0.0, 0.0
    buckets: dict[str, float] = {}
    running: list[tuple[date, float]] = []
    days, sold = [], []
    for line in book.lines:
        mine = sum(float(one.amount) for one in line.shares if one.machine == machine)
        if not any(one.machine == machine for one in line.shares):
            continue
        if line.bucket == RUNNING:
            running.append((date.fromisoformat(line.posted_on), mine))
            continue
        days.append(line.posted_on)
        if line.brings:
            brought -= mine
            sold += [line.posted_on] if line.sort == SOLD else []
        else:
            money += mine
            buckets[line.bucket] = buckets.get(line.bucket, 0.0) + mine
    years, a_year = _run_years(running, on)
    return Spent(
        money=money,
        brought=brought,
        hours=hours,
        first_on=min(days, default=""),
        sold_on=max(sold, default=""),
        buckets=buckets,
        priced="price" in buckets,
        run_years=years,
        run_a_year=a_year,
    )


def _run_years(
    running: Sequence[tuple[date, float]], on: date
) -> tuple[tuple[RunYear, ...], float | None]:
    """Running by calendar year, and of a year once the book has one."""
    told = [
        RunYear(
            year=year,
            amount=round(sum(money for day, money in running if day.year == year), 2),
            lines=sum(day.year == year for day, _ in running),
        )
        for year in sorted({day.year for day, _ in running})
    ]
    if not running:
        return (), None
    days = (on - min(day for day, _ in running)).days
    if days < DAYS_A_YEAR:
        return tuple(told), None
    return tuple(told), sum(money for _, money in running) * DAYS_A_YEAR / days


def whole_of(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    spent: Spent | None = None,
    known: Known | None = None,
    hammer: float | None = None,
    shares: Mapping[str, float] | None = None,
    on: date | None = None,
    reached_on: str | None = None,
    seed: int = 7,
    worlds: int = 2000,
) -> Whole:
    """One machine of a lot, in its worlds.

    Parameters
    ----------
    case : LotCase
        With what is quoted, agreed and paid by now as its own figures.
    machine : str
        By name.
    kinds : mapping of kind id to Kind
    spent : Spent, optional
        None: nothing yet.
    known : Known, optional
        What of the lot is paid, owed, arrived: it is not drawn again.
    hammer : float, optional
        Taken for paid where no price is in the book: in the lot's currency; None: what is asked.
    shares : mapping of machine name to float, optional
        Of that price; None: by what each machine brings when right.
    on : date, optional
        Today; the days since the first euro are counted to it.
    reached_on : str or None
        ISO date of the first good part, where it was made.
    seed, worlds : int

    Returns
    -------
    Whole

    Raises
    ------
    Unknown
        A machine's kind is not among ``kinds``.
    Unusable
        What was answered contradicts itself.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre", age_years=24)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> whole = whole_of(case, "mill", load(), spent=Spent(money=4000.0, priced=True), worlds=300)
    >>> round(float((whole.money - whole.still_money).mean()))
    4000
    """
    known = known or Known()
    case = paid_off(case, kinds, known.lines)
    built = build(case, kinds)
    settled = settle(case, built.kinds)
    found, _ = evidence(case, built)
    plans = [aimed(built.kinds[one.name], *aim_of(case.chosen, one.name)) for one in case.machines]
    drawer = Drawer(seed, case.lot.name, worlds)
    view = look(case, built, found, settled, drawer=drawer,
                only=(tuple(Plan(KEEP, "right") for _ in plans),))  # fmt: skip
    fars = [
        far_of(standing(case, one.name, built.kinds[one.name]), arrived=one.name in known.arrived)
        for one in case.machines
    ]
    at = [one.name for one in case.machines].index(machine)
    mine = less_paid(carried(view.chooser, plans, fars, through=True)[at], known.once)
    whole = carried(view.chooser, plans, [Far()] * len(plans), through=True)[at]
    price = settled.asking if hammer is None else hammer
    spent, assumed = _priced(spent or Spent(), view, at, price, shares or {})
    since = _between(spent.first_on, on.isoformat() if on else None) or 0.0
    reached = _between(spent.first_on, reached_on)
    behind = _behind(whole, spent, fars[at])
    made = _whole(view, at, mine, spent, since, reached)
    return replace(
        made,
        money=np.asarray(made.money + sum(behind.values(), start=made.behind)),
        behind=np.asarray(sum(behind.values(), start=made.behind)),
        assumed=(*assumed, *_not_kept(spent, fars[at], behind)),
    )


def _priced(
    spent: Spent, view: View, at: int, price: float | None, shares: Mapping[str, float]
) -> tuple[Spent, tuple[str, ...]]:
    """With a price where none is in the book yet."""
    settled = view.settled
    if spent.priced:
        return spent, ()
    if price is None:
        return spent, (say("no price is known: it is taken as nothing, and comes off"),)
    prospects = view.chooser.prospects
    weights = [shares.get(one.machine.name, 0.0) for one in prospects]
    told = say("no price is in the book: {price}, with all that goes up with it, is taken for paid",
               price=formatter.money(price, settled.currency))  # fmt: skip
    if not any(weights):
        weights = [float(one.resale("right").mean()) for one in prospects]
        if len(prospects) > 1:
            told = say("{told}, split by what each machine brings when right", told=told)
    paid = price * settled.k * settled.exchange * weights[at] / sum(weights)
    buckets = dict(spent.buckets) | {"price": paid}
    return replace(spent, money=spent.money + paid, buckets=buckets), (told,)


def _behind(whole: Worlds, spent: Spent, far: Far) -> dict[str, Floats]:
    """What lies behind and is nowhere in the book, by bucket, as the tables have it."""
    past = (*(ROAD if far.here else ()), *(POWER if far.powered else ()))
    if spent.over:
        past = ()
    return {
        bucket: whole.buckets[bucket]
        for bucket in past
        if bucket in whole.buckets and bucket not in spent.buckets and whole.buckets[bucket].any()
    }


def _not_kept(spent: Spent, far: Far, behind: Mapping[str, Floats]) -> Iterator[str]:
    """What must have been spent, and nobody has put in."""
    if behind:
        yield say("not in the book though it lies behind: {what}; what the tables expect stands "
                  "for it until it is put in",
                  what=", ".join(bucket_words(bucket) for bucket in behind))  # fmt: skip
    if far.here and not spent.hours:
        yield say("no own hours are kept yet: those behind it count with nothing")


def _between(first_on: str, last_on: str | None) -> float | None:
    """Days from one day to a later one; None where one of them is not known."""
    if not first_on or not last_on:
        return None
    return float(max(0, (date.fromisoformat(last_on) - date.fromisoformat(first_on)).days))


def _whole(
    view: View,
    at: int,
    mine: Worlds,
    spent: Spent,
    since: float,
    reached: float | None,
) -> Whole:
    settled, none = view.settled, np.zeros(len(mine.hours))
    gone, over = spent.gone, spent.over
    still = none if over else mine.money
    hours = none if over else mine.hours
    days = mine.days + since if reached is None else np.full(len(none), reached)
    if gone or (over and reached is None):
        days = none + (_between(spent.first_on, spent.sold_on or spent.ended_on) or 0.0)
    prospect, plan = mine.prospect, mine.plan
    left = none
    if plan.keeps and not gone:
        share = view.chooser.work(at, plan).resale_left
        left = np.asarray(prospect.resale(plan.level, settled.horizon) * share)
    brought = spent.brought * later(days, settled.interest) if gone else none + spent.brought
    sale = brought if over else mine.brings + brought
    return Whole(
        name=mine.name,
        kind=prospect.kind,
        plan=plan,
        settled=settled,
        prospect=prospect,
        drawer=view.stage.drawer,
        spent=spent,
        money=np.asarray(spent.money + still),
        hours=np.asarray(spent.hours + hours),
        behind=none,
        still_money=still,
        still_hours=hours,
        days=np.asarray(days),
        left=left,
        sale=sale,
        currency=view.stage.case.shop.currency,
    )
