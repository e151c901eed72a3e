"""A screened catalogue as a table for other programs: one row a lot."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from retrue.cases.screen.places import Places, places
from retrue.cases.screen.rank import By
from retrue.cases.screen.said_wrong import caution_of
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.tenths import NINETEEN_IN_TWENTY
from retrue.cases.screen.worthy import is_never_won

HEADINGS = (
    "place", "number", "title", "kinds", "stand_in", "do_not_go_above", "currency", "goes_for",
    "chance_of_winning", "gain", "at_risk", "own_hours", "gain_per_euro_at_risk",
    "gain_per_own_hour", "shop_currency", "floor_m2", "days_good_luck", "days_even",
    "days_bad_luck", "chance_of_being_sorry", "ask_first", "why_no_price", "assumed", "line",
    "gain_give_or_take", "place_from", "place_to", "caution",
)  # fmt: skip
SEPARATOR = "; "  # between what stands in one cell


def screen_table(rows: Sequence[ScreenedLot], currency: str, *, by: By = "risk") -> list[list[Any]]:
    """Rows of a screened catalogue, in the order they are given.

    Parameters
    ----------
    rows : sequence of ScreenedLot
        Best first, where they are ranked.
    currency : str
        Of the shop: gain, at risk and gain an hour are in it; the lot's own stands beside its
        price.
    by : str
        What they are ranked by: how sure the places are follows from it.

    Returns
    -------
    list of list
        The heading first; money to the cent, shares to a thousandth, None where there is nothing;
        of a lot that is taken as gone to others no gain, risk or hours. Sentences are the reader's.

    Examples
    --------
    >>> screen_table((), "EUR")[0][:3]
    ['place', 'number', 'title']
    """
    told = enumerate(zip(rows, places(rows, by), strict=True), 1)
    return [list(HEADINGS), *(_row(at, row, may_be, currency) for at, (row, may_be) in told)]


def _row(place: int, row: ScreenedLot, may_be: Places | None, currency: str) -> list[Any]:
    hour, lost = row.gain_per_hour, is_never_won(row)
    return [
        place, row.number, row.title, SEPARATOR.join(row.kinds), "yes" if row.stand_in else "no",
        row.walk_away, row.currency, None if lost else round(row.pays, 2), round(row.wins, 3),
        *((None,) * 4 if lost else (round(row.gain, 2), round(row.at_risk, 2),
                                    round(row.hours, 1), round(row.gain_per_risk, 3))),
        None if hour is None else round(hour, 2), currency, round(row.floor_m2, 1),
        *(round(one, 1) for one in (row.days.p10, row.days.p50, row.days.p90)),
        round(row.sorry, 3), _words(one.text for one in row.ask), f"{row.why}" or None,
        _words(row.assumed), row.line, None if lost else round(NINETEEN_IN_TWENTY * row.error, 2),
        None if may_be is None else may_be.first, None if may_be is None else may_be.last,
        caution_of(row.wrong) or None,
    ]  # fmt: skip


def _words(texts: Iterable[str]) -> str:
    """Sentences in one cell, as the reader says them."""
    return SEPARATOR.join(f"{one}" for one in texts)
