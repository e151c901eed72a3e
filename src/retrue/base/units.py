"""What a person wrote, as exact numbers: units are converted by exact ratios, never guessed.

Every factor is a fraction that follows from exact definitions: the international yard and pound
of 1959 (25.4 mm, 0.453 592 37 kg), standard gravity 9.806 65 m/s2, and the SI. A unit whose name
means two things in the trade (hp, ton, gallon, mil) is refused with both meanings named.

References
----------
NIST Special Publication 811 (2008), appendix B: conversion factors, exact ones in bold.
International yard and pound agreement of 1959.
BIPM, The International System of Units (SI brochure), 9th edition (2019).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from fractions import Fraction

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.unit_table import TWO_MEANINGS, UNITS, Unit, find

FEW = 5  # units named to somebody who typed none of them
USUAL = ("mm", "V", "A", "°C", "bar")
LONGEST = 40  # characters; no quantity of the trade needs more

_MINUS, _PLUS_MINUS = "\u2212", "\u00b1"
_SIGNS = {"": "", "+": "+", "-": "-", _MINUS: "-", _PLUS_MINUS: _PLUS_MINUS, "+/-": _PLUS_MINUS}
_WRITTEN = re.compile(
    r"(?P<sign>\+/-|[+\-\u2212\u00b1]?)\s*"
    r"(?P<whole>[0-9]{1,3}(?:['\u2019\u2009\u202f][0-9]{3})+|[0-9]*)"
    r"(?:[.,](?P<part>[0-9]+))?"
    r"\s*(?P<unit>[^\s0-9.,'\u2019].*)?"
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """What was written: the number, its unit, and the sign as it stood.

    Attributes
    ----------
    value : Fraction
        The number in ``unit``; below zero only where a minus was written.
    unit : str
        The unit's own symbol; empty if none was written.
    sign : str
        ``"+"``, ``"-"``, ``"±"`` or empty: a plus that was written is worth keeping.
    """

    value: Fraction
    unit: str
    sign: str = ""


def read(text: str, *, field: str) -> Quantity:
    """Read a quantity exactly as a person wrote it.

    Parameters
    ----------
    text : str
        A number with one comma or one point as decimal mark, thousands parted only by a thin
        space or an apostrophe, a sign or not, then a unit or not.
    field : str
        Name of the field, for the refusal.

    Returns
    -------
    Quantity
        The number as a fraction, the unit by its own symbol.

    Raises
    ------
    Unusable
        It is no number, or its unit is unknown or means two things.

    Examples
    --------
    >>> read("0.0005 in", field="gap")
    Quantity(value=Fraction(1, 2000), unit='in', sign='')
    >>> read("+12,5 µm", field="nod")
    Quantity(value=Fraction(25, 2), unit='um', sign='+')
    >>> read("2'400", field="mass")
    Quantity(value=Fraction(2400, 1), unit='', sign='')
    """
    sign, size, unit = _parts(text, field)
    value = Fraction(size)
    return Quantity(-value if sign == "-" else value, unit, sign)


def number(text: str, *, field: str) -> Decimal:
    """Read a bare number; a unit behind it is refused.

    Parameters
    ----------
    text : str
        As for :func:`read`, without a unit.
    field : str
        Name of the field, for the refusal.

    Returns
    -------
    Decimal
        The number, exactly.

    Raises
    ------
    Unusable
        It is no number, or a unit was written.

    Examples
    --------
    >>> number("6'150,25", field="bid")
    Decimal('6150.25')
    """
    sign, size, unit = _parts(text, field)
    if unit or sign == _PLUS_MINUS:
        raise _refused(
            field,
            say("“{text}” is more than a number", text=text.strip()),
            say("Write the number alone; the unit stands beside the field."),
        )
    return -Decimal(size) if sign == "-" else Decimal(size)


def amount(text: str, unit: str, *, field: str) -> Fraction:
    """Read a quantity in the unit that stands beside the field.

    Parameters
    ----------
    text : str
        As for :func:`read`. A number without a unit is in ``unit``: that is printed, not guessed.
    unit : str
        The unit that the field shows.
    field : str
        Name of the field, for the refusal.

    Returns
    -------
    Fraction
        The amount in ``unit``, exactly.

    Raises
    ------
    Unusable
        It cannot be read, or its unit measures something else.

    Examples
    --------
    >>> amount("0.0005 in", "mm", field="gap"), amount("2.07", "bar", field="air")
    (Fraction(127, 10000), Fraction(207, 100))
    """
    written = read(text, field=field)
    return convert(written.value, written.unit or unit, unit, field=field)


def convert(value: Fraction | Decimal | int | str, unit: str, to: str, *, field: str) -> Fraction:
    """Change the unit of an amount, exactly.

    Parameters
    ----------
    value : Fraction, Decimal, int or str
        The amount in ``unit``. No float: 0.1 is not one tenth.
    unit, to : str
        Any name of a unit; both must measure the same. A temperature is a point on its scale;
        for a rise or a difference use :func:`convert_difference`.
    field : str
        Name of the field, for the refusal.

    Returns
    -------
    Fraction
        The amount in ``to``.

    Raises
    ------
    Unusable
        A unit is unknown, means two things, or measures something else. Decibels are never
        converted: what they are relative to is not in their name.

    References
    ----------
    NIST Special Publication 811 (2008), appendix B.8 and B.9.

    Examples
    --------
    >>> convert(1, "in", "mm", field="length"), convert(68, "°F", "°C", field="room")
    (Fraction(127, 5), Fraction(20, 1))
    """
    source, target = _pair(unit, to, field)
    size = (Fraction(value) + source.zero) * source.factor
    return size / target.factor - target.zero


def convert_difference(
    value: Fraction | Decimal | int | str, unit: str, to: str, *, field: str
) -> Fraction:
    """Change the unit of a difference: a rise of 9 °F is a rise of 5 °C.

    Parameters
    ----------
    value : Fraction, Decimal, int or str
        The difference in ``unit``.
    unit, to : str
        Any name of a unit; both must measure the same.
    field : str
        Name of the field, for the refusal.

    Returns
    -------
    Fraction
        The difference in ``to``.

    Raises
    ------
    Unusable
        As for :func:`convert`.

    References
    ----------
    NIST Special Publication 811 (2008), appendix B.8, "temperature interval".

    Examples
    --------
    >>> convert_difference(9, "°F", "°C", field="rise")
    Fraction(5, 1)
    """
    source, target = _pair(unit, to, field)
    return Fraction(value) * source.factor / target.factor


def _parts(text: str, field: str) -> tuple[str, str, str]:
    plain = text.strip().replace("\u00a0", " ")
    found = _WRITTEN.fullmatch(plain) if len(plain) <= LONGEST else None
    if found is None or not (found["whole"] or found["part"]):
        raise _refused(
            field,
            say("“{text}” is not a number", text=plain[:LONGEST]),
            say(
                "Write one comma or one point for the decimals, thousands with an apostrophe "
                "or not at all: 1250.5, 1250,5 or 1'250.5."
            ),
        )
    whole = re.sub("[^0-9]", "", found["whole"]) or "0"
    size = f"{whole}.{found['part']}" if found["part"] else whole
    unit = _unit(found["unit"], field).symbol if found["unit"] else ""
    return _SIGNS[found["sign"]], size, unit


def _pair(unit: str, to: str, field: str) -> tuple[Unit, Unit]:
    source, target = _unit(unit, field), _unit(to, field)
    if source.measures != target.measures:
        fitting = sorted({u.symbol for u in UNITS if u.measures == target.measures})
        raise _refused(
            field,
            say(
                "{unit} measures {this}, not {that}",
                unit=source.symbol,
                this=source.measures,
                that=target.measures,
            ),
            say("Use one of: {units}.", units=", ".join(fitting)),
        )
    return source, target


def _unit(name: str, field: str) -> Unit:
    name = name.strip()
    if name in TWO_MEANINGS:
        raise _refused(
            field,
            say("{unit} means two things", unit=name),
            say("Write {meanings}.", meanings=" or ".join(TWO_MEANINGS[name])),
        )
    unit = find(name)
    if unit is None:
        raise _refused(
            field,
            say("“{unit}” is not a unit we know", unit=name),
            say("It can be {units}; or leave it out. A zero is typed 0.", units=_near(name)),
        )
    return unit


def _near(name: str) -> str:
    """A few units that look like it; else a few of the usual ones."""
    symbols = dict.fromkeys(one.symbol for one in UNITS)
    near = get_close_matches(name, symbols, n=FEW, cutoff=0.3)
    return ", ".join(near or [one for one in USUAL if one in symbols])


def _refused(field: str, what: str, remedy: str) -> Unusable:
    return Unusable(
        say("{field}: {what}", field=field, what=what),
        remedy=remedy,
        problems=(Problem(field, what, remedy),),
    )
