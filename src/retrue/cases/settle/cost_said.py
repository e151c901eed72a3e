"""What a cost says in sentences: the answer, the one thing to do next, the fine print."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.settle.cost_lines import CostView, Range
from retrue.cases.settle.cost_ranges import NOTHING
from retrue.cases.settle.cost_words import bucket_words

PRICES = ("price", "premium", "tax")
REPAIRS = ("parts", "outside")
PLACE, RATES, EVENINGS, STOP, BOOK, LINES = "place", "rates", "hours", "stop", "book", "lines"


def answer_of(view: CostView) -> str:
    """Where it stands, and what was expected, in one sentence.

    Parameters
    ----------
    view : CostView

    Returns
    -------
    str
    """
    told = {
        "money": formatter.money(view.restored, view.currency),
        "hours": formatter.number(view.hours),
        "expected": span(view.restored_forecast, view.currency),
    }
    if view.machine:
        return say("The {machine} stands at {money} and {hours} h; expected {expected}.",
                   machine=view.machine_name, **told)  # fmt: skip
    return say("{lot} stands at {money} and {hours} h; expected {expected}.",
               lot=view.lot_name[:1].upper() + view.lot_name[1:], **told)  # fmt: skip


def span(told: Range, currency: str) -> str:
    """Good luck to bad luck, in words.

    Parameters
    ----------
    told : Range
    currency : str

    Returns
    -------
    str

    Examples
    --------
    >>> told = Range(p10=8900.0, p50=11000.0, p90=14200.0, mean=11300.0)
    >>> span(told, "EUR").replace(formatter.THIN, " ")
    '€ 8 900 to € 14 200'
    """
    low, high = formatter.money(told.p10, currency), formatter.money(told.p90, currency)
    return low if low == high else say("{low} to {high}", low=low, high=high)


def end_words(view: CostView) -> str:
    """What it will have cost in the end, and how that stands to what was expected.

    Parameters
    ----------
    view : CostView

    Returns
    -------
    str
    """
    told = {
        "end": formatter.money(view.restored_end.p50, view.currency),
        "span": span(view.restored_end, view.currency),
    }
    if view.still.p90 < NOTHING:
        return {
            "within": say("Nothing more is to come: {end}, within what was expected.", **told),
            "above": say("Nothing more is to come: {end}, above what was expected.", **told),
            "below": say("Nothing more is to come: {end}, below what was expected.", **told),
            "": say("Nothing more is to come: {end}.", **told),
        }[view.against]
    return {
        "within": say("In the end about {end} ({span}): within what was expected.", **told),
        "above": say("In the end about {end} ({span}): above what was expected.", **told),
        "below": say("In the end about {end} ({span}): below what was expected.", **told),
        "": say("In the end about {end} ({span}).", **told),
    }[view.against]


def next_of(view: CostView, open_evenings: int) -> tuple[str, str, str]:
    """The one thing to do next, why, and where.

    Parameters
    ----------
    view : CostView
    open_evenings : int
        Questions about own hours that wait.

    Returns
    -------
    next, why, at : str
        ``at``: stop, rates, place, hours, lines, book.
    """
    if view.stop is not None and view.stop.best != "go_on":
        return (
            say("Before another sum goes into it: go on, or stop?"),
            say("By what is still to come, stopping is better; what is spent counts for nothing."),
            STOP,
        )
    if view.missing_rates:
        currency, day = view.missing_rates[0]
        return (
            say("Type the rate of {currency} for {day}", currency=currency, day=day),
            say("A line in that currency counts with nothing until there is one."),
            RATES,
        )
    if view.unplaced:
        return (
            say("Say where the money of one line went")
            if view.unplaced == 1
            else say("Say where the money of {count} lines went", count=view.unplaced),
            say("Until then it stands beside what was expected, not against it."),
            PLACE,
        )
    if open_evenings:
        return (
            say("Answer the evening that waits")
            if open_evenings == 1
            else say("Answer {count} evenings", count=open_evenings),
            say("Own hours are part of what it costs; each takes one tap."),
            EVENINGS,
        )
    over = [row for row in view.rows if row.against == "above" or row.state == "not_foreseen"]
    if over:
        worst = max(over, key=lambda row: row.end.p50 - (row.forecast.p90 if row.forecast else 0))
        return (
            say("Look at {what}", what=worst.words),
            say("It goes furthest over what was expected; its lines say for what."),
            LINES,
        )
    return (
        say("Put the next bill in the book"),
        say("What is owed and not written down is missing from the sum."),
        BOOK,
    )


def assumed_of(view: CostView, by_card: float) -> tuple[str, ...]:
    """What nobody said, and what stands for it.

    Parameters
    ----------
    view : CostView
    by_card : float
        Own hours of the lot that only cards tell.

    Returns
    -------
    tuple of str
    """
    told = [*_unlined(view), *behind_of(view)]
    if not view.hours:
        told.append(say("Nobody told any own hours, and no card has any: they count as none."))
    elif by_card >= NOTHING:
        told.append(say("{hours} h of the lot are known from cards alone.",
                        hours=formatter.number(by_card, 1)))  # fmt: skip
    return tuple(told)


def behind_of(view: CostView) -> tuple[str, ...]:
    """What lies behind and is not in the book, its price first: every page of money says it so.

    Parameters
    ----------
    view : CostView

    Returns
    -------
    tuple of str
    """
    told = []
    stands = [row for row in view.rows if row.assumed is not None]
    fixed = PRICES if any(row.bucket == "price" for row in stands) else ()
    to_come = [row for row in view.rows if row.bucket in PRICES and row.still is not None]
    if fixed:
        told.append(_price_words(view, sum(
            row.assumed.mean for row in stands if row.bucket in fixed and row.assumed is not None
        )))  # fmt: skip
    elif to_come:
        told.append(_to_pay_words(view, sum(row.still.mean for row in to_come if row.still)))
    elif view.lot_price is None and not any(row.bucket == "price" for row in view.rows):
        told.append(say("No price is known: it is taken as nothing, and comes off."))
    missing = [row.words for row in stands if row.bucket not in fixed]
    if missing:
        told.append(
            say("Nothing is in the book for {what}: in the end's sum it stands from nothing up to "
                "what was expected. A line of 0 says that it cost nothing.",
                what=", ".join(map(str, missing)))
        )  # fmt: skip
    return tuple(told)


def _unlined(view: CostView) -> Iterator[str]:
    """Money for repairs that stands on no line takes nothing off what is still to come."""
    left = {row.bucket for row in view.rows if row.still is not None and row.still.p90 >= NOTHING}
    money = sum(
        row.spent + row.owed for row in view.lines
        if not row.line and row.bucket in REPAIRS and row.bucket in left
    )  # fmt: skip
    if money >= NOTHING:
        yield say(
            "{money} for parts and outside work stand on no line: what is still to come is not "
            "less for it. Say for which fault it was.",
            money=formatter.money(money, view.currency),
        )


def _price_words(view: CostView, part: float) -> str:
    """The price that stands for the one that is not in the book: the lot's, and this one's part."""
    given = _price_given(view, part)
    if not view.machine or not view.price_split:
        return say("The price is not in the book: {price} stands for it, {part} with all that goes "
                   "up with it, at most.", **given)  # fmt: skip
    return say("The price is not in the book: of the {price} for the whole lot {part} stands for "
               "it, with all that goes up with it, at most; split {split}.", **given)  # fmt: skip


def _to_pay_words(view: CostView, part: float) -> str:
    """The same before it is bought."""
    given = _price_given(view, part)
    if not view.machine or not view.price_split:
        return say("It is not bought yet: {price}, {part} with all that goes up with it, is still "
                   "to come.", **given)  # fmt: skip
    return say("It is not bought yet: of the {price} for the whole lot {part} is still to come, "
               "with all that goes up with it; split {split}.", **given)  # fmt: skip


def _price_given(view: CostView, part: float) -> dict[str, str]:
    price = formatter.money(view.lot_price or 0.0, view.currency)
    frozen = view.forecast_from == "frozen"
    return {
        "price": say("{price} frozen", price=price) if frozen
        else say("{price} asked", price=price),
        "part": formatter.money(part, view.currency),
        "split": view.price_split,
    }  # fmt: skip


def fine_of(view: CostView, landed: Sequence[str]) -> tuple[str, ...]:
    """How it is counted.

    Parameters
    ----------
    view : CostView
    landed : sequence of str
        Buckets that are paid until it stands on the floor.

    Returns
    -------
    tuple of str
    """
    told = [
        say("An estimate for planning. The band holds 8 in 10 of the ways it could go, by judged "
            "chances and prices."),
        say("On the floor: {what}.", what=", ".join(bucket_words(one) for one in landed)),
        say("Tax that comes back is left out; tax that does not stands with what it was paid on."),
        say("Still to come is reckoned from what is known today, as if it is gone through with; "
            "lines that are paid or ordered count no more."),
    ]  # fmt: skip
    if view.running:
        told.append(say("What running it took, {money}, is in no sum here.",
                        money=formatter.money(view.running, view.currency)))  # fmt: skip
    told.append(say("By week each sum counts as what it costs, on the day it was paid: tax that "
                    "comes back and deposits are in no week."))  # fmt: skip
    if view.cash.floor_a_month >= NOTHING:
        told.append(say("The floor it stands on and its rounds take {money} every month.",
                        money=formatter.money(view.cash.floor_a_month, view.currency)))  # fmt: skip
    if view.nobodys:
        told.append(say("{money} belong to the lot and stand on no machine.",
                        money=formatter.money(view.nobodys, view.currency)))  # fmt: skip
    return tuple(told)
