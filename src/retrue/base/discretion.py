"""Whether money is shown to whoever reads now: to a helper it is not.

Whoever answers such a reader says once ``with money_hidden():`` around all of it. Amounts are then
taken out where a page or a sheet goes out, never where they are worked out: what is remembered
for the owner stays whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

DASH = "–"
_hidden: ContextVar[bool] = ContextVar("retrue_money_hidden", default=False)
# As the formatter writes it: a sign or three letters, a thin space, digits in groups. Three
# letters of a publisher of standards are no currency.
_AMOUNT = re.compile(
    "[-\u2212+]?\u202f?(?:[€£$]|\\b(?!ISO|IEC|DIN|VDI|NEN)[A-Z]{3})\u202f"
    "(?:[-\u2212+]\u202f?)?\\d[\\d\u202f]*(?:[.,]\\d+)?"
)


def is_money_hidden() -> bool:
    """Whether amounts are taken out of what goes out now.

    Examples
    --------
    >>> is_money_hidden()
    False
    """
    return _hidden.get()


@contextmanager
def money_hidden() -> Iterator[None]:
    """Show no amount inside this block; a thread of its own must be told anew.

    Examples
    --------
    >>> with money_hidden():
    ...     is_money_hidden()
    True
    """
    token = _hidden.set(True)
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
    >>> told = f"a motor at {money(6150, 'EUR')}, half of {money(-12.5, 'CHF', 2)}"
    >>> discreet(told) == told
    True
    >>> with money_hidden():
    ...     discreet(told)
    'a motor at –, half of –'
    """
    return _AMOUNT.sub(DASH, text) if is_money_hidden() else text
