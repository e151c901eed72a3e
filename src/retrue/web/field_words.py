"""What the fields of a record are called on a page that lays two of them side by side."""

from __future__ import annotations

from retrue.base.say import say

FIELDS = {
    "": "taken back",
    "text": "in words",
    "sure": "looked at twice",
    "age_years": "age, years",
    "width_mm": "width, mm",
    "height_mm": "height, mm",
    "mass_kg": "mass, kg",
    "load_kg": "load, kg",
    "travel_mm": "travel, mm",
    "bar_mm": "bar, mm",
    "speed_rpm": "speed, 1/min",
    "tolerance_mm": "tolerance, mm",
    "door_width_mm": "width of the door, mm",
    "door_height_mm": "height of the door, mm",
    "floor_kg_m2": "the floor carries, kg/m²",
    "lift_kg": "own hoist lifts, kg",
    "hour_alternative": "what an own hour could earn",
    "hour_full": "full rate of an hour",
    "hours_a_week": "hours a week",
    "bid_now": "bid now",
    "bid_step": "bid step",
    "closes_at": "closes",
    "removal_by": "to be removed by",
    "distance_km": "distance, km",
    "tax_rate": "tax",
    "posted_on": "day of the paper",
    "paid_from": "paid from",
    "dump_on": "goes for what it brings from",
    "grade": "how sure",
    "channel": "how it was seen",
}
KINDS = {
    "shop": "my shop",
    "terms": "what the sale costs",
    "need": "what it must do",
    "alternative": "what else would do",
    "plate": "what is stamped on it",
    "finding": "a look",
    "cost_line": "a cost",
    "reading": "a reading",
    "own_limit": "a limit",
    "planned": "a calculation",
    "hand": "a hand",
    "posting": "a line in the book",
    "for_sale": "an offer for sale",
    "hours_told": "hours",
    "clock_rung": "the clock",
    "run_figure": "a figure of running it",
    "day_rate": "a rate of the day",
    "withdrawn": "taking back",
}


def field_word(name: str) -> str:
    """A field in words; one without words of its own by its name, its unit behind a comma.

    Examples
    --------
    >>> field_word("door_width_mm"), field_word("worked_on")
    ('width of the door, mm', 'worked on')
    """
    return say(FIELDS.get(name, name.replace("_", " ")))


def kind_word(kind: str) -> str:
    """A kind of record in words.

    Examples
    --------
    >>> kind_word("terms"), kind_word("day_of_rest")
    ('what the sale costs', 'day of rest')
    """
    return say(KINDS.get(kind, kind.replace("_", " ")))
