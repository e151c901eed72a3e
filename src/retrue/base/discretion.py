"""Whether money is shown to whoever reads now: to a helper it is not.

Whoever answers such a reader says once ``with money_hidden():`` around all of it; every amount that
is formatted inside, on a page or on paper, is then a dash.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

DASH = "–"
_hidden: ContextVar[bool] = ContextVar("retrue_money_hidden", default=False)


def is_money_hidden() -> bool:
    """Whether amounts are dashes now.

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
