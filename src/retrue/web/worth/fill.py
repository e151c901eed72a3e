"""Where an assumed field is filled."""

from __future__ import annotations

from retrue.phases.worth import LotView

# The words under which the sum writes down what it assumed, by the page that has their field.
PLACES = (
    ("what it must do", "/shop#needs"),
    ("what else would do", "/shop#alternatives"),
    ("what your hour", "/shop#money"),
    ("your full hour rate", "/shop#money"),
    ("your hours a week", "/shop#money"),
    ("years you look ahead", "/shop#money"),
    ("cost of money", "/shop#money"),
    ("chance of not being sorry", "/shop#money"),
    ("who moves it", "/shop#doors"),
    ("your floor", "/shop#doors"),
    ("an outlet", "/shop#supply"),
    ("your supply", "/shop#supply"),
)


def where_to_fill(field: str, view: LotView) -> str:
    """The page on which an assumed field can be filled.

    Parameters
    ----------
    field : str
        As the sheet names it.
    view : LotView
        The lot it belongs to.

    Returns
    -------
    str
        A path: the machine it names, my shop, or the sale.
    """
    lot = f"/lots/{view.id}"
    for start, place in PLACES:
        if field.startswith(start):
            return place
    for key, record in view.machines:
        if record.fact.name in field:
            return f"{lot}/machines/{key}"
    return f"{lot}/terms"
