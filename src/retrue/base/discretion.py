"""Whether money is shown to whoever reads now: to a helper it is not.

Whoever answers such a reader says once ``with money_hidden():`` around all of it. Amounts are then
taken out where a page or a sheet goes out, never where they are worked out: what is remembered
for the owner stays whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache

DASH = "–"
_hidden: ContextVar[frozenset[str] | None] = ContextVar("retrue_money_hidden", default=None)
# As the formatter writes it, and as a template writes it whose blanks were joined: a sign or the
# letters of a currency, a blank, digits in groups of three. Other letters count with a thin space
# only, and those of a publisher of standards never, unless the shop counts in a currency called so:
# ISO 230 is no amount.
_BLANK = "[ \u00a0\u202f]"
_LETTERS = "CHF|EUR|GBP|USD|SEK|NOK|DKK|PLN|CZK|HUF|RON|JPY|CAD|AUD"


@lru_cache(maxsize=8)
def _amount(own: frozenset[str]) -> re.Pattern[str]:
    letters = "|".join((_LETTERS, *map(re.escape, sorted(own))))
    return re.compile(
        f"(?:[-\u2212+]{_BLANK}?)?"
        f"(?:[€£$]{_BLANK}?|\\b(?:{letters}){_BLANK}"
        f"|\\b(?!ISO|IEC|DIN|VDI|NEN)[A-Z]{{3}}\u202f)"
        f"(?:[-\u2212+]{_BLANK}?)?\\d+(?:{_BLANK}\\d{{3}}(?!\\d))*(?:[.,]\\d+)?"
    )


def is_money_hidden() -> bool:
    """Whether amounts are taken out of what goes out now.

    Returns
    -------
    bool

    Examples
    --------
    >>> is_money_hidden()
    False
    """
    return _hidden.get() is not None


@contextmanager
def money_hidden(currencies: Iterable[str] = ()) -> Iterator[None]:
    """Show no amount inside this block; a thread of its own must be told anew.

    Parameters
    ----------
    currencies : iterable of str
        Letters in which the shop itself counts: an amount in them is one whatever else they name.

    Yields
    ------
    None

    Examples
    --------
    >>> with money_hidden():
    ...     is_money_hidden()
    True
    """
    token = _hidden.set(frozenset(currencies))
    try:
        yield
    finally:
        _hidden.reset(token)


def discreet(text: str) -> str:
    """A text as whoever reads now may see it: as it is, or with a dash for each amount.

    Parameters
    ----------
    text : str
        A page, or a text of a sheet; amounts as the formatter writes them.

    Returns
    -------
    str

    Examples
    --------
    >>> from retrue.base.formatter import money
    >>> told = f"a motor at {money(6150, 'EUR')}, half of {money(-12.5, 'CHF', 2)}; ISO 230-2"
    >>> discreet(told) == told
    True
    >>> with money_hidden():
    ...     discreet(told), discreet(" ".join(told.split()))
    ('a motor at –, half of –; ISO 230-2', 'a motor at –, half of –; ISO 230-2')
    >>> with money_hidden(["DIN"]):
    ...     discreet(f"a motor at {money(6150, 'DIN')}; ISO 230-2")
    'a motor at –; ISO 230-2'
    """
    own = _hidden.get()
    return text if own is None else _amount(own).sub(DASH, text)
