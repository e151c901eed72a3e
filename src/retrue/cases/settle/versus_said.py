"""What is said of one other way beside its numbers: never and always are words, not gaps."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.settle.versus_lines import RateRow, VersusRow, Years


def row_words(row: VersusRow) -> tuple[str, ...]:
    """Everything that is to be said of one other way, a sentence each.

    Parameters
    ----------
    row : VersusRow

    Returns
    -------
    tuple of str
    """
    return tuple(_row_words(row))


def _row_words(row: VersusRow) -> Iterator[str]:
    yield row.switching.words
    if row.hours_even is not None:
        yield row.hours_even.words
        yield from _hours_band(row)
    if row.days is not None:
        yield row.days.words
    if row.way != "nothing":
        yield payback_words(row.payback)
        words = brings_words(row.rate)
        if words:
            yield words


def payback_words(years: Years | None) -> str:
    """When the money laid out more is back.

    Parameters
    ----------
    years : Years or None

    Returns
    -------
    str

    Examples
    --------
    >>> payback_words(Years(p10=2.0, p50=3.2, p90=None, never=0.2))
    'Back after 3.2 years, with luck after 2.0; not at all in about 1 in 5.'
    >>> payback_words(None)
    'Nothing more is laid out for ours at the start.'
    """
    if years is None:
        return say("Nothing more is laid out for ours at the start.")
    if years.p50 is None or years.p10 is None:
        return say("More likely than not it is never back within the years looked at.")
    low, even = formatter.number(years.p10, 1), formatter.number(years.p50, 1)
    if years.p90 is None:
        return say("Back after {even} years, with luck after {low}; not at all in {odds}.",
                   even=even, low=low, odds=formatter.odds(years.never))  # fmt: skip
    return say("Back after {even} years, with luck after {low}, with bad luck after {high}.",
               even=even, low=low, high=formatter.number(years.p90, 1))  # fmt: skip


def brings_words(rate: RateRow) -> str:
    """What the money laid out more brings a year, or what the money kept in hand costs.

    Parameters
    ----------
    rate : RateRow

    Returns
    -------
    str
        Empty where too few ways it may turn out have just one rate.

    Examples
    --------
    >>> brings_words(RateRow(p10=0.1, p50=0.2, p90=0.3, none=0, several=0, turned=0, roots=(),
    ...                      lays_out_more=True)).replace(formatter.THIN, " ")
    'What is laid out more brings 20 % a year, in eight ways of ten between 10 % and 30 %.'
    """
    if rate.p50 is None or rate.p10 is None or rate.p90 is None:
        return ""
    low, even, high = (
        f"{formatter.number(100 * one)}{formatter.THIN}%" for one in (rate.p10, rate.p50, rate.p90)
    )
    if rate.lays_out_more:
        return say("What is laid out more brings {even} a year, in eight ways of ten between "
                   "{low} and {high}.", even=even, low=low, high=high)  # fmt: skip
    if rate.p50 <= 0.0:
        return say("What is kept in hand at the start need not all be given back later.")
    return say("What is kept in hand at the start costs {even} a year later on, in eight ways of "
               "ten between {low} and {high}.", even=even, low=low, high=high)  # fmt: skip


def _hours_band(row: VersusRow) -> Iterator[str]:
    """How far the hours at which both are alike may lie apart."""
    even = row.hours_even
    if even is None or even.at is None:
        return
    never, always = say("never"), say("at any hours")
    nothing, beyond = (always, never) if even.from_there else (never, always)
    low, high = (
        beyond if one is None else say("{hours} h", hours=formatter.number(one)) if one else nothing
        for one in (row.hours_low, row.hours_high)
    )
    if even.from_there:
        yield say("With luck {low}, with bad luck {high}.", low=low, high=high)
    else:
        yield say("With bad luck {low}, with luck {high}.", low=low, high=high)
