"""While you're in there, from a plain file: parts with money, hours and a chance or a life."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.cases.assume import HOUR_ALTERNATIVE
from retrue.cases.fix.choice_lines import RenewRow, Together
from retrue.cases.fix.together_words import how_sure, kept_or_renewed, summed
from retrue.cases.prove.table import Table, read_table
from retrue.choose.together import Opening, Renewed, cheapest, parts_of
from retrue.science.ageing import chance_of_failing, renewing

COLUMNS = ("part", "money")
NUMBERS = (
    "money", "hours", "chance", "shape", "life_years", "age_years", "money_if_it_fails"
)  # fmt: skip
LIFE = ("shape", "life_years")
OVER_ZERO = frozenset(LIFE)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainPart:
    """One part of a file: a chance that it fails within the years, or a life and an age.

    Attributes
    ----------
    money_if_it_fails : float
        What its failing breaks beside, without renewing it and without the opening.
    """

    name: str
    money: float
    hours: float = 0.0
    chance: float | None = None
    shape: float | None = None
    life_years: float | None = None
    age_years: float = 0.0
    money_if_it_fails: float = 0.0


def read_parts(content: bytes, name: str) -> tuple[PlainPart, ...]:
    """Read a file of parts.

    Parameters
    ----------
    content : bytes
        CSV with columns part, money, and hours, chance or shape and life_years, age_years,
        money_if_it_fails as far as they are known.
    name : str
        For refusals.

    Returns
    -------
    tuple of PlainPart

    Raises
    ------
    Unreadable, Unusable
        No table, or rows that cannot be used; every one is named.

    Examples
    --------
    >>> [part.chance for part in read_parts(b"part,money,chance\\nbelt,40,0.3\\n", "parts.csv")]
    [0.3]
    """
    table = read_table(content, name)
    table.need(*COLUMNS)
    problems: list[Problem] = []
    rows = [_row(table, at, problems) for at in range(len(table))]
    if problems:
        raise Unusable(
            say("some parts of {name} cannot be weighed", name=name),
            remedy=say("Correct the cells that are named."),
            problems=tuple(problems),
        )
    return tuple(rows)


def together_file(
    rows: Sequence[PlainPart],
    years: float,
    reopening: float,
    *,
    rate: float = HOUR_ALTERNATIVE,
    currency: str = "EUR",
) -> Together:
    """What to renew of parts that lie open together.

    Parameters
    ----------
    rows : sequence of PlainPart
    years : float
        Ahead; chances of the file are for the same years.
    reopening : float
        What opening again costs, all in.
    rate : float
        What an own hour is worth, money an hour.
    currency : str

    Returns
    -------
    Together

    Raises
    ------
    Unusable
        Years or a cost of opening that are none.

    Examples
    --------
    >>> relays = [PlainPart(name=f"relay {n}", money=9.0, chance=0.03) for n in range(24)]
    >>> found = together_file(relays, 5.0, 600.0)
    >>> sum(row.renew for row in found.rows), round(found.cost), round(found.cost_none)
    (24, 216, 318)
    """
    _check(years, reopening)
    old, new = zip(*(_chances(row, years) for row in rows), strict=True) if rows else ((), ())
    now = [row.money + row.hours * rate for row in rows]
    failing = [cost + row.money_if_it_fails for cost, row in zip(now, rows, strict=True)]
    parts = parts_of(now, np.array(old), failing=failing, new=np.array(new))
    behind_all = Opening(np.array([reopening]), np.full(len(rows), fill_value=True))
    best = cheapest(parts, [behind_all])
    told = [row for row, renew in zip(rows, best.renew, strict=True) if renew]
    order = np.argsort(~best.renew, kind="stable")
    return Together(
        machine_name="",
        place="",
        place_name="",
        years=years,
        rows=tuple(_told(rows[at], at, best, float(parts.kept[at, 0]), failing[at] + reopening,
                         now[at], currency, years) for at in order),
        cost=best.cost,
        cost_none=best.cost_none,
        cost_all=best.cost_all,
        reopening=reopening,
        exact=best.exact,
        currency=currency,
        words=summed(
            [row.name for row in told],
            money_now=sum(row.money for row in told),
            hours_now=sum(row.hours for row in told),
            best=best,
            years=years,
            currency=currency,
        ),
        sure=best.sure,
        how_sure=how_sure(best),
        cautions=(
            say(
                "This helps you plan. It does not allow anything and does not say a machine is "
                "safe. (local machinery and electrical law; local code and licensed practice)"
            ),
        ),
        assumed=_assumed(rows, rate, currency),
    )  # fmt: skip


def _told(
    row: PlainPart,
    at: int,
    best: Renewed,
    risk: float,
    failing: float,
    now: float,
    currency: str,
    years: float,
) -> RenewRow:
    ages = row.shape is not None and row.life_years is not None and now > 0
    when = renewing(row.shape or 1.0, row.life_years or 1.0, now, failing).age if ages else None
    kept, new = float(best.if_kept[at]), float(best.if_renewed[at])
    return RenewRow(
        id=str(at + 1),
        name=row.name,
        place="",
        renew=bool(best.renew[at]),
        risk=risk,
        age_years=row.age_years if ages else None,
        money=row.money,
        hours=row.hours,
        if_kept=kept,
        if_renewed=new,
        renew_at_years=when,
        why=kept_or_renewed(risk, kept, new, years, currency),
    )


def _chances(row: PlainPart, years: float) -> tuple[float, float]:
    """Chance that it fails kept, and renewed; of a bare chance, a new one does not fail."""
    if row.chance is not None or row.shape is None or row.life_years is None:
        return row.chance or 0.0, 0.0
    old = chance_of_failing([row.age_years, 0.0], years, row.shape, row.life_years)
    return float(old[0]), float(old[1])


def _check(years: float, reopening: float) -> None:
    problems = [
        Problem(field, say("{value} is not {what}", value=short(value), what=what))
        for field, value, good, what in (
            ("years", years, 0 < years <= 50, say("over zero and up to 50")),
            ("reopening", reopening, 0 <= reopening < np.inf, say("money from zero up")),
        )
        if not good
    ]
    if problems:
        raise Unusable(
            say("this cannot be weighed"),
            remedy=say("Say the years ahead, and what opening again costs."),
            problems=tuple(problems),
        )


def _assumed(rows: Sequence[PlainPart], rate: float, currency: str) -> tuple[str, ...]:
    lines = [say("Weighed for parts that work now, each failing at most once.")]
    if any(row.hours for row in rows):
        lines.append(
            say("An own hour counts {rate} {currency}.", rate=short(rate), currency=currency)
        )
    if any(row.chance is not None for row in rows):
        lines.append(say("Where only a chance was given, a new part is taken not to fail."))
    return tuple(lines)


def _row(table: Table, at: int, problems: list[Problem]) -> PlainPart:
    before = len(problems)
    found = dict(_numbers(table, at, problems))
    name = table.text("part")[at]
    where = say("row {row}", row=table.rows[at])
    if not name:
        problems.append(Problem(where, say("the part has no name"), say("Name it.")))
    if "money" not in found and len(problems) == before:
        problems.append(Problem(table.where(at, "money"), say("the cell is empty")))
    if len(problems) == before:
        problems += _chance_or_life(found, where)
    return PlainPart(name=name, **{"money": 0.0, **found})


def _chance_or_life(found: dict[str, float], where: str) -> Iterator[Problem]:
    remedy = say("Give a chance within the years, or a shape and a life in years.")
    life = [key for key in LIFE if key in found]
    if "chance" in found and life:
        yield Problem(where, say("a chance and a life are given"), remedy)
    elif "chance" not in found and len(life) < len(LIFE):
        yield Problem(where, say("neither a chance nor a life is given"), remedy)


def _numbers(table: Table, at: int, problems: list[Problem]) -> Iterator[tuple[str, float]]:
    """The numbers that stand in a row; an empty cell says nothing."""
    for column in NUMBERS:
        cell = table.text(column)[at] if table.has(column) else ""
        if not cell:
            continue
        try:
            value = float(_number(cell, table.where(at, column)))
        except Unusable as refusal:
            problems += refusal.problems
            continue
        low_enough = value <= 1.0 if column == "chance" else value < 1e12
        if value < 0 or not low_enough or (column in OVER_ZERO and value == 0):
            what = say("{cell} cannot be", cell=f"“{cell}”")
            problems.append(Problem(table.where(at, column), what, _range(column)))
            continue
        yield column, value


def _number(cell: str, where: str) -> Decimal:
    return number(cell, field=where)


def _range(column: str) -> str:
    if column == "chance":
        return say("A chance lies between 0 and 1: write 20 per cent as 0.2.")
    return say("Over zero.") if column in OVER_ZERO else say("From zero up.")
