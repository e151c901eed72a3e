"""Amounts as tables write them: the decimal mark is found from all of them, never from one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from retrue.base.currencies import MINOR
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.bring_words import IN_WORDS, OUT_WORDS

DecimalMark = Literal["comma", "point"]
MARKS: dict[DecimalMark, str] = {"comma": ",", "point": "."}
LONGEST = 60  # characters of a cell that holds one amount
LARGEST = Decimal(10) ** 12
SYMBOLS = {"€": "EUR", "£": "GBP", "$": "USD", "¥": "JPY"}
MINUS = "\u2212\u2013-"
_BLANKS = " \u00a0\u2009\u202f'\u2019"
_NUMBER = re.compile(
    rf"(?P<before>[^0-9.,]*)(?P<digits>(?:[.,]?[0-9])(?:[{_BLANKS}]?[0-9.,]*[0-9])*)"
    r"(?P<dash>[.,][-\u2013]{1,2})?(?P<after>[^0-9]*)"
)
_GROUPS = re.compile(rf"[0-9]{{1,3}}(?:[{_BLANKS}][0-9]{{3}})+")
_TOKEN = re.compile(rf"[()+{MINUS}]|[€£$¥]|[^\W\d_]+|\S")


@dataclass(frozen=True, slots=True)
class Amount:
    """One cell as an amount.

    Attributes
    ----------
    value : Decimal
        0 or more.
    sign : int
        -1 out, 1 in, 0: nothing in the cell says.
    currency : str
        Three letters, where the cell says them.
    """

    value: Decimal
    sign: int
    currency: str = ""


def decimal_mark(
    cells: Iterable[tuple[int, str]], name: str, wanted: DecimalMark | None = None
) -> DecimalMark:
    """The decimal mark of a table.

    Parameters
    ----------
    cells : iterable of (line number, cell)
        Every cell that holds an amount.
    name : str
        Of the file, for refusals.
    wanted : str or None
        comma, point: as the owner said; the cells are not asked then.

    Returns
    -------
    str
        comma or point; point where no cell has a mark.

    Raises
    ------
    Unusable
        Two lines disagree, and both are named; or every mark stands before exactly three digits,
        so that 1.250 may be 1250 or 1.25.

    References
    ----------
    ISO 80000-1:2009, 7.3.2: the decimal sign is a comma or a point on the line; digits are
    grouped by a small space, never by a comma or a point (from memory).

    Examples
    --------
    >>> decimal_mark([(2, "1.250,00"), (3, "-12")], "bank.csv")
    'comma'
    """
    if wanted is not None:
        return wanted
    sure: dict[DecimalMark, tuple[int, str]] = {}
    doubtful: tuple[int, str] | None = None
    for number, cell in cells:
        told = mark_told(cell)
        if told == "either":
            doubtful = doubtful or (number, cell)
        elif told is not None:
            sure.setdefault(told, (number, cell))
    if len(sure) == 2:
        raise _mixed(name, sure)
    if not sure and doubtful is not None:
        raise _either(name, *doubtful)
    return next(iter(sure), "point")


def mark_told(cell: str) -> DecimalMark | Literal["either"] | None:
    """What one cell says of the decimal mark.

    Parameters
    ----------
    cell : str

    Returns
    -------
    str or None
        comma, point; either: its mark stands before exactly three digits; None: it has no mark.

    Examples
    --------
    >>> mark_told("12.500,50"), mark_told("12.500,-"), mark_told("12.500"), mark_told("12 500")
    ('comma', 'comma', 'either', None)
    """
    found = _NUMBER.fullmatch(cell.strip()[:LONGEST])
    if found is None:
        return None
    if found["dash"]:
        return _mark_of(found["dash"][0])
    digits = re.sub(rf"[{_BLANKS}]", "", found["digits"])
    grouped = digits != found["digits"]
    marks = [letter for letter in digits if letter in ",."]
    if not marks:
        return None
    last = marks[-1]
    if len(set(marks)) == 2:
        return _mark_of(last) if marks.count(last) == 1 else None
    if len(marks) > 1:  # a decimal mark stands once: it parts thousands
        return "point" if last == "," else "comma"
    before, after = digits.split(last)
    if len(after) == 3 and 1 <= len(before) <= 3 and not before.startswith("0") and not grouped:
        return "either"
    return _mark_of(last)


def _mark_of(letter: str) -> DecimalMark:
    return "comma" if letter == "," else "point"


def _mixed(name: str, sure: dict[DecimalMark, tuple[int, str]]) -> Unusable:
    first, second = sorted(sure.items(), key=lambda one: one[1])
    remedy = say(
        "Correct the one that is wrong, or say which mark is decimal: comma or point (--decimal)."
    )
    return Unusable(
        say("{name} has decimal commas and decimal points", name=name),
        remedy=remedy,
        problems=tuple(
            Problem(
                say("line {number}", number=number),
                say("{cell} has a decimal comma", cell=f"“{cell}”")
                if mark == "comma"
                else say("{cell} has a decimal point", cell=f"“{cell}”"),
                remedy,
            )
            for mark, (number, cell) in (first, second)
        ),
    )


def _either(name: str, number: int, cell: str) -> Unusable:
    what = say("{cell} means two things", cell=f"“{cell}”")
    remedy = say("Say which mark is decimal: comma or point (--decimal).")
    return Unusable(
        say("{name}, line {number}: {what}", name=name, number=number, what=what),
        remedy=remedy,
        problems=(Problem(say("line {number}", number=number), what, remedy),),
    )


def amount_of(cell: str, mark: DecimalMark) -> Amount:
    """One cell as an amount.

    Parameters
    ----------
    cell : str
        -1.250,50; (12.50); 12,50-; 12.50 DR; € 12,50; 12,-; 1 250.
    mark : str
        comma or point.

    Returns
    -------
    Amount

    Raises
    ------
    ValueError
        It is no amount; the text says why.

    Examples
    --------
    >>> amount_of("(1.250,50)", "comma")
    Amount(value=Decimal('1250.50'), sign=-1, currency='')
    >>> amount_of("EUR 12,-", "comma")
    Amount(value=Decimal('12'), sign=0, currency='EUR')
    """
    text = cell.strip()
    if text.startswith("="):
        raise ValueError(say("{cell} is a formula, not an amount", cell=_short(cell)))
    found = _NUMBER.fullmatch(text) if len(text) <= LONGEST else None
    if found is None:
        raise ValueError(say("{cell} is no amount", cell=_short(cell)))
    if found["dash"] and _mark_of(found["dash"][0]) != mark:
        raise ValueError(_other_mark(cell, mark))
    value = _value(found["digits"], mark, cell)
    if value >= LARGEST:
        raise ValueError(say("{cell} is too large", cell=_short(cell)))
    sign, currency = _around(found["before"], found["after"], cell)
    return Amount(value=value, sign=sign, currency=currency)


def _value(digits: str, mark: DecimalMark, cell: str) -> Decimal:
    point, other = MARKS[mark], "." if mark == "comma" else ","
    if digits.count(point) > 1:
        raise ValueError(_other_mark(cell, mark))
    whole, _, part = digits.partition(point)
    if other in part or re.search(rf"[{_BLANKS}]", part):
        raise ValueError(_other_mark(cell, mark))
    if other in whole and not re.fullmatch(rf"[0-9]{{1,3}}(?:[{other}][0-9]{{3}})+", whole):
        raise ValueError(_other_mark(cell, mark))
    if re.search(rf"[{_BLANKS}]", whole) and not _GROUPS.fullmatch(whole):
        raise ValueError(say("{cell} is no amount", cell=_short(cell)))
    bare = re.sub(rf"[{_BLANKS}{re.escape(other)}]", "", whole)
    return Decimal(f"{bare or '0'}.{part or '0'}") if part else Decimal(bare)


def _other_mark(cell: str, mark: DecimalMark) -> str:
    if mark == "comma":
        return say("{cell} is no amount with a decimal comma", cell=_short(cell))
    return say("{cell} is no amount with a decimal point", cell=_short(cell))


def _around(before: str, after: str, cell: str) -> tuple[int, str]:
    """The sign and the currency that stand around the digits."""
    signs: set[int] = set()
    currency, brackets = "", 0
    for token in _tokens(before, after):
        word = token.casefold()
        if token in "()":
            brackets += 1
        elif token in MINUS or word in OUT_WORDS:
            signs.add(-1)
        elif word in IN_WORDS:
            signs.add(1)
        elif (code := SYMBOLS.get(token, token.upper())) in MINOR:
            if currency not in ("", code):
                raise ValueError(say("{cell} has two currencies", cell=_short(cell)))
            currency = code
        elif len(token) == 3 and token.isalpha() and token.isupper():
            raise ValueError(say("{code} is no currency", code=token))
        elif token != ".":
            raise ValueError(say("{cell} is no amount", cell=_short(cell)))
    if brackets not in (0, 2) or len(signs) > 1:
        raise ValueError(say("{cell} has two signs", cell=_short(cell)))
    if brackets:
        signs.add(-1)
    return (min(signs) if signs else 0), currency


def _tokens(before: str, after: str) -> Iterator[str]:
    yield from _TOKEN.findall(before)
    yield from _TOKEN.findall(after)


def _short(cell: str) -> str:
    return f"“{cell[:40]}”"
