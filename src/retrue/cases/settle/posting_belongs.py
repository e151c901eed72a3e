"""What a line may do to the one it belongs to: never more than is left of it. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from retrue.base.currencies import minor_units
from retrue.base.formatter import money
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.settle.entries import BRINGING, settles, tax_of, whole
from retrue.cases.settle.posting_grounds import Grounds
from retrue.records.settling import Posting


def of_problems(fact: Posting, of: Posting, on: Grounds, instead: str) -> Iterator[Problem]:
    """What a line may not do to the one it belongs to.

    Parameters
    ----------
    fact : Posting
    of : Posting
        The one it belongs to, as it counts.
    on : Grounds
    instead : str
        First id of the line it corrects; empty: it is a new one.

    Yields
    ------
    Problem
    """
    if fact.sort == "deposit_back" and of.sort != "deposit":
        yield Problem("of", say("is no deposit"), say("Name the deposit that came back."))
        return
    if fact.sort == "returned" and of.sort not in ("bought", "paid", *BRINGING):
        what = say("is a line of which nothing can be returned")
        yield Problem("of", what, say("Name what was bought or sold."))
        return
    evens = settles(fact, of)
    if not evens and fact.sort not in ("returned", "deposit_back"):
        what = say("is neither owed nor a deposit")
        yield Problem("of", what, say("Leave it out, or name what was owed."))
        return
    if fact.currency != of.currency:
        what = say("is {currency}, and the line it belongs to is in {other}",
                   currency=fact.currency, other=of.currency)  # fmt: skip
        yield Problem("currency", what, say("Give it in {other}.", other=of.currency))
        return
    if fact.posted_on < of.posted_on:
        what = say("is {day}, before {first}, the day of the line it belongs to",
                   day=fact.posted_on, first=of.posted_on)  # fmt: skip
        yield Problem("posted_on", what, say("Look at both dates again."))
    left = left_of(fact.of or "", of, on, sort=fact.sort, without=instead)
    if tax_of(whole(fact, of)).gross > left:
        what = say(
            "is {amount}, more than the {left} that are left of it",
            amount=money(fact.amount, fact.currency, minor_units(fact.currency)),
            left=money(left, fact.currency, minor_units(fact.currency)),
        )
        yield Problem("amount", what, say("Look at the line it belongs to again."))


def left_of(first_id: str, of: Posting, on: Grounds, *, sort: str, without: str = "") -> Decimal:
    """What is left of a line to be returned, given back or settled, in its currency.

    Parameters
    ----------
    first_id : str
        Of the line.
    of : Posting
        It, as it counts.
    on : Grounds
    sort : str
        ``returned`` looks at what was returned alone; of a deposit and of what is owed, all that
        was taken from it counts.
    without : str
        First id of a line that is not looked at.

    Returns
    -------
    Decimal

    Examples
    --------
    >>> from retrue.cases.settle.kept import BookKept
    >>> from retrue.cases.settle.posting_grounds import grounds
    >>> from retrue.records.facts import Shop
    >>> bill = Posting(sort="bought", posted_on="2026-11-25", what="belt", amount=Decimal("9.50"))
    >>> left_of("a", bill, grounds(BookKept(shop=Shop())), sort="returned")
    Decimal('9.50')
    """
    taken = [
        line.newest.fact
        for line in on.of.get(first_id, ())
        if line.first.id != without and _takes(line.newest.fact, of, sort)
    ]
    gross = sum((tax_of(whole(one, of)).gross for one in taken), Decimal(0))
    return tax_of(of).gross - gross


def _takes(one: Posting, of: Posting, sort: str) -> bool:
    """Whether a line takes from what is left of another for one of a sort."""
    if of.sort == "deposit":
        return True
    returns = one.sort == "returned"
    if sort == "returned":
        return returns
    return not returns or one.paid_from == "owed"  # what was struck off the bill is not paid


def standing_problems(fact: Posting, on: Grounds, instead: str) -> Iterator[Problem]:
    """What a correction may not do to the lines that stand on the corrected one.

    Parameters
    ----------
    fact : Posting
        As it is to be.
    on : Grounds
    instead : str
        First id of the line it corrects.

    Yields
    ------
    Problem
    """
    standing = [line.newest.fact for line in on.of.get(instead, ())]
    for one in standing:
        if not _may_belong(one, fact):
            what = say("is {sort}, and {what} stands on this line", sort=fact.sort, what=one.what)
            yield Problem("sort", what, say("Take that line back first."))
            return
        if one.currency != fact.currency or one.posted_on < fact.posted_on:
            what = say("does not go with {what}, which stands on this line", what=one.what)
            field = "currency" if one.currency != fact.currency else "posted_on"
            yield Problem(field, what, say("Take that line back first."))
            return
        if left_of(instead, fact, on, sort=one.sort) < 0:
            what = say("is less than what stands on this line: {what}", what=one.what)
            yield Problem("amount", what, say("Correct or take back that line first."))
            return


def _may_belong(fact: Posting, of: Posting) -> bool:
    if fact.sort == "deposit_back":
        return of.sort == "deposit"
    if fact.sort == "returned":
        return of.sort in ("bought", "paid", *BRINGING)
    return bool(settles(fact, of))
