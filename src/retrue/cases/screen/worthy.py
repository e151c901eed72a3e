"""Which lots of a catalogue are worth a bid, and which may become so."""

from __future__ import annotations

from retrue.base.say import say
from retrue.cases.screen.screened import ScreenedLot


def is_worthy(row: ScreenedLot) -> bool:
    """Whether a lot is worth a bid, as far as is known now.

    Parameters
    ----------
    row : ScreenedLot

    Returns
    -------
    bool
        It has a price above nothing, and going for it is expected to bring something.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> is_worthy(SimpleNamespace(walk_away=0.0, gain=0.0))
    False
    """
    return has_price(row) and row.gain > 0


def has_price(row: ScreenedLot) -> bool:
    """Whether there is a price that a bid may go up to.

    Parameters
    ----------
    row : ScreenedLot

    Returns
    -------
    bool
        Also where going for it brings nothing as it is known now: an answer may change that.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> has_price(SimpleNamespace(walk_away=0.0)), has_price(SimpleNamespace(walk_away=900.0))
    (False, True)
    """
    return row.walk_away is not None and row.walk_away > 0


def first_prices() -> str:
    """What the prices of a catalogue leave out, for the line above them.

    Returns
    -------
    str

    Examples
    --------
    >>> first_prices()[:19]
    'These are first pri'
    """
    return say(
        "These are first prices: what is left of one if all prices here are a third too low, or "
        "every trouble is likelier, is not said; it may be nothing. Take a lot into my lots and "
        "price it there: that says both."
    )


def is_never_won(row: ScreenedLot) -> bool:
    """Whether a lot is taken as gone to others: gain, risk and own hours are then no figures.

    Parameters
    ----------
    row : ScreenedLot

    Returns
    -------
    bool

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> is_never_won(SimpleNamespace(wins=0.0)), is_never_won(SimpleNamespace(wins=0.3))
    (True, False)
    """
    return row.wins <= 0
