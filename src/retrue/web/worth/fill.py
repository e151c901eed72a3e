"""Where an assumed field is filled."""

from __future__ import annotations

from retrue.base.say import later
from retrue.phases.worth import LotView

# The words under which the sum writes down what it assumed, by the page that has their field.
PLACES = (
    (later("what it must do: {kind}"), "/shop#needs"),
    (later("what else would do: {kind}"), "/shop#alternatives"),
    (later("what your hour could earn elsewhere"), "/shop#money"),
    (later("your full hour rate"), "/shop#money"),
    (later("your hours a week for this"), "/shop#money"),
    (later("years you look ahead"), "/shop#money"),
    (later("cost of money a year"), "/shop#money"),
    (later("chance of not being sorry"), "/shop#money"),
    (later("who moves it"), "/shop#doors"),
    (later("your floor"), "/shop#doors"),
    (later("an outlet of that size"), "/shop#supply"),
    (later("your supply"), "/shop#supply"),
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
        if field.startswith(str(start).partition("{")[0]):
            return place
    for key, record in view.machines:
        if record.fact.name in field:
            return f"{lot}/machines/{key}/facts"
    return f"{lot}/terms"
