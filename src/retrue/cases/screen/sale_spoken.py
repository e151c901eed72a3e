"""What the words of one line say of a sale, as far as it can be told which figure is which. Pure.

A figure is taken where one word alone names it. Where it may be two things, or stands beside one
that nothing names, it is asked for.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from retrue.base.say import say
from retrue.cases.screen.cell_ways import Heard, Ways
from retrue.cases.screen.cells import MOST_PREMIUM
from retrue.cases.screen.sale_asked import Asked, some_lots
from retrue.cases.screen.sale_currency import currencies_in
from retrue.cases.screen.sale_days import removal_in
from retrue.cases.screen.sale_narrow import NARROWS, beside, goes_on, lower_end, narrowed
from retrue.cases.screen.sale_no_figure import bare_number, words_in
from retrue.cases.screen.sale_words import (
    BETWEEN,
    CLAUSE,
    FIGURE,
    HELD,
    HOLDS,
    JOINS,
    LOOSE_PREMIUM,
    NOT,
    ON_PREMIUM,
    ONE_OF,
    OTHER,
    PREMIUM,
    SOME,
    TAX,
    THIS_LOT,
    What,
    without_accents,
)
from retrue.cases.settle.bring_tax import MOST_TAX

MOST: dict[str, int] = {"premium": MOST_PREMIUM, "tax_rate": MOST_TAX}


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
REMOVAL = frozenset({"removal_days", "removal_by"})


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
    after_tax: list[float]  # those of them that follow a tax
    unclear: list[float]  # named by two things
    narrow: dict[What, str]  # why it may not count for every lot
    lower: list[float]  # from which a share goes to another
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
    if THIS_LOT.search(bare.casefold()):
        asked += [Asked(field=one.field, why=some_lots(), values=_values(one)) for one in heard]
        heard = []
    some = SOME.search(bare.casefold()) is not None
    for one in (*currencies_in(bare), *removal_in(bare.casefold(), ways, closes_at)):
        if isinstance(one, Heard) and some and one.field in REMOVAL:
            asked.append(Asked(field="removal_days", why=some_lots()))
        elif isinstance(one, Heard):
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
    held = HELD.search(low)
    before = "" if held is None else re.split(r"[;|\n]", low[: held.start()])[-1]
    if held and _names_premium(before) and not NOT.search(held[0]) and not shares.holds_tax:
        shares.narrow.setdefault("premium", beside(held[1]))
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
    premium = "premium" in {one.field for one in asked} | {one.field for one in heard}
    for one in words_in(low, some=some, premium=premium):
        if isinstance(one, Heard):
            heard.append(one)
        else:
            asked.append(one)
    return Spoken(tuple(heard), tuple(asked))


def _values(one: Heard) -> tuple[float, ...]:
    return (one.value,) if isinstance(one.value, float) else ()


def _shares(low: str) -> _Shares:
    told = _Shares({}, [], [], [], {}, [])
    unsaid = False  # the piece before names a premium without a figure
    premium = False  # the piece before gives one
    last: frozenset[What] = frozenset()  # what the figures before are of
    for piece in _pieces(low):
        figures = [(one.start(), _share(one)) for one in FIGURE.finditer(piece.text)]
        words = _named(piece.text)
        kinds = frozenset(kind for _, kind in words)
        premium, unsaid = premium and piece.join != "", unsaid and piece.join != ""
        if premium and HOLDS.match(piece.join):
            told.holds_tax |= "tax_rate" in kinds or piece.join == "ttc"
        told.in_price |= "premium" in kinds and HOLDS.match(piece.join) is not None
        if unsaid:
            told.unclear += [value for _, value in figures]
        else:
            _sort(figures, words, piece.text, told)
        last = _narrow(piece, figures, words, last, told)
        unsaid = "premium" in kinds and not figures
        premium = "premium" in kinds and bool(figures)
    return told


def _narrow(
    piece: _Piece, figures: Sequence[tuple[int, float]], words: Sequence[tuple[int, What]],
    last: frozenset[What], told: _Shares,
) -> frozenset[What]:  # fmt: skip
    """Keep what stands beside a figure and narrows it; what the figures up to here are of."""
    kinds = frozenset(kind for _, kind in words)
    why = ""
    if figures and kinds:
        since = min(figures[0][0], words[0][0])
        why = narrowed(piece.text, since=since, figure=figures[0][0])
        low = (lower_end(piece.text, at) for at, _ in figures)
        told.lower += [one for one in low if one is not None]
        last = kinds
    elif kinds:
        last = frozenset()
    elif figures and "tax_rate" in last:
        told.after_tax += [value for _, value in figures]
    elif last and (piece.join or goes_on(piece.text)):
        why = narrowed(piece.text)
    for kind in last if why else ():
        told.narrow.setdefault(kind, why)
    return last


def _sort(
    figures: Sequence[tuple[int, float]], words: Sequence[tuple[int, What]], text: str,
    told: _Shares,
) -> None:  # fmt: skip
    """The figures of one piece, each to the word that names it."""
    kinds = {kind for _, kind in words}
    if len(figures) == 1 and len(kinds) > 1 and _nearest(figures[0][0], words) == "other":
        return
    if figures and not words:
        told.loose += [value for _, value in figures]
    elif _alternate(figures, words) and ("premium" not in kinds or _near(text, figures)):
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
        told = FIGURE.search(inside) or NARROWS.search(inside) or (
            HOLDS.search(inside) and TAX.search(inside)
        )  # fmt: skip
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
    starts = [start for start, _ in covered]
    for start in starts:
        found[start] = "on_premium"
    patterns: tuple[tuple[re.Pattern[str], What], ...] = (
        (PREMIUM, "premium"), (LOOSE_PREMIUM, "premium"), (TAX, "tax_rate"), (OTHER, "other"),
    )  # fmt: skip
    for pattern, kind in patterns:
        for one in pattern.finditer(text):
            at = bisect_right(starts, one.start()) - 1
            if at < 0 or one.start() >= covered[at][1]:
                found.setdefault(one.start(), kind)
    every = sorted(found.items())
    if covered:  # "21 % VAT on the premium" is one thing
        every = [(at, kind) for at, kind in every if kind != "tax_rate"]
    return [one for at, one in enumerate(every) if at == 0 or every[at - 1][1] != one[1]]


def _near(text: str, figures: Sequence[tuple[int, float]]) -> bool:
    """Whether nothing but small words parts a word that may mean something else from its figure."""
    if PREMIUM.search(text):
        return True
    for one in LOOSE_PREMIUM.finditer(text):
        gaps: list[str] = []
        for at, _ in figures:
            figure = FIGURE.match(text, at)
            after = at if figure is None else figure.end()
            gaps.append(text[one.end() : at] if one.end() <= at else text[after : one.start()])
        if not set(re.findall(r"\w+", min(gaps, key=len))) <= BETWEEN:
            return False
    return True


def _alternate(figures: Sequence[tuple[int, float]], words: Sequence[tuple[int, What]]) -> bool:
    """Whether figures and words take turns, so that each word has its own."""
    if not figures or len(figures) != len(words):
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
    if named:
        loose = shares.loose if field == "premium" else shares.after_tax
        open_ones += [one for one in loose if one * 100 <= MOST[field]]
    if not values and not open_ones:
        return bare_number(field, low)
    may_be = tuple(dict.fromkeys((*shares.lower, *values, *open_ones)))
    if some:
        return Asked(field=field, why=some_lots(), values=may_be)
    if len(may_be) > 1:
        return Asked(field=field, why=say("it may be one figure or the other"), values=may_be)
    if field == "premium" and shares.in_price:
        return Asked(field=field, why=say("the prices may hold it already"), values=may_be)
    if field in shares.narrow:
        return Asked(field=field, why=shares.narrow[field], values=may_be)
    if open_ones:
        both = _names("premium", low) and _names("tax_rate", low)
        why = say("it may be the premium or the tax") if both else say(
            "it may be a share of something else")  # fmt: skip
        return Asked(field=field, why=why, values=may_be)
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
