"""The line of offers as its picture takes it, and the states as their rules do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from retrue.cases.settle.sale_lines import Sale, StateRow
from retrue.cases.sheet import Spread

STEP_DAYS = 7
MOST_OFFERS = 12  # drawn as points


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferPoint:
    """One offer: its day and how much, in the shop's currency."""

    on: date
    amount: float
    whom: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OffersDrawing:
    """Everything of one picture.

    Attributes
    ----------
    days : tuple of date
        A week apart, and the last one.
    take, unsold : tuple of float
        The lowest offer to take on each; the chance that it stands there still.
    ask, dump : float
    """

    days: tuple[date, ...]
    take: tuple[float, ...]
    unsold: tuple[float, ...]
    ask: float
    dump: float
    offers: tuple[OfferPoint, ...]
    currency: str


def offers_drawing(sale: Sale) -> OffersDrawing | None:
    """The falling line and the offers of one sale.

    Parameters
    ----------
    sale : Sale

    Returns
    -------
    OffersDrawing or None
        None where it is not waited for.
    """
    if len(sale.line) < STEP_DAYS:
        return None
    weekly = list(sale.line[::STEP_DAYS])
    if weekly[-1] is not sale.line[-1]:
        weekly.append(sale.line[-1])
    known = [one for one in sale.offers if one.amount is not None][:MOST_OFFERS]
    return OffersDrawing(
        days=tuple(date.fromisoformat(one.on) for one in weekly),
        take=tuple(one.take for one in weekly),
        unsold=tuple(one.unsold for one in weekly),
        ask=set_ask(sale),
        dump=sale.answer.dump,
        offers=tuple(
            OfferPoint(
                on=date.fromisoformat(one.record.fact.offered_on),
                amount=one.amount or 0.0,
                whom=one.record.fact.whom,
            )
            for one in known
        ),
        currency=sale.currency,
    )


def set_ask(sale: Sale) -> float:
    """What is asked: the owner's figure, else the suggestion.

    Parameters
    ----------
    sale : Sale

    Returns
    -------
    float
        In the shop's currency.
    """
    return float(sale.kept.fact.ask) if sale.kept is not None else sale.answer.ask


def spread_of(row: StateRow) -> Spread:
    """What a state brings, as a rule shows it.

    Parameters
    ----------
    row : StateRow

    Returns
    -------
    Spread
        One chance in ten below its low end, and above its high one.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from retrue.cases.sheet import Band
    >>> spread_of(SimpleNamespace(brings=Band(p10=1.0, p50=2.0, p90=4.0))).even
    2.0
    """
    return Spread(low=row.brings.p10, even=row.brings.p50, high=row.brings.p90)
