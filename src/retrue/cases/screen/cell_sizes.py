"""Sizes in the cells of a catalogue: in their unit, travels, and the outside of a machine. Pure."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from retrue.base.say import say
from retrue.base.unit_table import find
from retrue.cases.screen.cell_numbers import NUMBER, number_of
from retrue.cases.screen.cell_ways import Heard, Ways, one_number, refuse_odd

MOST_TRAVELS = 5


def in_unit(value: Decimal, words: str, unit: str) -> tuple[float, bool]:
    """A number in the unit of its field.

    Parameters
    ----------
    value : Decimal
    words : str
        The unit as it is written; empty: that of the field.
    unit : str
        Of the field.

    Returns
    -------
    float
    bool
        Whether the cell named a unit.

    Raises
    ------
    ValueError
        The words are no unit of that sort.

    References
    ----------
    Exact ratios of :mod:`retrue.base.unit_table` (NIST SP 811).

    Examples
    --------
    >>> in_unit(Decimal("3.5"), "t", "kg"), in_unit(Decimal(2), "in", "mm")
    ((3500.0, True), (50.8, True))
    """
    bare = words.strip(" .:;()[]").removesuffix(".")
    if not bare:
        return float(value), False
    if bare.casefold() == unit:
        return float(value), True
    one, other = find({"t": "t", "to": "t", "tonnen": "t", "ton": "t", "tonnes": "t", "tm": "t",
                       "kgs": "kg", "u/min": "1/min", "tr/min": "1/min", "omw/min": "1/min",
                       "giri/min": "1/min", "r/min": "1/min", "upm": "1/min", "t/min": "1/min",
                       "min-1": "1/min"}.get(bare.casefold(), bare)), find(unit)  # fmt: skip
    if one is None or other is None or one.measures != other.measures:
        raise ValueError(say("{words} is no unit of that", words=f"“{bare[:30]}”"))
    return float(Fraction(value) * one.factor / other.factor), True


def size(field: str, unit: str) -> Callable[[str, Ways], list[Heard]]:
    """What reads one size: in the unit of the cell, else of its heading, else of its field.

    Parameters
    ----------
    field, unit : str

    Returns
    -------
    callable
        Cell and ways to what was heard; it raises ValueError where there is none.

    Examples
    --------
    >>> size("mass_kg", "kg")("4,2", Ways(mark="comma", year=2026, unit="t"))[0].value
    4200.0
    """

    def read(cell: str, ways: Ways) -> list[Heard]:
        value, words, why = one_number(cell, ways)
        number, named = in_unit(value, words, unit)
        if not named and ways.unit and measured_alike(ways.unit, unit):
            number, _ = in_unit(value, ways.unit, unit)
        if number <= 0:
            raise ValueError(say("it is nothing"))
        return [Heard(field=field, value=number, why=why)]

    return read


def measured_alike(one: str, other: str) -> bool:
    """Whether two units measure the same.

    Parameters
    ----------
    one, other : str

    Returns
    -------
    bool

    Examples
    --------
    >>> measured_alike("t", "kg"), measured_alike("t", "mm")
    (True, False)
    """
    here, there = find(one), find(other)
    return here is not None and there is not None and here.measures == there.measures


def travel(cell: str, ways: Ways) -> list[Heard]:
    """A row of travels.

    Parameters
    ----------
    cell : str
    ways : Ways

    Returns
    -------
    list of Heard

    Raises
    ------
    ValueError
        It is none.

    Examples
    --------
    >>> travel("760 x 420", Ways(mark=None, year=2026))[0].value
    (760.0, 420.0)
    """
    refuse_odd(cell)
    numbers: list[Decimal] = [number_of(one[0], ways.mark) for one in NUMBER.finditer(cell)]
    if not 2 <= len(numbers) <= MOST_TRAVELS or not all(numbers):
        raise ValueError(say("{cell} is no row of travels", cell=f"“{cell[:40]}”"))
    inches = re.search(r"\"|\bin(?:ch)?\b", cell) is not None
    unit = "in" if inches else ways.unit if measured_alike(ways.unit, "mm") else "mm"
    sizes = tuple(in_unit(one, unit, "mm")[0] for one in numbers)
    return [Heard(field="travel_mm", value=sizes)]


LEAST_OUTSIDE_MM = 1_000.0  # no side of a whole machine here is less (judgement)
_AXES = re.compile(r"(?i)(?<![a-z])[yz]\s*[:=]?\s*[0-9]|[øØ]|\bdiam")


def dimensions(cell: str, ways: Ways) -> list[Heard]:
    """Length, width and height of the whole machine; else its travels, where they can be no other.

    Lists of lots give both under one heading: common practice, no source.

    Parameters
    ----------
    cell : str
    ways : Ways

    Returns
    -------
    list of Heard

    Raises
    ------
    ValueError
        It may be both, or it is no row of sizes.

    Examples
    --------
    >>> ways = Ways(mark=None, year=2026)
    >>> [(one.field, one.value) for one in dimensions("2500 x 1900 x 2400", ways)]
    [('width_mm', 1900.0), ('height_mm', 2400.0)]
    >>> dimensions("760x420x500 mm", ways)[0].field
    'travel_mm'
    """
    unit = next((one for one in ("cm", "mm", "m") if re.search(rf"(?i)[0-9]\s*{one}\b", cell)), "")
    unit = unit or (ways.unit if measured_alike(ways.unit, "mm") else "mm")
    (heard,) = travel(re.sub(r"(?i)(?<=[0-9])\s*[cm]?m\b", " ", cell),
                       replace(ways, unit=unit))  # fmt: skip
    sizes = heard.value
    if not isinstance(sizes, tuple):
        return [heard]
    if _AXES.search(cell):
        return [replace(heard, why=say("axes are named: they are its travels"))]
    if len(sizes) == 3 and min(sizes) >= LEAST_OUTSIDE_MM:
        why = say("length, width and height of the whole machine")
        return [Heard(field="width_mm", value=sizes[1], why=why),
                Heard(field="height_mm", value=sizes[2], why=why)]  # fmt: skip
    if max(sizes) <= LEAST_OUTSIDE_MM:
        return [replace(heard, why=say("too small for a whole machine: read as its travels"))]
    raise ValueError(say("it may be its outer size or its travels"))
