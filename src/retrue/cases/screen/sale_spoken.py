"""What the words of one line say of a sale, as far as it can be told which figure is which. Pure.

A figure is taken where one word alone names it. Where it may be two things, or stands beside one
that nothing names, it is asked for.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from retrue.base.say import say
from retrue.cases.screen.cell_ways import Heard, Ways
from retrue.cases.screen.cells import MOST_PREMIUM
from retrue.cases.screen.money_words import currency_in
from retrue.cases.screen.sale_days import removal_in
from retrue.cases.screen.sale_words import (
    BESIDE,
    CLAUSE,
    COMES_BACK,
    FIGURE,
    HOLDS,
    JOINS,
    LOOSE_PREMIUM,
    MARGIN,
    NAMES_CURRENCY,
    NONE_AT_ALL,
    NOT,
    ON_PREMIUM,
    ONE_OF,
    OTHER,
    PREMIUM,
    PRICES_HOLD,
    PRICES_IN,
    SOME,
    TAX,
    What,
    without_accents,
)
from retrue.cases.settle.bring_tax import MOST_TAX

MOST: dict[str, int] = {"premium": MOST_PREMIUM, "tax_rate": MOST_TAX}


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Something a line speaks of, that has to be typed before it counts.

    Attributes
    ----------
    field : str
        premium, tax_rate, tax_scheme, currency, removal_days.
    why : str
    values : tuple of float
        What it may be, where figures stand there.
    """

    field: str
    why: str
    values: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Spoken:
    """What one line says of the sale.

    Attributes
    ----------
    heard : tuple of Heard
        Fields of :class:`retrue.cases.screen.terms.About`.
    asked : tuple of Asked
    """

    heard: tuple[Heard, ...] = ()
    asked: tuple[Asked, ...] = ()


NOTHING = Spoken()


@dataclass(slots=True)
class _Piece:
    """Words between two marks, and what joins them to those before."""

    text: str
    join: str = ""


@dataclass(slots=True)
class _Shares:
    """Every figure of a line by what it is."""

    found: dict[What, list[float]]
    loose: list[float]  # named by nothing
    unclear: list[float]  # named by two things
    holds_tax: bool = False  # the premium does
    in_price: bool = False  # the premium may be


def spoken_in(text: str, ways: Ways, closes_at: str = "") -> Spoken:
    """What one line says of a whole sale.

    Parameters
    ----------
    text : str
        All cells of the line.
    ways : Ways
        Its year, and which of day and month goes first.
    closes_at : str
        ISO 8601; empty: nobody says.

    Returns
    -------
    Spoken
        Nothing where the line says nothing of the sale.

    Examples
    --------
    >>> ways = Ways(mark=None, year=2026)
    >>> told = spoken_in("Aufgeld 18 % zzgl. 19 % MwSt., Preise in CHF", ways)
    >>> [(one.field, one.value) for one in told.heard]
    [('premium', 0.18), ('tax_rate', 0.19), ('currency', 'CHF')]
    >>> [one.field for one in spoken_in("Premium 18 %, online 21 %", ways).asked]
    ['premium']
    """
    bare = without_accents(text)
    shares = shares_in(text)
    heard, asked = list(shares.heard), list(shares.asked)
    for one in (*_currency(bare), *removal_in(bare.casefold(), ways, closes_at)):
        if isinstance(one, Heard):
            heard.append(one)
        else:
            asked.append(Asked(field=one[0], why=one[1], values=one[2]))
    return Spoken(tuple(heard), tuple(asked))


def shares_in(text: str) -> Spoken:
    """Premium and tax that words name.

    Parameters
    ----------
    text : str

    Returns
    -------
    Spoken

    Examples
    --------
    >>> [one.value for one in shares_in("CNC lathe, opgeld 20 %").heard]
    [0.2]
    >>> shares_in("18 % reduction"), shares_in("tel. 018 21 00 16") == NOTHING
    (Spoken(heard=(), asked=()), True)
    """
    low = without_accents(text).casefold()
    if not any(one in low for one in ONE_OF):
        return NOTHING
    shares = _shares(low)
    heard: list[Heard] = []
    asked: list[Asked] = []
    some = SOME.search(low) is not None
    for field in ("premium", "tax_rate"):
        told = _one_share(field, shares, low, some=some)
        if isinstance(told, Heard):
            heard.append(told)
        elif told is not None:
            asked.append(told)
    if shares.found.get("on_premium"):
        why = say("it is the tax of the premium alone")
        asked.append(Asked(field="tax_rate", why=why, values=tuple(shares.found["on_premium"])))
    heard = _net(heard, shares)
    heard += _words(low, heard, some=some)
    if MARGIN.search(low):
        asked += [] if not some else [Asked(field="tax_scheme", why=_some())]
        heard += [] if some else [Heard(field="tax_scheme", value="margin")]
    return Spoken(tuple(heard), tuple(asked))


