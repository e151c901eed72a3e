"""Numbers, money, odds and dates as a person reads them; the only place that formats.

In the reader's language: a comma before decimals where it is written so, and in Dutch the minus
behind the currency sign. Thousands stand apart by a thin space and a day is year, month, day in
every language, so that neither can be taken for something else.

References
----------
ISO 80000-1:2022, 7.3 (thousands by a thin space; comma or point before decimals); ISO 8601-1:2019
(days); Unicode CLDR, locales nl and nl-BE (decimal comma; currency pattern "¤ -#,##0.00").
"""

from __future__ import annotations

import math
from datetime import date, datetime
from decimal import ROUND_HALF_EVEN, Decimal

from retrue.base.say import COMMA, reader, say

THIN = "\u202f"  # narrow no-break space
MINUS = "\u2212"
_NOISE = 1e-9  # by which a float that was typed may be off
SIGN_FIRST = frozenset({"nl"})  # the currency stands before the minus
SIGNS = {"EUR": "€", "GBP": "£", "USD": "$", "CHF": "CHF"}


def number(value: float | Decimal, digits: int = 0, *, signed: bool = False) -> str:
    """Group thousands by a thin space, true minus, the reader's mark before decimals.

    Parameters
    ----------
    value : float or Decimal
        The number.
    digits : int
        Decimals to show.
    signed : bool
        Show a plus as well.

    Returns
    -------
    str
        The number, never broken over a line.

    Examples
    --------
    >>> number(-12345.6, 1) == "\u221212\u202f345.6"
    True
    """
    step = Decimal(1).scaleb(-digits)
    rounded = Decimal(str(value)).quantize(step, rounding=ROUND_HALF_EVEN)
    if rounded == 0:
        rounded = abs(rounded)
    sign = MINUS if rounded < 0 else "+" if signed and rounded > 0 else ""
    return sign + marked(f"{abs(rounded):,.{digits}f}".replace(",", THIN))


def marked(text: str) -> str:
    """A number that was written with a point, with the mark of the reader's language.

    Parameters
    ----------
    text : str
        "2.5"; it holds no other point.

    Returns
    -------
    str

    Examples
    --------
    >>> from retrue.base.say import speaking
    >>> marked("2.5")
    '2.5'
    >>> with speaking("nl"):
    ...     marked("2.5")
    '2,5'
    """
    return text.replace(".", ",") if reader() in COMMA else text


def short(value: float | Decimal, how: str = "g") -> str:
    """A number as it was typed: no more decimals than it has, nothing between thousands.

    Parameters
    ----------
    value : float or Decimal
        The number; one that was worked out is shown to four figures.
    how : str
        Another format of the language Python: ".4g", ".1f".

    Returns
    -------
    str

    Examples
    --------
    >>> short(2.50), short(40.0), short(2.26, ".1f"), short(100 / 240)
    ('2.5', '40', '2.3', '0.4167')
    """
    if how == "g" and is_worked_out(value):
        how = f".{decimals(float(value))}f"
    return marked(format(value, how))


def is_worked_out(value: float | Decimal) -> bool:
    """Whether a number has more decimals than anybody types.

    Parameters
    ----------
    value : float or Decimal

    Returns
    -------
    bool

    Examples
    --------
    >>> is_worked_out(100 / 240), is_worked_out(1.171234), is_worked_out(0.1 + 0.2)
    (True, False, False)
    """
    return math.isfinite(value) and abs(float(value) - round(float(value), 6)) > _NOISE


def decimals(value: float) -> int:
    """As many decimals as a typed number has, at most six; of one worked out those of four figures.

    Parameters
    ----------
    value : float

    Returns
    -------
    int

    Examples
    --------
    >>> decimals(400.0), decimals(1.171234), decimals(100 / 240), decimals(1200 / 7)
    (0, 6, 4, 1)
    """
    if is_worked_out(value) and round(value, 6):
        return min(6, max(0, 3 - math.floor(math.log10(abs(value)))))
    return len(f"{value:.6f}".rstrip("0").partition(".")[2])


def money(value: float | Decimal, currency: str, digits: int = 0, *, signed: bool = False) -> str:
    """An amount with its currency sign in front.

    Parameters
    ----------
    value : float or Decimal
        The amount.
    currency : str
        Three letters; one without a sign of its own is shown by its letters.
    digits : int
        Decimals to show.
    signed : bool
        Show a plus as well.

    Returns
    -------
    str
        The amount, never broken over a line.

    Examples
    --------
    >>> money(6150, "EUR") == "€\u202f6\u202f150"
    True
    """
    text = number(value, digits, signed=signed)
    if reader() in SIGN_FIRST:
        return SIGNS.get(currency, currency) + THIN + text
    sign = text[0] + THIN if text[:1] in (MINUS, "+") else ""
    return sign + SIGNS.get(currency, currency) + THIN + (text[1:] if sign else text)


def span(low: float, high: float, digits: int = 0) -> str:
    """An interval in words.

    Parameters
    ----------
    low, high : float
        Its ends.
    digits : int
        Decimals to show.

    Returns
    -------
    str
        "from ... to ...".

    Examples
    --------
    >>> span(3, 5)
    'from 3 to 5'
    """
    return say("from {low} to {high}", low=number(low, digits), high=number(high, digits))


def odds(share: float) -> str:
    """A probability as plain odds, rounded to what a person can hold.

    Parameters
    ----------
    share : float
        The probability, 0 to 1.

    Returns
    -------
    str
        The nearest of a few odds; the ends claim no certainty.

    Examples
    --------
    >>> odds(0.2), odds(0.5), odds(0.004), odds(0.97)
    ('about 1 in 5', 'about 1 in 2', 'less than 1 in 100', 'about 29 in 30')
    """
    if share < 0.01:
        return say("less than 1 in 100")
    if share > 0.99:
        return say("more than 99 in 100")
    whole = [(top, bottom) for bottom in (2, 3, 4, 5, 6, 7, 8, 10, 20) for top in range(1, bottom)]
    rare = [(top, bottom) for bottom in (30, 50, 100) for top in (1, bottom - 1)]
    best = min(
        whole + rare,
        key=lambda pair: (round(abs(pair[0] / pair[1] - share) / 0.02), pair[1]),
    )
    return say("about {some} in {all}", some=best[0], all=best[1])


def day(when: date | datetime) -> str:
    """A day, unmistakable in every language.

    Parameters
    ----------
    when : date or datetime
        The day.

    Returns
    -------
    str
        Year, month, day.

    Examples
    --------
    >>> day(date(2026, 11, 25))
    '2026-11-25'
    """
    return f"{when:%Y-%m-%d}"


def minute(when: datetime) -> str:
    """A moment to the minute.

    Parameters
    ----------
    when : datetime
        The moment, in the offset in which it is to be read.

    Returns
    -------
    str
        Year, month, day, hour, minute.

    Examples
    --------
    >>> minute(datetime(2026, 11, 25, 21, 40))
    '2026-11-25 21:40'
    """
    return f"{when:%Y-%m-%d %H:%M}"
