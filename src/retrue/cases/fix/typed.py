"""Days, terms and money as people say and write them: read exactly, or not at all."""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.records.checking import FIRST_YEAR, LAST_YEAR

MOST_DAYS = 3660  # ten years: nobody quotes a longer term
SIGNS = {"€": "EUR", "£": "GBP", "$": "USD"}
WORDS = {
    "euro": "EUR", "euros": "EUR", "pound": "GBP", "pounds": "GBP", "quid": "GBP",
    "franc": "CHF", "francs": "CHF", "dollar": "USD", "dollars": "USD",
}  # fmt: skip
_CODES = (
    "AED ARS AUD BGN BHD BRL CAD CHF CLP CNY COP CZK DKK EGP EUR GBP GEL HKD HUF IDR ILS INR ISK "
    "JOD JPY KRW KWD KZT MAD MDL MKD MXN MYR NOK NZD OMR PEN PHP PKR PLN QAR RON RSD RUB SAR SEK "
    "SGD THB TND TRY TWD UAH USD UYU VND ZAR"
)
CODES = frozenset(_CODES.split())
"""The usual currencies by their three letters (ISO 4217, from memory)."""

WEEK = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MONTHS = ("january", "february", "march", "april", "may", "june", "july", "august", "september",
          "october", "november", "december")  # fmt: skip
COUNTED = ("a", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
           "eleven", "twelve")  # fmt: skip
_LONG = {"working day": Decimal(7) / 5, "workday": Decimal(7) / 5, "day": Decimal(1),
         "week": Decimal(7), "month": Decimal(30)}  # fmt: skip
_COUNT = r"(?:[0-9]+(?:[.,][0-9])?|" + "|".join(sorted(COUNTED, key=len, reverse=True)) + ")"
TERM = (
    rf"(?P<least>{_COUNT})(?:\s*(?:-|–|to)\s*(?P<most>{_COUNT}))?\s*(?P<unit>working days?|"
    r"workdays?|days?|weeks?|months?)"
)
PLAIN_TERM = re.sub(r"\(\?P<\w+>", "(?:", TERM)
_MONTH = "|".join(f"{name[:3]}(?:{name[3:]})?" for name in MONTHS)
WEEKDAY = "|".join(
    f"{name}|{short}" for name, short in zip(WEEK, ("mon", "tues?", "wed", "thu(?:rs?)?", "fri",
                                                   "sat", "sun"), strict=True)
)  # fmt: skip
DAY = (
    rf"(?:today|yesterday|(?:last\s+)?(?:{WEEKDAY})|[0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}}"
    r"|[0-9]{1,2}/[0-9]{1,2}(?:/(?:[0-9]{4}|[0-9]{2}))?"
    r"|[0-9]{1,2}\.[0-9]{1,2}\.(?:[0-9]{4}|[0-9]{2})?"  # 24.11 may be an amount, 24.11. is none
    rf"|[0-9]{{1,2}}\s+(?:{_MONTH})(?:\s+[0-9]{{4}})?)"
)
AMOUNT = r"[0-9]{1,3}(?:[ '’\u2009\u202f\u00a0][0-9]{3})+(?:[.,][0-9]+)?|[0-9]+(?:[.,][0-9]+)?"


def day_of(text: str, on: date, *, ahead: bool = False) -> date | None:
    """A day as people say it.

    Parameters
    ----------
    text : str
        today, yesterday, a weekday, 2026-11-24, 24/11, 24.11.2026, 24.11., 24 November: the day
        goes before the month.
    on : date
        The day on which it is said.
    ahead : bool
        Without a year, the next such day instead of the last; a weekday of the same name is in
        a week then. The last one may be today; "last Tuesday" may not.

    Returns
    -------
    date or None
        None: it is no day.

    Examples
    --------
    >>> on = date(2026, 11, 26)  # a Thursday
    >>> [f"{day_of(one, on):%d.%m.}" for one in ("Tuesday", "24/11", "yesterday", "Thursday")]
    ['24.11.', '24.11.', '25.11.', '26.11.']
    >>> day_of("Tuesday", on, ahead=True), day_of("31/11", on)
    (datetime.date(2026, 12, 1), None)
    """
    said = " ".join(text.casefold().split())
    if not re.fullmatch(DAY, said):
        return None
    if said in ("today", "yesterday"):
        return on - timedelta(days=said == "yesterday")
    bare = said.removeprefix("last ")
    names = [at for at, name in enumerate(WEEK) if name.startswith(bare[:3])]
    if names and not bare[0].isdigit():
        return _weekday(names[0], on, ahead, last=bare != said)
    found = _of_calendar(said, on, ahead)
    return found if found is not None and FIRST_YEAR <= found.year <= LAST_YEAR else None


