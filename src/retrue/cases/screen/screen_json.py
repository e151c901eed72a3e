"""A screened catalogue as one flat object for programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from retrue import __version__
from retrue.base.say import say
from retrue.cases.screen.listing import ListedLot, Listing
from retrue.cases.screen.places import Places, places
from retrue.cases.screen.rank import By
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.worthy import is_worthy


def screen_json(
    listing: Listing,
    rows: Sequence[ScreenedLot],
    *,
    currency: str,
    by: By,
    seed: int,
    worlds: int,
) -> dict[str, Any]:
    """Every line of a catalogue, what was made of it, and what it is worth.

    Parameters
    ----------
    listing : Listing
    rows : sequence of ScreenedLot
        Best first.
    currency : str
        Of the shop.
    by : str
        What they are ranked by.
    seed, worlds : int
        Of the sum.

    Returns
    -------
    dict
        Documented in docs/json.md; ``why`` says of each null why it is one.

    Examples
    --------
    >>> empty = Listing(name="a", currencies=(), columns=(), lots=(), others=())
    >>> told = screen_json(empty, (), currency="EUR", by="risk", seed=7, worlds=2000)
    >>> told["lots"], told["why"]
    ([], {})
    """
    listed = {one.number: one for one in listing.lots}
    return {
        "by": by,
        "catalogue": listing.name,
        "columns": [asdict(one) for one in listing.columns],
        "currencies": list(listing.currencies),
        "currency": currency,
        "lots": [
            _lot(row, listed[row.number], may_be)
            for row, may_be in zip(rows, places(rows, by), strict=True)
        ],
        "others": [asdict(one) for one in listing.others],
        "sale": [asdict(one) for one in listing.sale],
        "schema": 1,
        "seed": seed,
        "version": __version__,
        "why": dict(_whys(rows)),
        "worlds": worlds,
    }


def _lot(row: ScreenedLot, listed: ListedLot, may_be: Places | None) -> dict[str, Any]:
    told = asdict(row)
    del told["tenths"]  # what the places come from
    return told | {
        "gaps": list(listed.gaps),
        "places": None if may_be is None else asdict(may_be),
        "said": [asdict(one) for one in listed.said],
    }


def _whys(rows: Sequence[ScreenedLot]) -> Iterator[tuple[str, str]]:
    for place, row in enumerate(rows):
        if row.walk_away is None:
            yield f"lots.{place}.walk_away", row.why
        if row.gain_per_hour is None:
            none = say("no own hour is spent on it")
            yield f"lots.{place}.gain_per_hour", row.why or none
        if not is_worthy(row):
            yield f"lots.{place}.places", row.why or say("it brings nothing as it is known now")
