"""One machine as a whole: what was spent as it was, what is still to come as drawn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

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
from retrue.cases.settle.cost_ranges import along
from retrue.cases.settle.cost_still import Known, less_paid, paid_off
from retrue.cases.settle.cost_words import RUNNING
from retrue.cases.settle.cost_worlds import Worlds, aimed, carried
from retrue.cases.settle.laid_out import LaidOut, sold_on
from retrue.cases.settle.lines import Book
from retrue.cases.settle.rate_lines import RunYear
from retrue.cases.view import View, look
from retrue.kinds.library import Kind

Floats = NDArray[np.float64]

EARLY = 7  # days by which a yearly bill may come early: it is of the year to come (judgement)
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
    worked_from : str
        ISO date from which it did its work; empty: nobody said that it works.
    buckets : mapping of bucket to float
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
    worked_from: str = ""
    buckets: Mapping[str, float] = field(default_factory=dict)
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
        Money that lies behind it and is nowhere in the book, its price among it: as its cost has
        it.
    still_money, still_hours : ndarray
        To come, the price where it is not bought yet among it.
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

    @property
    def worked(self) -> tuple[float, float] | None:
        """Days from the first euro between which one that is gone did its work; else None."""
        spent = self.spent
        first = _between(spent.first_on, spent.worked_from)
        last = _between(spent.first_on, spent.sold_on or spent.ended_on)
        if not spent.gone or first is None or last is None or first >= last:
            return None
        return first, last


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
    days = []
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
        else:
            money += mine
            buckets[line.bucket] = buckets.get(line.bucket, 0.0) + mine
    years, a_year = _run_years(running, on)
    return Spent(
        money=money,
        brought=brought,
        hours=hours,
        first_on=min(days, default=""),
        sold_on=sold_on(book.lines, machine),
        buckets=buckets,
        run_years=years,
        run_a_year=a_year,
    )


def _run_years(
    running: Sequence[tuple[date, float]], on: date
) -> tuple[tuple[RunYear, ...], float | None]:
    """Running by calendar year; and of a year: all in the whole years since its first line.

    Years end shortly before the same day again, so that of two yearly bills one counts.
    """
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
    first = min(day for day, _ in running)
    years = int((on - first).days / DAYS_A_YEAR)
    if not years:
        return tuple(told), None
    end = first + timedelta(days=round(years * DAYS_A_YEAR) - EARLY)
    return tuple(told), sum(money for day, money in running if day < end) / years


def whole_of(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    spent: Spent | None = None,
    known: Known | None = None,
    laid: LaidOut | None = None,
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
    laid : LaidOut, optional
        What its cost takes for what is not in the book; None: all of it is there.
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
    >>> whole = whole_of(case, "mill", load(), spent=Spent(money=4000.0), worlds=300)
    >>> round(float((whole.money - whole.still_money).mean()))
    4000
    """
    known = known or Known()
    case = paid_off(case, kinds, known.lines, known.sums)
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
    spent, laid = _working(spent or Spent(), plans[at].keeps, reached_on), laid or LaidOut()
    since = _between(spent.first_on, on.isoformat() if on else None) or 0.0
    reached = _between(spent.first_on, reached_on)
    made = _whole(view, at, mine, spent, since, reached)
    none = np.zeros(len(mine.hours))
    behind = sum((along(one, made.still_money) for one in laid.behind.values()), start=none)
    still = made.still_money + laid.price_left
    return replace(
        made,
        money=np.asarray(spent.money + behind + still),
        behind=np.asarray(behind),
        still_money=np.asarray(still),
        assumed=(*laid.assumed, *_not_kept(spent, fars[at])),
    )


def _not_kept(spent: Spent, far: Far) -> Iterator[str]:
    """Hours that must have been worked, and nobody has put in."""
    if far.here and not spent.hours:
        yield say("No own hours are kept yet: those behind it count with nothing.")


def _working(spent: Spent, keeps: bool, reached_on: str | None) -> Spent:
    """With the day of the first good part, where it was to stay and work, or is said to have."""
    if not reached_on or not (spent.worked_from or keeps):
        return spent
    return replace(spent, worked_from=min(reached_on, spent.worked_from or reached_on))


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
