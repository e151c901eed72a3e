"""A refusal on a page of catalogues: its remedy names what stands on the page, not a command."""

from __future__ import annotations

import re

from retrue.base.refusals import Problem, Refusal
from retrue.base.say import say

_OPTION = re.compile(r"--([a-z]+)")
_MONEY = ("rate",)
_COLUMNS = ("columns", "decimal", "dates")


def on_page(refusal: Refusal) -> Refusal:
    """The same refusal with remedies that a page can follow.

    Parameters
    ----------
    refusal : Refusal
        Of a door that may be a keyboard as well.

    Returns
    -------
    Refusal
        Of the same sort; where nothing names an option of a command, the same one.

    Examples
    --------
    >>> from retrue.base.refusals import Unusable
    >>> asked = "Say what one CHF is in EUR: --rate CHF=, with the number."
    >>> told = on_page(Unusable("CHF has no rate", remedy=asked))
    >>> told.remedy
    'Type the currency and what one of it costs, under Other currencies.'
    """
    problems = tuple(_problem(one) for one in refusal.problems)
    remedy = _remedy(refusal.remedy)
    if (remedy, problems) == (refusal.remedy, refusal.problems):
        return refusal
    return type(refusal)(refusal.reason, remedy=remedy, problems=problems)


def _problem(one: Problem) -> Problem:
    field = "rates" if _named(one.remedy) in _MONEY else one.where
    return Problem(field, one.what, _remedy(one.remedy))


def _named(remedy: str) -> str:
    found = _OPTION.search(f"{remedy}")
    return found[1] if found else ""


def _remedy(remedy: str) -> str:
    """Where on the page it is said."""
    option = _named(remedy)
    if option in _MONEY:
        return say("Type the currency and what one of it costs, under Other currencies.")
    if option == "columns":
        return say(
            "Say under Column by column which one names a lot, or put a heading above each column "
            "(lot, description, year, price) and send the file again."
        )
    if option in _COLUMNS:
        return say("Say which it is, under How its numbers and days are written.")
    return remedy