def _weekday(which: int, on: date, ahead: bool, last: bool) -> date:
    back = (on.weekday() - which) % 7
    if ahead:
        return on + timedelta(days=7 - back)
    return on - timedelta(days=back or (7 if last else 0))


def _of_calendar(said: str, on: date, ahead: bool) -> date | None:
    try:
        if "-" in said:
            return date.fromisoformat(said)
        parts = re.split(r"[/. ]+", said.rstrip("."))
        month = parts[1]
        which = (
            int(month)
            if month.isdigit()
            else 1 + next(at for at, name in enumerate(MONTHS) if name.startswith(month[:3]))
        )
        if len(parts) > 2:
            year = int(parts[2]) + (2000 if len(parts[2]) == 2 else 0)
            return date(year, which, int(parts[0]))
        found = date(on.year, which, int(parts[0]))
        if ahead:
            return found if found >= on else found.replace(year=on.year + 1)
        return found if found <= on else found.replace(year=on.year - 1)
    except ValueError:
        return None


def term_days(text: str) -> float | None:
    """How long something takes; of a span, the longer.

    Parameters
    ----------
    text : str
        3 weeks, 10 days, 2-3 weeks, two to three weeks, 10 working days; a month has 30 days.

    Returns
    -------
    float or None
        Calendar days, whole ones, rounded up; None: it is no term, or longer than ten years.

    Examples
    --------
    >>> term_days("2-3 weeks"), term_days("10 working days"), term_days("two weeks")
    (21.0, 14.0, 14.0)
    >>> term_days("soon") is None
    True
    """
    found = re.fullmatch(TERM, " ".join(text.casefold().split()))
    if found is None:
        return None
    count = max(_count(found["least"]), _count(found["most"] or found["least"]))
    days = count * _LONG[found["unit"].removesuffix("s")]
    return float(days.to_integral_value(ROUND_CEILING)) if days <= MOST_DAYS else None


def _count(text: str) -> Decimal:
    if text in COUNTED:
        return Decimal(max(1, COUNTED.index(text)))
    return Decimal(text.replace(",", "."))


def money_of(text: str, *, field: str) -> Decimal:
    """An amount of money, exactly.

    Parameters
    ----------
    text : str
        As for :func:`retrue.base.units.number`; thousands may be parted by a blank as well.
    field : str
        For the refusal.

    Returns
    -------
    Decimal

    Raises
    ------
    Unusable
        It is none, it is below zero, or one mark stands before exactly three digits: 1.250 may be
        1250 or 1.25.

    Examples
    --------
    >>> money_of("1 250,50", field="amount")
    Decimal('1250.50')
    """
    plain = text.strip().replace("\u00a0", " ")
    if re.fullmatch(r"[1-9][0-9]{0,2}[.,][0-9]{3}", plain):
        whole = re.sub("[.,]", "", plain)
        raise _unusable(
            field,
            say("{text} means two things", text=f"“{plain}”"),
            say("Write {whole}, or {small}.", whole=whole, small=f"{plain.replace(',', '.')}0"),
        )
    if re.fullmatch(r"[0-9]{1,3}( [0-9]{3})+([.,][0-9]+)?", plain):
        plain = plain.replace(" ", "")
    found = number(plain, field=field)
    if found < 0:
        raise _unusable(
            field, say("{text} is below zero", text=f"“{plain}”"), say("Write what is asked.")
        )
    return found


def currency_of(text: str, *, field: str) -> str:
    """A currency by its three letters.

    Parameters
    ----------
    text : str
        EUR, €, euros; GBP, £; CHF; USD, $.
    field : str
        For the refusal.

    Returns
    -------
    str

    Raises
    ------
    Unusable
        There is none of that name.

    Examples
    --------
    >>> currency_of("£", field="currency"), currency_of("chf", field="currency")
    ('GBP', 'CHF')
    """
    plain = text.strip()
    found = SIGNS.get(plain) or WORDS.get(plain.casefold())
    if found is None and plain.upper() in CODES:
        found = plain.upper()
    if found is None:
        raise _unusable(
            field,
            say("{text} is no currency", text=f"“{plain[:20]}”"),
            say("Write its three letters: EUR, GBP, CHF, USD."),
        )
    return found


def _unusable(field: str, what: str, remedy: str) -> Unusable:
    return Unusable(
        say("{field}: {what}", field=field, what=what),
        remedy=remedy,
        problems=(Problem(field, what, remedy),),
    )
