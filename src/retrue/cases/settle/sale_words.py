"""The states of a sale in the words of a page."""

from __future__ import annotations

from retrue.base.formatter import money
from retrue.base.say import say
from retrue.cases.settle.sale_figures import figure_words
from retrue.cases.settle.sale_lines import AddRow
from retrue.records.settling import BuyerAsked, ForSale, Offered, Promised, RunFigure, Settling

MOST_EACH = 100.0  # what a unit of money is said to bring at most


def state_words(state: str) -> str:
    """A state in words.

    Parameters
    ----------
    state : str
        as_it_stands, as_found, running, proven, like_new, parts.

    Returns
    -------
    str

    Examples
    --------
    >>> state_words("as_it_stands")
    'as it stands'
    """
    return {
        "as_it_stands": say("as it stands"),
        "as_found": say("as found"),
        "running": say("running"),
        "proven": say("proven"),
        "like_new": say("like new"),
        "parts": say("taken apart, in parts"),
    }[state]


def sold_as_words(sold_as: str) -> str:
    """As what it is listed, in words.

    Parameters
    ----------
    sold_as : str
        as_found, running, proven, parts.

    Returns
    -------
    str

    Examples
    --------
    >>> sold_as_words("parts")
    'for parts or repair'
    """
    return {
        "as_found": say("as found"),
        "running": say("running"),
        "proven": say("proven"),
        "parts": say("for parts or repair"),
    }[sold_as]


def verdict(row: AddRow) -> str:
    """Whether a deed pays.

    Parameters
    ----------
    row : AddRow

    Returns
    -------
    str
        A step that does not pay by itself but leads to what pays is needed.
    """
    if row.pays:
        return say("pays")
    return say("needed") if row.together else say("does not pay")


def brings_words(row: AddRow, currency: str) -> str:
    """What each unit of money put in brings, in that money.

    Parameters
    ----------
    row : AddRow
    currency : str

    Returns
    -------
    str

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> brings_words(SimpleNamespace(per_euro=2.5), "EUR")
    '€\u202f2.50'
    """
    if row.per_euro >= MOST_EACH:
        return say("≥ {sum}", sum=money(MOST_EACH, currency))
    return money(row.per_euro, currency, 2)


def said_words(fact: Settling) -> str:
    """What was just said of a sale, for the line that offers to take it back.

    Parameters
    ----------
    fact : record of money and sale

    Returns
    -------
    str

    Examples
    --------
    >>> said_words(BuyerAsked(lot="1", machine="2", whom="a school", asked_on="2026-11-26",
    ...                       question="Which oil?"))
    'a school asked: Which oil?'
    """
    if isinstance(fact, ForSale):
        return say("listed {words}, ask {ask}", words=sold_as_words(fact.sold_as),
                   ask=money(fact.ask, fact.currency))  # fmt: skip
    if isinstance(fact, Offered):
        return _offer_words(fact)
    if isinstance(fact, RunFigure):
        return say("your own figure of {words}", words=figure_words(fact.item))
    if isinstance(fact, Promised):
        kept = say("kept on {day}", day=fact.kept_on) if fact.kept_on else say("promised")
        return say("{kept}: {what}", kept=kept, what=fact.what)
    if isinstance(fact, BuyerAsked):
        told = fact.answer or fact.question
        word = say("answered") if fact.answer else say("{whom} asked", whom=fact.whom)
        return say("{word}: {told}", word=word, told=told)
    return getattr(fact, "what", "")


def _offer_words(fact: Offered) -> str:
    answered = {
        "taken": say("taken"), "refused": say("refused"), "waiting": say("kept warm"),
    }.get(fact.answer)  # fmt: skip
    told = say("the offer of {whom}, {sum}", whom=fact.whom,
               sum=money(fact.amount, fact.currency, 2))  # fmt: skip
    return say("{offer}: {answered}", offer=told, answered=answered) if answered else told
