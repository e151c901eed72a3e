"""One cell of a catalogue, by what its column is: what it says, or why it says nothing. Pure."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime

from retrue.base.currencies import known_code
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.screen.cell_sizes import dimensions, size, travel
from retrue.cases.screen.cell_ways import DayFirst, Heard, Ways, one_number
from retrue.cases.screen.money_words import ABOUT, CURRENCY_WORDS, says_nothing
from retrue.cases.settle.bring_days import day_of_cell
from retrue.cases.settle.bring_tax import tax_share
from retrue.cases.settle.bring_words import plain

FIRST_MADE = 1900
OLDEST = 99  # years
MOST_PREMIUM = 50  # per cent
MOST_OF_A_LOT = 20  # machines


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


def _words(field: str) -> Callable[[str, Ways], list[Heard]]:
    return lambda cell, ways: [Heard(field=field, value=cell)]


def _currency(cell: str, ways: Ways) -> list[Heard]:
    bare = cell.strip().upper()
    if bare == "$":
        if not ways.dollar:
            raise ValueError(say("{cell} may be that of several countries", cell="“$”"))
        return [Heard(field="currency", value=ways.dollar)]
    code = SIGNS.get(bare) or CURRENCY_WORDS.get(plain(cell), bare)
    try:
        return [Heard(field="currency", value=known_code(code))]
    except Unusable as refusal:
        raise ValueError(refusal.reason) from refusal


SIGNS: Mapping[str, str] = {
    "€": "EUR", "£": "GBP", "US$": "USD", "$US": "USD", "C$": "CAD", "CA$": "CAD", "A$": "AUD",
    "AU$": "AUD", "NZ$": "NZD",
}  # fmt: skip
"""Signs of one currency alone."""


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
    "mass_kg": size("mass_kg", "kg"),
    "load_kg": size("load_kg", "kg"),
    "bar_mm": size("bar_mm", "mm"),
    "speed_rpm": size("speed_rpm", "1/min"),
    "tolerance_mm": size("tolerance_mm", "mm"),
    "width_mm": size("width_mm", "mm"),
    "height_mm": size("height_mm", "mm"),
    "dimensions": dimensions,
    "x": size("x", "mm"),
    "y": size("y", "mm"),
    "z": size("z", "mm"),
    "diameter": size("diameter", "mm"),
    "length": size("length", "mm"),
    "travel": travel,
    "taper": _words("taper"),
    "control": _words("control"),
    "seller": _words("seller"),
    "currency": _currency,
    "distance_km": size("distance_km", "km"),
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
