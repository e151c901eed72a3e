"""What we guessed and what was, of one machine, in one table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from retrue.base.say import say
from retrue.belief.scores import brier
from retrue.cases.settle.closed_case import ClosedCase, ComparedRow, Sort, Stands, token_of
from retrue.cases.settle.closing_lines import Closing
from retrue.cases.settle.cost_lines import CostView, Range
from retrue.cases.settle.fault_guesses import FaultGuess
from retrue.cases.spot import Spot
from retrue.kinds.learned import Outcome, families
from retrue.kinds.learned_ranges import Spent, What, middle, moved_ranges, range_of
from retrue.kinds.library import Kind

AGE_STEP = 5.0  # years: a machine is not told by its age
NOT_NEEDED = ("not_needed", "done_for_nothing")
NOT_PLACED = "not_placed"  # money in the book without a bucket
ENDS = ("keeps_working", "sold", "parted_out", "scrapped")


@dataclass(frozen=True, slots=True, kw_only=True)
class LineSpent:
    """What one line of the tables came to.

    Attributes
    ----------
    line : str
        E11, F15:local, J05.
    what : str
        money (shop's currency), hours, days.
    """

    line: str
    what: What
    amount: float


def compared(
    cost: CostView,
    kind: Kind,
    faults: Sequence[FaultGuess],
    spent: Sequence[LineSpent],
    *,
    age_years: float | None,
    level: str,
    end: str,
    year: int,
    machine: str = "",
    sold_as: str = "as_found",
) -> ClosedCase:
    """Every fault, line, bucket, hour and day of one machine: guessed, and what it was.

    Parameters
    ----------
    cost : CostView
        Of the machine.
    kind : Kind
        Before anything was learned: its ranges are what the tables said.
    faults : sequence of FaultGuess
    spent : sequence of LineSpent
        A line may stand in it several times: its sums count.
    age_years : float or None
        Is told to five years.
    level : str
        It was worked for.
    end : str
        keeps_working, sold, parted_out, scrapped.
    year : int
        In which it is closed.
    machine : str
        Id of its first record; empty: it stands in a file.
    sold_as : str
        as_found, running, proven, parts: the state it was offered in.

    Returns
    -------
    ClosedCase
        Words of the tables alone: nothing that was typed stands in it.
    """
    seen = [one for one in faults if one.was is not None]
    was = [bool(one.was) for one in seen]
    rows = (
        *_totals(cost, "parts" if end == "parted_out" else sold_as),
        *_buckets(cost),
        *_lines(kind, spent),
        *map(_fault, faults),
    )
    return ClosedCase(
        kind=kind.id,
        age_years=None if age_years is None else AGE_STEP * round(age_years / AGE_STEP),
        level=level,
        end=end,
        currency=cost.currency,
        year=year,
        rows=rows,
        token=token_of(machine) if machine else "",
        brier=brier([one.guessed for one in seen], was) if seen else None,
        base_brier=brier([one.base for one in seen], was) if seen else None,
    )


def told_of(
    spot: Spot,
    case: ClosedCase,
    kinds: Mapping[str, Kind],
    every: Sequence[Spent],
    outcomes: Sequence[Outcome],
    others: int,
) -> Closing:
    """A table with what is said next time.

    Parameters
    ----------
    spot : Spot
        The machine.
    case : ClosedCase
        Its table.
    kinds : mapping of str to Kind
        The library before anything was learned.
    every : sequence of Spent
        Lines of all machines that count, this one's among them.
    outcomes : sequence of Outcome
        Faults that were seen, of all machines that count.
    others : int
        Machines of others among them.

    Returns
    -------
    Closing
    """
    mine = {(row.line, row.sort) for row in case.rows if row.said is not None}
    of = {case.kind: kinds[case.kind]} if case.kind in kinds else {}
    return Closing(
        lot=spot.lot,
        lot_name=spot.lot_name,
        machine=spot.machine,
        machine_name=spot.name,
        case=case,
        seen=sum(row.sort == "fault" and row.was is not None for row in case.rows),
        moved=tuple(one for one in moved_ranges(of, every) if (one.line, one.what) in mine),
        families=families(kinds, outcomes),
        others=others,
    )


def _totals(cost: CostView, sold_as: str) -> Iterator[ComparedRow]:
    for line, words, forecast, came in (
        ("landed", say("on the floor"), cost.landed_forecast, cost.landed),
        ("restored", say("until the first good part"), cost.restored_forecast, cost.restored),
        ("hours", say("own hours"), cost.hours_forecast, cost.hours),
    ):
        yield _ranged("total", line, words, forecast, came)
    planned = cost.brings_forecast or cost.brings_then
    if planned is not None or cost.brings:
        said = planned or (cost.resale_then.get(sold_as) if cost.sold_on else None)
        yield _ranged("total", "brings", say("what it brings"), said, cost.brings)


def _buckets(cost: CostView) -> Iterator[ComparedRow]:
    for row in cost.rows:
        made = _ranged("bucket", row.bucket or NOT_PLACED, row.words, row.forecast, row.actual)
        unused = row.state in NOT_NEEDED and not row.actual
        yield replace(made, stands="not_needed") if unused else made


def _lines(kind: Kind, spent: Sequence[LineSpent]) -> Iterator[ComparedRow]:
    sums: dict[tuple[str, What], float] = {}
    for one in spent:
        sums[one.line, one.what] = sums.get((one.line, one.what), 0.0) + one.amount
    for (line, what), amount in sorted(sums.items()):
        said, words = range_of(kind, line, what), words_of(kind, line)
        if said is None or said.high <= 0.0 or words is None:
            continue
        yield ComparedRow(
            sort=what,
            line=line,
            words=words,
            guessed=middle(said),
            low=said.low,
            high=said.high,
            said=(said.low, said.likely, said.high),
            was=amount,
            stands=_stands(amount, said.low, said.high),
        )


def words_of(kind: Kind, line: str) -> str | None:
    """A line of the tables in their own words; None: it is none of them.

    Parameters
    ----------
    kind : Kind
    line : str
        E11, F15:local, J05.

    Returns
    -------
    str or None

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> words_of(mill, "E11") == mill.costs["E11"].item, words_of(mill, "my own words")
    (True, None)
    """
    if line in kind.costs:
        return kind.costs[line].item
    if line in kind.jobs:
        return kind.jobs[line].name
    fault, _, way = line.partition(":")
    known = fault in kind.faults and any(one.way == way for one in kind.fixes.get(fault, ()))
    return say("{fault}: {way}", fault=kind.faults[fault].name, way=way) if known else None


def _fault(one: FaultGuess) -> ComparedRow:
    stands: Stands = "not_seen" if one.was is None else "was" if one.was else "not"
    return ComparedRow(
        sort="fault",
        line=one.fault,
        words=one.name,
        guessed=one.guessed,
        base=one.base,
        was=None if one.was is None else float(one.was),
        stands=stands,
    )


def _ranged(sort: Sort, line: str, words: str, forecast: Range | None, came: float) -> ComparedRow:
    if forecast is None:
        return ComparedRow(sort=sort, line=line, words=words, was=came, stands="not_foreseen")
    return ComparedRow(
        sort=sort,
        line=line,
        words=words,
        guessed=forecast.p50,
        low=forecast.p10,
        high=forecast.p90,
        was=came,
        stands=_stands(came, forecast.p10, forecast.p90) if came else "nothing",
    )


def _stands(came: float, low: float, high: float) -> Stands:
    return "below" if came < low else "above" if came > high else "inside"
