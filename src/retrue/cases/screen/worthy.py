"""Which lots of a catalogue are worth a call."""

from __future__ import annotations

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
    return row.walk_away is not None and row.walk_away > 0 and row.gain > 0
