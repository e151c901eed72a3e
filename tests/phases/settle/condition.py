"""The condition record of a machine as it stands on one day, and what is open in it."""

from __future__ import annotations

from datetime import date

from retrue.phases import settle

ON = date(2026, 11, 26)
MILL = "vertical_machining_centre"


def record(shop, at, kinds, sold_as="as_found"):
    return settle.record(
        shop, at[0], at[1], kinds, on=ON, sold_as=sold_as, by="An", version="0.1.0"
    )


def stands(shop, at, kinds, sold_as="as_found"):
    return settle.record_stands(shop, at[0], at[1], kinds, on=ON, sold_as=sold_as)


def open_ids(shop, at, kinds, sold_as="as_found"):
    return {one.id for one in stands(shop, at, kinds, sold_as).open}
