"""The best lots of a catalogue as their picture takes them: gain against money at risk."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from retrue.cases.screen.screened import ScreenedLot

MOST = 10  # lots in the picture; the table has them all


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPoint:
    """One lot: its number, and both amounts in the shop's currency."""

    number: str
    at_risk: float
    gain: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ScreenDrawing:
    """Everything of one picture.

    Attributes
    ----------
    points : tuple of LotPoint
        Best first.
    currency : str
        Of the shop.
    """

    points: tuple[LotPoint, ...]
    currency: str


def screen_drawing(
    rows: Sequence[ScreenedLot], currency: str, *, most: int = MOST
) -> ScreenDrawing | None:
    """The best lots that are worth a bid.

    Parameters
    ----------
    rows : sequence of ScreenedLot
        Best first.
    currency : str
        Of the shop.
    most : int
        Lots that are drawn.

    Returns
    -------
    ScreenDrawing or None
        None where no lot is worth a bid.

    Examples
    --------
    >>> screen_drawing((), "EUR") is None
    True
    """
    worthy = [row for row in rows if row.gain > 0 and row.at_risk > 0][:most]
    if not worthy:
        return None
    points = (LotPoint(number=row.number, at_risk=row.at_risk, gain=row.gain) for row in worthy)
    return ScreenDrawing(points=tuple(points), currency=currency)