def _some() -> str:
    return say("it speaks of some lots only")


def _shares(low: str) -> _Shares:
    told = _Shares({}, [], [])
    unsaid = False  # the piece before names a premium without a figure
    premium = False  # the piece before gives one
    for piece in _pieces(low):
        figures = [(one.start(), _share(one)) for one in FIGURE.finditer(piece.text)]
        words = _named(piece.text)
        kinds = {kind for _, kind in words}
        premium, unsaid = premium and piece.join != "", unsaid and piece.join != ""
        if premium and HOLDS.match(piece.join):
            told.holds_tax |= "tax_rate" in kinds or piece.join == "ttc"
        told.in_price |= "premium" in kinds and HOLDS.match(piece.join) is not None
        if unsaid:
            told.unclear += [value for _, value in figures]
        else:
            _sort(figures, words, piece.text, told)
        unsaid = "premium" in kinds and not figures
        premium = "premium" in kinds and bool(figures)
    return told


def _sort(
    figures: Sequence[tuple[int, float]], words: Sequence[tuple[int, What]], text: str,
    told: _Shares,
) -> None:  # fmt: skip
    """The figures of one piece, each to the word that names it."""
    kinds = {kind for _, kind in words}
    if len(figures) == 1 and len(kinds) > 1 and _nearest(figures[0][0], words) == "other":
        return
    if len(figures) == 1 and len(kinds) == 1 and _near(text, figures[0][0]):
        told.found.setdefault(words[0][1], []).append(figures[0][1])
    elif figures and not words:
        told.loose += [value for _, value in figures]
    elif figures and _alternate(figures, words):
        for (_, value), (_, kind) in zip(figures, words, strict=True):
            told.found.setdefault(kind, []).append(value)
    else:
        told.unclear += [value for _, value in figures]


def _nearest(figure: int, words: Sequence[tuple[int, What]]) -> What:
    return min(words, key=lambda one: abs(one[0] - figure))[1]


def _pieces(low: str) -> Iterator[_Piece]:
    """Clauses, cut where words join two things; what stands in brackets is a piece of its own."""

    def out(found: re.Match[str]) -> str:
        inside = found[1]
        if not re.search(r"[^\W\d]", FIGURE.sub("", inside)):
            return f" {inside} "
        told = FIGURE.search(inside) or (HOLDS.search(inside) and TAX.search(inside))
        return f" \x00 {inside} \x00 " if told else " "

    for clause in CLAUSE.split(re.sub(r"[(\[]([^()\[\]]*)[)\]]", out, low)):
        at, join = 0, ""
        for found in JOINS.finditer(clause):
            if clause[at : found.start()].strip():
                yield _Piece(clause[at : found.start()], join)
            at, join = found.end(), found[0]
        if clause[at:].strip() or join == "ttc":
            yield _Piece(clause[at:], join)


def _named(text: str) -> list[tuple[int, What]]:
    """What the words of a piece name, in their order; of equals beside one another the first."""
    found: dict[int, What] = {}
    covered = [one.span() for one in ON_PREMIUM.finditer(text)]
    for start, _ in covered:
        found[start] = "on_premium"
    patterns: tuple[tuple[re.Pattern[str], What], ...] = (
        (PREMIUM, "premium"), (LOOSE_PREMIUM, "premium"), (TAX, "tax_rate"), (OTHER, "other"),
    )  # fmt: skip
    for pattern, kind in patterns:
        for one in pattern.finditer(text):
            if not any(start <= one.start() < stop for start, stop in covered):
                found.setdefault(one.start(), kind)
    every = sorted(found.items())
    if covered:  # "21 % VAT on the premium" is one thing
        every = [(at, kind) for at, kind in every if kind != "tax_rate"]
    return [one for at, one in enumerate(every) if at == 0 or every[at - 1][1] != one[1]]


