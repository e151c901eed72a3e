"""The book in plain words: what happened, where the money was, what stands where. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from retrue.base.say import say

SORTS: Mapping[str, str] = {
    "bought": "bought",
    "paid": "paid",
    "sold": "sold",
    "received": "money came in",
    "returned": "money back",
    "deposit": "deposit given",
    "deposit_back": "deposit came back",
    "moved": "part moved into a machine",
    "exchanged": "money changed",
}
"""What happened, in the order in which it is asked for."""

PLACES: Mapping[str, str] = {
    "bank": "the bank",
    "cash": "cash",
    "card": "card",
    "own_pocket": "my own pocket",
    "owed": "not paid yet",
}
"""Where money comes from or goes to."""

SCHEMES: Mapping[str, str] = {
    "": "ordinary",
    "margin": "margin scheme: no tax shown, none comes back",
    "private": "from a private person: no tax",
    "import": "paid at the border",
}

_IN: Mapping[str, str] = {
    "bank": "came into the bank",
    "cash": "came in as cash",
    "card": "came back on the card",
    "own_pocket": "came into my own pocket",
    "owed": "paid to others ahead",
    "owed_us": "owed to me",
    "deposits": "deposits that are out",
    "tax_back": "tax that comes back",
    "tax_due": "tax paid ahead",
    "exchange": "given for other currencies",
}
_OUT: Mapping[str, str] = {
    "bank": "went out of the bank",
    "cash": "went out as cash",
    "card": "paid by card",
    "own_pocket": "paid from my own pocket",
    "owed": "owed to others",
    "owed_us": "paid to me ahead",
    "deposits": "deposits that came back",
    "tax_back": "tax to give back",
    "tax_due": "tax that is due",
    "exchange": "got from other currencies",
}


def account_words(account: str, amount: Decimal, names: Mapping[str, str]) -> str:
    """What stands in one place, so that its amount is told without a sign.

    Parameters
    ----------
    account : str
        As in :class:`retrue.cases.settle.lines.AccountRow`.
    amount : Decimal
    names : mapping of machine key to name

    Returns
    -------
    str

    Examples
    --------
    >>> account_words("bank", Decimal(-5), {}), account_words("cost:m", Decimal(5), {"m": "mill"})
    ('went out of the bank', 'spent on mill')
    """
    sort, colon, key = account.partition(":")
    if not colon:
        return say((_OUT if amount < 0 else _IN).get(account, account))
    name = names.get(key, "")
    if sort == "sales":
        if not name:
            return say("brought, by no one machine")
        return say("brought by {machine}", machine=name)
    spent = amount >= 0
    if not name:
        return say("spent, on no one machine") if spent else say("taken from what was on the shelf")
    if spent:
        return say("spent on {machine}", machine=name)
    return say("taken out of {machine} beyond its cost", machine=name)


def sort_words(sort: str) -> str:
    """What happened, in a word or two.

    Parameters
    ----------
    sort : str

    Returns
    -------
    str

    Examples
    --------
    >>> sort_words("deposit_back")
    'deposit came back'
    """
    return say(SORTS.get(sort, sort))


def place_words(paid_from: str) -> str:
    """Where the money was, in a word or two.

    Parameters
    ----------
    paid_from : str

    Returns
    -------
    str

    Examples
    --------
    >>> place_words("own_pocket")
    'my own pocket'
    """
    return say(PLACES.get(paid_from, paid_from))
