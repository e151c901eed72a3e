"""Numbers that belong together, typed in one field: 30, 98.1; 60, 96.4."""

from __future__ import annotations

import re

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.units import amount, number

# the name, then a number with or without its unit; a number with decimals ends no name
_ROW = re.compile(r"(?P<name>.*\S)\s+(?P<size>[-+]?[0-9][0-9.,']*(?:\s*[^\s0-9.,']\S*)?)")
_DECIMALS = re.compile(r"[0-9][.,][0-9]")


def pairs(text: str, *, field: str, what: str) -> tuple[tuple[float, float], ...]:
    """Read pairs of numbers.

    Parameters
    ----------
    text : str
        A comma inside a pair, a semicolon between two.
    field : str
        Name of the field, for the refusal.
    what : str
        What the two numbers are, as a person says it.

    Returns
    -------
    tuple of (float, float)

    Raises
    ------
    Unusable
        A pair that has not two numbers; a decimal comma makes three of them.

    Examples
    --------
    >>> pairs("3, 0.2; -2, 0.2", field="cycle", what="torque and seconds")
    ((3.0, 0.2), (-2.0, 0.2))
    """
    rows = []
    for place, row in enumerate((one for one in text.split(";") if one.strip()), 1):
        parts = row.split(",")
        if len(parts) != 2:
            told = say("pair {place} has {count} numbers", place=place, count=len(parts))
            raise Unusable(
                told,
                remedy=say("Write {what}, decimals with a point; a semicolon between pairs.",
                           what=what),
                problems=(Problem(field, told),),
            )  # fmt: skip
        first, second = (float(number(part.strip(), field=field)) for part in parts)
        rows.append((first, second))
    return tuple(rows)


def named(text: str, *, field: str, what: str, unit: str = "") -> tuple[tuple[str, float], ...]:
    """Read names, each with its number behind it.

    Parameters
    ----------
    text : str
        A semicolon between two: ``door 0.08; spindle motor 0.12``.
    field : str
        Name of the field, for the refusal.
    what : str
        What name and number are, as a person says it.
    unit : str
        Of the number, where another unit that measures the same may stand behind it.

    Returns
    -------
    tuple of (str, float)

    Raises
    ------
    Unusable
        A name without its number, or with two of them.

    Examples
    --------
    >>> named("door 0.08; spindle motor 0.12", field="points", what="place and ohm")
    (('door', 0.08), ('spindle motor', 0.12))
    >>> named("door 80 mohm", field="points", what="place and ohm", unit="ohm")
    (('door', 0.08),)
    """
    rows = []
    for row in (one.strip() for one in text.split(";") if one.strip()):
        found = _ROW.fullmatch(row)
        if found is None or _DECIMALS.search(found["name"]):
            told = say("{row} has no name or no number", row=row)
            raise Unusable(
                told,
                remedy=say("Write {what}, a space between; a semicolon between rows.", what=what),
                problems=(Problem(field, told),),
            )
        size, name = found["size"], found["name"].rstrip(",")
        read = amount(size, unit, field=field) if unit else number(size, field=field)
        rows.append((name, float(read)))
    return tuple(rows)
