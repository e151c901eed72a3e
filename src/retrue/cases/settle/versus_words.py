"""Sentences of whether it was worth it."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base import formatter
from retrue.base.say import say
from retrue.books.break_even import BreakEven
from retrue.cases.fix.amounts import about
from retrue.cases.settle.hour_rate_whole import Whole
from retrue.cases.settle.versus_flows import Gap
from retrue.cases.settle.versus_lines import VersusRow, VersusView

LITTLE = 0.05  # of the money put in: below it two ways are called as good as each other


def other_words(name: str) -> str:
    """Another way as a sentence names it.

    Parameters
    ----------
    name : str

    Returns
    -------
    str

    Examples
    --------
    >>> other_words("buy the work in"), other_words("a new one")
    ('buying the work in', 'a new one')
    """
    return say("buying the work in") if name == say("buy the work in") else name


def answer(view: VersusView) -> str:
    """Whether it was worth it, against the strongest other way.

    Parameters
    ----------
    view : VersusView
        With its rows.

    Returns
    -------
    str
    """
    if not view.rows:
        return say("There is nothing to hold {name} against.", name=view.machine_name)
    row = view.rows[0]
    told = {
        "name": view.machine_name,
        "other": other_words(row.name),
        "gap": about(abs(row.gap.mean), view.currency),
        "odds": formatter.odds(row.chance),
    }
    if view.gone:
        return _gone(view, row)
    if _alike(view, row):
        return say("{name} is about as good as {other}; it turns out better in {odds}.", **told)
    if row.gap.mean > 0.0:
        return say(
            "{name} is worth it: ahead of {other} by about {gap}; it turns out better in {odds}.",
            **told,
        )
    return say(
        "{name} is not worth it: behind {other} by about {gap}; it turns out better in {odds}.",
        **told,
    )


def _gone(view: VersusView, row: VersusRow) -> str:
    gap = formatter.money(abs(row.gap.mean), view.currency)
    told = {"name": view.machine_name, "gap": gap, "hours": formatter.number(view.hours_so_far)}
    if view.worked:
        told["gap"] = about(abs(row.gap.mean), view.currency)
        if row.gap.mean > 0.0:
            return say("{name} is gone and left about {gap}, what its work saved counted, {hours} "
                       "own hours paid.", **told)  # fmt: skip
        return say("{name} is gone and took about {gap} more than it brought and its work saved, "
                   "{hours} own hours paid.", **told)  # fmt: skip
    if row.gap.mean > 0.0:
        return say("{name} is gone and left {gap}, {hours} own hours paid.", **told)
    return say(
        "{name} is gone and took {gap} more than it brought, {hours} own hours paid.", **told
    )


def _alike(view: VersusView, row: VersusRow) -> bool:
    return abs(row.gap.mean) < LITTLE * (view.money_so_far + view.money_behind + view.money_still)


def flips(view: VersusView) -> str:
    """Whether the verdict hangs on what an own hour is worth.

    Parameters
    ----------
    view : VersusView

    Returns
    -------
    str
        Empty where it does not, over the three values.
    """
    if not view.rows:
        return ""
    row = view.rows[0]
    values = row.by_hour_value
    if min(values.zero, values.full) * max(values.zero, values.full) >= 0.0:
        return ""
    return say(
        "It hangs on what an own hour is worth: {zero} at nothing, {full} at {rate} an hour. "
        "{words}",
        zero=formatter.money(values.zero, view.currency, signed=True),
        full=formatter.money(values.full, view.currency, signed=True),
        rate=formatter.money(view.hour_values[1], view.currency),
        words=row.switching.words,
    )


def next_step(view: VersusView) -> tuple[str, str]:
    """The one act that this answer asks for, and the last part of its address.

    Parameters
    ----------
    view : VersusView

    Returns
    -------
    words, address : str
    """
    if view.gone:
        if view.closed:
            return say("See what we guessed, and what was."), "close"
        return say("Close it: what we guessed, what was."), "close"
    if not view.rows or view.plan.startswith("sell") or view.plan == "part_out":
        return say("See what to ask, take and let it go for."), "sell"
    if view.flips or view.rows[0].switching.says == "at":
        return say("See what an hour of it costs, and give the figures you know."), "rate"
    return say("See what it cost, against what was expected."), "cost"


def switching_words(name: str, found: BreakEven, currency: str) -> str:
    """What an own hour may be worth for ours to be the better one.

    Parameters
    ----------
    name : str
        Of the other way.
    found : BreakEven
    currency : str

    Returns
    -------
    str

    Examples
    --------
    >>> switching_words("a new one", BreakEven("never"), "EUR")
    'Ours is behind a new one whatever an own hour is worth.'
    """
    other = other_words(name)
    if found.says == "always":
        return say("Ours is ahead of {other} whatever an own hour is worth.", other=other)
    if found.says == "never":
        return say("Ours is behind {other} whatever an own hour is worth.", other=other)
    rate = formatter.money(found.at or 0.0, currency, 0 if (found.at or 0.0) >= 10 else 1)
    if found.from_there:
        return say("Ours is ahead of {other} once an own hour is worth {rate}.",
                   other=other, rate=rate)  # fmt: skip
    return say("Ours is ahead of {other} while an own hour is worth less than {rate}.",
               other=other, rate=rate)  # fmt: skip


def hours_words(name: str, found: BreakEven) -> str:
    """Hours of work a year at which the two are as good as each other.

    Parameters
    ----------
    name : str
        Of the other way.
    found : BreakEven

    Returns
    -------
    str

    Examples
    --------
    >>> hours_words("buy the work in", BreakEven("at", 150.0, True))
    'Ours is ahead of buying the work in from 150 h of work a year on.'
    """
    other = other_words(name)
    if found.says == "always":
        return say("Ours is ahead of {other} at any hours of work.", other=other)
    if found.says == "never":
        return say("Ours is behind {other} at any hours of work.", other=other)
    hours = formatter.number(found.at or 0.0)
    if found.from_there:
        return say("Ours is ahead of {other} from {hours} h of work a year on.",
                   other=other, hours=hours)  # fmt: skip
    return say("Ours is ahead of {other} up to {hours} h of work a year.",
               other=other, hours=hours)  # fmt: skip


def days_words(name: str, found: BreakEven, a_year: float, day: float, currency: str) -> str:
    """Lost days a year that eat up what ours is ahead by.

    Parameters
    ----------
    name : str
        Of the other way.
    found : BreakEven
    a_year : float
        Money a year by which ours is ahead.
    day : float
        Money of a lost day.
    currency : str

    Returns
    -------
    str

    Examples
    --------
    >>> days_words("a new one", BreakEven("never"), -100.0, 480.0, "EUR")
    'Ours is not ahead of a new one: there is nothing for lost days to eat.'
    """
    other = other_words(name)
    if found.says == "never":
        return say("Ours is not ahead of {other}: there is nothing for lost days to eat.",
                   other=other)  # fmt: skip
    if found.says == "always":
        return say("A lost day costs nothing: ours stays ahead of {other}.", other=other)
    at = found.at or 0.0
    return say(
        "{days} days more a year, lost when there was work for it, eat up the {gap} a year by "
        "which ours is ahead of {other}.",
        days=formatter.number(at, 0 if at >= 10 else 1),
        gap=about(a_year, currency),
        other=other,
    )


def worked_words(whole: Whole, hours: float, gap: Gap) -> Iterator[str]:
    """What is taken for the work of a machine that is gone.

    Parameters
    ----------
    whole : Whole
    hours : float
        Of work a year, on average.
    gap : Gap
        Against not having bought it.

    Yields
    ------
    str
        Nothing where it did no work.
    """
    if whole.worked is not None and hours:
        yield say(
            "It worked from {first} until {last}: nobody counted the hours, so {hours} h a year "
            "are taken, as it was needed, each of which saved {money}.",
            first=whole.spent.worked_from,
            last=whole.spent.sold_on or whole.spent.ended_on,
            hours=formatter.number(hours),
            money=formatter.money(float(gap.ours.an_hour.mean()), whole.currency),
        )


def yearly_words(name: str, found: BreakEven, years: float) -> str:
    """What present value says of the hours that are told by the money of a year.

    Parameters
    ----------
    name : str
        Of buying in.
    found : BreakEven
        Hours of work a year, by present value.
    years : float
        Looked ahead.

    Returns
    -------
    str
    """
    return say(
        "Hours of work and lost days against {other} go by the money of one year, as in the hour "
        "rate: capital, floor, running, the operator's hour. By present value over {years} years, "
        "the time before the first good part among them: {words}",
        other=other_words(name),
        years=formatter.number(years),
        words=hours_words(name, found),
    )


def fine_print(view: VersusView, wage: float) -> tuple[str, ...]:
    """How the sums are made, and where a rate has no one answer.

    Parameters
    ----------
    view : VersusView
    wage : float
        Of the operator, an hour, on average.

    Returns
    -------
    tuple of str
    """
    return tuple(_fine(view, wage))


def _fine(view: VersusView, wage: float) -> Iterator[str]:
    if view.worked:
        yield say("Money and own hours as they stand in the book; the work it did is taken as it "
                  "was needed, and nobody counted it.")  # fmt: skip
    elif view.gone:
        yield say("All as it was: money and hours as they stand in the book, nothing is drawn.")
    else:
        yield say(
            "Estimate for planning: what is spent counts as it was, what is to come as it may turn "
            "out. Differences are present values at {share} a year over {years} years; money of "
            "a year is taken at its end for years until it is back and for what it brings a year.",
            share=f"{formatter.number(100 * view.interest, 1)}{formatter.THIN}%",
            years=formatter.number(view.horizon),
        )
        yield say(
            "Own hours are those put into the machine; the hour at the machine itself stays at "
            "{rate}. A lost day is {hours} h of work bought in, less running and the operator's "
            "hour: he does other work meanwhile. A day on which it stands, work or none, loses "
            "its part of {days} working days.",
            rate=formatter.money(wage, view.currency, 0 if wage == round(wage) else 2),
            hours=8,
            days=220,
        )
    for row in view.rows:
        yield from _rates(view, row)


def _rates(view: VersusView, row: VersusRow) -> Iterator[str]:
    """Where the rate a year has no answer, or more than one."""
    rate, other = row.rate, other_words(row.name)
    whole = formatter.number(view.worlds)
    if rate.several:
        yield say(
            "Against {other}, in {count} of {worlds} ways it may turn out more than one rate a "
            "year makes both as good as each other: there the present value decides, and no rate "
            "is told.",
            other=other,
            count=formatter.number(rate.several),
            worlds=whole,
        )
    if rate.none:
        yield say(
            "Against {other}, in {count} of {worlds} ways it may turn out no rate a year makes "
            "both as good as each other.",
            other=other,
            count=formatter.number(rate.none),
            worlds=whole,
        )
    if rate.turned and not view.gone:
        text = (
            say("more is laid out for ours at the start")
            if not rate.lays_out_more
            else say("less is laid out for ours at the start")
        )
        yield say(
            "Against {other}, in {count} of {worlds} ways it may turn out {text}, other than on "
            "average: they have no part in the years and the rate.",
            other=other,
            count=formatter.number(rate.turned),
            worlds=whole,
            text=text,
        )
    if len(rate.roots) > 1:
        yield say(
            "Against {other} the payments on average have more than one such rate: {rates}. None "
            "of them is what it brings.",
            other=other,
            rates=", ".join(
                f"{formatter.number(100 * one, 1)}{formatter.THIN}%" for one in rate.roots
            ),
        )
