"""One cell of a catalogue, by what its column is: what it says, or why it says nothing. Pure."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from retrue.base.currencies import known_code
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.base.unit_table import find
from retrue.cases.screen.cell_numbers import NUMBER, number_of
from retrue.cases.screen.money_words import ABOUT, says_nothing
from retrue.cases.settle.bring_amounts import DecimalMark
from retrue.cases.settle.bring_days import DayOrder, day_of_cell
from retrue.cases.settle.bring_tax import tax_share
from retrue.cases.settle.bring_words import plain

DayFirst = DayOrder | Literal["", "open"]

FIRST_MADE = 1900
OLDEST = 99  # years
MOST_PREMIUM = 50  # per cent
MOST_OF_A_LOT = 20  # machines
MOST_TRAVELS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """How the cells are read.

    Attributes
    ----------
    mark : str or None
        The decimal mark of the column; None: nothing tells.
    year : int
        This year.
    dates : str
        day, month: which goes first; open: nobody knows; empty: it makes no difference.
    offset : str
        From UTC, of moments that name none; empty: nobody says.
    """

    mark: DecimalMark | None
    year: int
    dates: DayFirst = ""
    offset: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """One thing that was heard.

    Attributes
    ----------
    field : str
        Of a machine, of the terms, or of the lot.
    value : object
        Of the sort that the field takes.
    why : str
        Why it is a guess; empty where it is none.
    """

    field: str
    value: object
    why: str = ""


_ABOUT = re.compile(rf"(?i)(?<!\w)(?:{'|'.join(map(re.escape, ABOUT))})\.?(?!\w)|[~±]")


def one_number(cell: str, ways: Ways) -> tuple[Decimal, str, str]:
    """The only number of a cell.

    Parameters
    ----------
    cell : str
    ways : Ways

    Returns
    -------
    Decimal
    str
        The words around it.
    str
        Why it is a guess; empty where it is none.

    Raises
    ------
    ValueError
        There is none, or there are several.
    """
    found = list(NUMBER.finditer(cell))
    if len(found) != 1:
        what = say("no number stands there") if not found else say("several numbers stand there")
        raise ValueError(what)
    value = number_of(found[0][0], ways.mark)
    words, abouts = _ABOUT.subn(" ", f"{cell[: found[0].start()]} {cell[found[0].end() :]}")
    return value, words.strip(" .:;"), say("the catalogue says about") if abouts else ""


def year_of(text: str, year: int) -> tuple[int, str]:
    """A year of make, and why it is a guess.

    Parameters
    ----------
    text : str
        1998; bj. 98; ca. 2001; 1998/99; 03/1998; 2004 (overhauled 2019).
    year : int
        This year.

    Returns
    -------
    int
    str

    Raises
    ------
    ValueError
        It is none.

    Examples
    --------
    >>> year_of("1998", 2026), year_of("bj. '98", 2026)
    ((1998, ''), (1998, 'two figures, read as 1998'))
    """
    if re.fullmatch(r"[0-9]+\.0+", text.strip()):
        text = text.strip().split(".")[0]
    full = [int(one) for one in re.findall(r"(?<![0-9.,])(?:19|20)[0-9]{2}(?![0-9.,][0-9]|[0-9])",
                                           text)]  # fmt: skip
    if full:
        made = full[0]
        why = say("the first of {count} years", count=len(set(full))) if len(set(full)) > 1 else ""
        bare = f" {plain(text)} "
        if any(f" {word} " in bare for word in ABOUT) or "~" in text or "?" in text:
            why = "; ".join(filter(None, (why, say("the catalogue says about"))))
    else:
        short = re.findall(r"(?<![0-9.,])[0-9]{2}(?![0-9.,]*[0-9])", text)
        if len(short) != 1:
            raise ValueError(say("{cell} is no year", cell=f"“{text[:40]}”"))
        made = int(short[0]) + (2000 if int(short[0]) <= year % 100 else 1900)
        why = say("two figures, read as {year}", year=str(made))
    if made > year:
        raise ValueError(say("{cell} lies ahead", cell=f"“{text[:40]}”"))
    if made < FIRST_MADE or year - made > OLDEST:
        raise ValueError(say("{cell} is too long ago", cell=f"“{text[:40]}”"))
    return made, why


def _year(cell: str, ways: Ways) -> list[Heard]:
    made, why = year_of(cell, ways.year)
    return [Heard(field="age_years", value=float(ways.year - made), why=why)]


def _age(cell: str, ways: Ways) -> list[Heard]:
    value, _, why = one_number(cell, ways)
    if value > OLDEST:
        return _year(cell, ways)
    return [Heard(field="age_years", value=float(value), why=why)]


def _count(cell: str, ways: Ways) -> list[Heard]:
    value, _, why = one_number(cell, ways)
    if value != value.to_integral_value() or not value >= 1:
        raise ValueError(say("{cell} is no number of machines", cell=f"“{cell[:40]}”"))
    return [Heard(field="count", value=int(value), why=why)]


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
    one, other = find({"to": "t", "tonnen": "t", "ton": "t", "tonnes": "t", "tm": "t",
                       "kgs": "kg", "u/min": "1/min", "tr/min": "1/min", "omw/min": "1/min",
                       "giri/min": "1/min", "r/min": "1/min", "upm": "1/min", "t/min": "1/min",
                       "min-1": "1/min"}.get(bare.casefold(), bare)), find(unit)  # fmt: skip
    if one is None or other is None or one.measures != other.measures:
        raise ValueError(say("{words} is no unit of that", words=f"“{bare[:30]}”"))
    return float(Fraction(value) * one.factor / other.factor), True


def _size(field: str, unit: str) -> Callable[[str, Ways], list[Heard]]:
    def read(cell: str, ways: Ways) -> list[Heard]:
        value, words, why = one_number(cell, ways)
        size, _ = in_unit(value, words, unit)
        if size <= 0:
            raise ValueError(say("it is nothing"))
        return [Heard(field=field, value=size, why=why)]

    return read


def _travel(cell: str, ways: Ways) -> list[Heard]:
    numbers = [number_of(found[0], ways.mark) for found in NUMBER.finditer(cell)]
    if not 2 <= len(numbers) <= MOST_TRAVELS or not all(numbers):
        raise ValueError(say("{cell} is no row of travels", cell=f"“{cell[:40]}”"))
    inches = re.search(r"\"|\bin(?:ch)?\b", cell) is not None
    factor = Decimal("25.4") if inches else Decimal(1)
    return [Heard(field="travel_mm", value=tuple(float(one * factor) for one in numbers))]


def _words(field: str) -> Callable[[str, Ways], list[Heard]]:
    return lambda cell, ways: [Heard(field=field, value=cell)]


def _currency(cell: str, ways: Ways) -> list[Heard]:
    code = {"€": "EUR", "£": "GBP", "$": "USD"}.get(cell.strip(), cell.strip().upper())
    try:
        return [Heard(field="currency", value=known_code(code))]
    except Unusable as refusal:
        raise ValueError(refusal.reason) from refusal


def _share(field: str, most: int) -> Callable[[str, Ways], list[Heard]]:
    def read(cell: str, ways: Ways) -> list[Heard]:
        value, words, why = one_number(cell, ways)
        if words.strip(" .") not in ("", "%"):
            raise ValueError(say("{words} is no share", words=f"“{words[:30]}”"))
        share = value if value <= 1 and "%" not in cell else value / 100
        if share * 100 > most:
            raise ValueError(say("{cell} is too large a share", cell=f"“{cell[:40]}”"))
        return [Heard(field=field, value=float(share), why=why)]

    return read


SCHEMES: Mapping[str, str] = {
    word: scheme
    for scheme, words in {
        "margin": "margin marge margeregeling regime de la marge differenzbesteuert "
        "differenzbesteuerung margine",
        "private": "private particulier privat privato privado",
    }.items()
    for word in words.split()
}
"""Words of a tax column that name a scheme."""


def _tax(cell: str, ways: Ways) -> list[Heard]:
    word = next((one for one in plain(cell).split() if one in SCHEMES), "")
    if word:
        return [Heard(field="tax_scheme", value=SCHEMES[word])]
    share = tax_share(cell, ways.mark or "point")
    if share is None:
        raise ValueError(say("{cell} is no rate of tax", cell=f"“{cell[:40]}”"))
    return [Heard(field="tax_rate", value=float(share))]


def _the_day(cell: str, first: DayFirst) -> date:
    """A day; refused where it may be two and nobody knows which goes first."""
    if first != "open":
        return day_of_cell(cell, first)
    one, other = day_of_cell(cell, "day"), _or_none(cell)
    if other is not None and other != one:
        raise ValueError(say("{cell} means two days", cell=f"“{cell[:40]}”"))
    return one


def _or_none(cell: str) -> date | None:
    try:
        return day_of_cell(cell, "month")
    except ValueError:
        return None


def _day(field: str) -> Callable[[str, Ways], list[Heard]]:
    def read(cell: str, ways: Ways) -> list[Heard]:
        return [Heard(field=field, value=_the_day(cell, ways.dates).isoformat())]

    return read


def _moment(cell: str, ways: Ways) -> list[Heard]:
    """When a lot closes: a day and an hour, with its offset from UTC."""
    try:
        moment = datetime.fromisoformat(cell.strip().replace(" ", "T", 1))
    except ValueError:
        moment = None
    if moment is None or len(cell.strip()) < LONG_ENOUGH:
        found = _HOUR.search(cell.strip())
        if found is None or not (found[2] or found[3]):
            raise ValueError(say("it says no hour"))
        day = _the_day(cell.strip()[: found.start()].strip(" ,-T"), ways.dates)
        moment = datetime.fromisoformat(f"{day}T{int(found[1]) % 24:02d}:{found[2] or '00'}")
    if moment.tzinfo is not None:
        return [Heard(field="closes_at", value=moment.isoformat(timespec="minutes"))]
    if not ways.offset:
        raise ValueError(say("it says no offset from UTC, as +01:00"))
    told = f"{moment.isoformat(timespec='minutes')}{ways.offset}"
    return [Heard(field="closes_at", value=told, why=say("its offset is that of the sale"))]


LONG_ENOUGH = 16  # characters of a day with an hour: 2026-12-03T18:00
_HOUR = re.compile(
    r"(?i)(?<=[\sT,])([0-9]{1,2})(?:[:.h]\s?([0-9]{2})(?::[0-9]{2})?)?\s*(h|u|uur|uhr|hrs)?\.?$"
)


READERS: Mapping[str, Callable[[str, Ways], list[Heard]]] = {
    "year": _year,
    "age": _age,
    "count": _count,
    "mass_kg": _size("mass_kg", "kg"),
    "load_kg": _size("load_kg", "kg"),
    "bar_mm": _size("bar_mm", "mm"),
    "speed_rpm": _size("speed_rpm", "1/min"),
    "tolerance_mm": _size("tolerance_mm", "mm"),
    "width_mm": _size("width_mm", "mm"),
    "height_mm": _size("height_mm", "mm"),
    "x": _size("x", "mm"),
    "y": _size("y", "mm"),
    "z": _size("z", "mm"),
    "diameter": _size("diameter", "mm"),
    "length": _size("length", "mm"),
    "travel": _travel,
    "taper": _words("taper"),
    "control": _words("control"),
    "seller": _words("seller"),
    "currency": _currency,
    "distance_km": _size("distance_km", "km"),
    "premium": _share("premium", MOST_PREMIUM),
    "tax": _tax,
    "removal_by": _day("removal_by"),
    "closes_at": _moment,
}
"""What reads the cells of a column, by its role; money is read by itself."""


def heard_in(role: str, cell: str, ways: Ways) -> list[Heard]:
    """What one cell says.

    Parameters
    ----------
    role : str
        Of its column: a key of :data:`READERS`.
    cell : str
    ways : Ways

    Returns
    -------
    list of Heard

    Raises
    ------
    ValueError
        It says nothing that can be read; the text says why.

    Examples
    --------
    >>> heard_in("mass_kg", "ca. 3,5 t", Ways(mark="comma", year=2026))[0].value
    3500.0
    """
    if says_nothing(cell):
        raise ValueError(say("it says that nobody knows"))
    return READERS[role](cell, ways)