def _near(text: str, figure: int) -> bool:
    """Whether a word that may mean something else stands beside its figure."""
    if PREMIUM.search(text) or not LOOSE_PREMIUM.search(text):
        return True
    end = FIGURE.match(text, figure)
    after = figure if end is None else end.end()
    gaps = [
        figure - one.end() if one.end() <= figure else one.start() - after
        for one in LOOSE_PREMIUM.finditer(text)
    ]
    return min(gaps) <= BESIDE


def _alternate(figures: Sequence[tuple[int, float]], words: Sequence[tuple[int, What]]) -> bool:
    """Whether figures and words take turns, so that each word has its own."""
    if len(figures) != len(words):
        return False
    order = sorted([(at, "figure") for at, _ in figures] + [(at, "word") for at, _ in words])
    return all(one[1] != other[1] for one, other in pairwise(order))


def _share(found: re.Match[str]) -> float:
    return round(float(found[1].replace(",", ".")) / 100.0, 6)


def _one_share(field: What, shares: _Shares, low: str, *, some: bool) -> Heard | Asked | None:
    """What is said of one of the two; nothing where no word names it."""
    values = list(dict.fromkeys(shares.found.get(field, [])))
    named = _names(field, low)
    open_ones = [one for one in shares.unclear if named and not values]
    if field == "premium" and named:
        open_ones += [one for one in shares.loose if one * 100 <= MOST_PREMIUM]
    may_be = tuple(dict.fromkeys((*values, *open_ones)))
    if not may_be:
        return None
    if some:
        return Asked(field=field, why=_some(), values=may_be)
    if len(may_be) > 1:
        return Asked(field=field, why=say("it may be one figure or the other"), values=may_be)
    if field == "premium" and shares.in_price:
        return Asked(field=field, why=say("the prices may hold it already"), values=may_be)
    if open_ones:
        return Asked(field=field, why=say("it may be the premium or the tax"), values=may_be)
    if may_be[0] * 100 > MOST[field]:
        return Asked(field=field, why=say("it is too large a share"), values=may_be)
    return Heard(field=field, value=may_be[0])


def _names_premium(low: str) -> bool:
    return PREMIUM.search(low) is not None or LOOSE_PREMIUM.search(low) is not None


def _names(field: What, low: str) -> bool:
    return _names_premium(low) if field == "premium" else TAX.search(low) is not None


def _net(heard: list[Heard], shares: _Shares) -> list[Heard]:
    """The premium without the tax that it holds, where the line says so."""
    if not shares.holds_tax:
        return heard
    rate = next((float(str(one.value)) for one in heard if one.field == "tax_rate"), None)
    told = []
    for one in heard:
        if one.field == "premium" and rate is None:
            one = Heard(field="premium", value=one.value,
                        why=say("it holds tax; nobody says its rate"))  # fmt: skip
        elif one.field == "premium" and rate is not None:
            net = round(float(str(one.value)) / (1.0 + rate), 6)
            why = say("without the tax that it holds, at {share} %", share=format(100 * rate, "g"))
            one = Heard(field="premium", value=net, why=why)
        told.append(one)
    return told


def _words(low: str, heard: Sequence[Heard], *, some: bool) -> Iterator[Heard]:
    """What is said without a figure: no premium; whether the tax comes back."""
    if NONE_AT_ALL.search(low) and not some and all(one.field != "premium" for one in heard):
        yield Heard(field="premium", value=0.0, why=say("the line says that there is none"))
    if PRICES_HOLD.search(low) and not some:
        yield Heard(field="prices_hold_tax", value=True)
    back = COMES_BACK.search(low)
    if back is not None and TAX.search(low) and not some:
        clause = low[max(back.start() - 24, 0) : back.end() + 12]
        yield Heard(field="tax_reclaimable", value=NOT.search(clause) is None)


def _currency(bare: str) -> Iterator[Heard | tuple[str, str, tuple[float, ...]]]:
    """The currency of amounts that name none."""
    for pattern in (NAMES_CURRENCY, PRICES_IN):
        for found in pattern.finditer(bare):
            try:
                code = currency_in(found[1])
            except ValueError as wrong:
                yield "currency", str(wrong), ()
                continue
            if "$" in found[1] and "US" not in found[1]:
                yield "currency", say("{cell} may be that of several countries", cell="“$”"), ()
            elif code:
                yield Heard(field="currency", value=code)
                return
