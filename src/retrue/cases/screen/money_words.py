"""Prices as catalogues write them, with the words that stand beside them, in six languages.

Common practice, no source: a word that is not known is told, and the number counts.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from itertools import pairwise

from retrue.base.currencies import MINOR
from retrue.base.say import say
from retrue.cases.screen.cell_numbers import (
    NUMBER,
    is_below_zero,
    is_open,
    is_power_of_ten,
    number_of,
    thousands,
)
from retrue.cases.settle.bring_amounts import SYMBOLS, DecimalMark
from retrue.cases.settle.bring_words import WITH_TAX, WITHOUT_TAX, plain

CURRENCY_WORDS = {
    "euro": "EUR", "euros": "EUR", "sfr": "CHF", "fr": "CHF", "franken": "CHF", "pound": "GBP",
    "pounds": "GBP", "zl": "PLN",
}  # fmt: skip
OFFER = ("vb", "vhb", "verhandlungsbasis", "verhandelbar", "negotiable", "obo", "ono", "neg",
         "onderhandelbaar", "bespreekbaar", "teab", "t e a b", "notk", "n o t k", "v b",
         "a debattre", "negociable", "trattabile", "trattabili", "fob offer", "or best offer",
         "or near offer", "a convenir")  # fmt: skip
ABOUT = ("ca", "circa", "approx", "approximately", "about", "around", "ongeveer", "env",
         "environ", "ungefahr", "etwa", "aprox", "aproximadamente", "c a", "cca",
         "rond")  # fmt: skip
FROM = ("from", "ab", "vanaf", "a partir de", "des", "da", "desde", "start at", "min",
        "minimum", "mindestens")  # fmt: skip
ON_REQUEST = ("poa", "p o a", "on request", "price on request", "on application", "op aanvraag",
              "prijs op aanvraag", "auf anfrage", "preis auf anfrage", "sur demande",
              "nous consulter", "su richiesta", "a richiesta", "bajo consulta",
              "a consultar", "consultar",
              "tba", "tbd", "no reserve", "zonder limiet", "gegen gebot", "gebot", "bieden",
              "bod", "make offer", "offer", "offre", "sans reserve")  # fmt: skip
EACH = ("each", "per piece", "per unit", "apiece", "per stuk", "p st", "pst", "stuk", "je",
        "je stuck", "pro stuck", "stuckpreis", "per stuck", "la piece", "piece", "par piece",
        "l unite", "cadauno", "cad", "al pezzo", "cada uno", "cada una",
        "por unidad", "c u")  # fmt: skip
FIXED = ("fix", "fixed", "firm", "fest", "festpreis", "vast", "vaste prijs", "fixe", "ferme",
         "fisso", "fijo", "fp")  # fmt: skip
NOTHING = ("", "n a", "na", "nvt", "n v t", "unknown", "onbekend", "unbekannt", "k a",
           "inconnu", "inconnue", "sconosciuto", "desconocido", "nc", "n c", "none", "nihil",
           "geen", "keine", "keine angabe", "o a", "nd", "n d", "s d", "not known",
           "niet bekend", "nicht bekannt", "unbek", "onbek", "nil", "null", "s o")  # fmt: skip
"""A cell that says that it says nothing; dashes and question marks are among them."""

THOUSAND = re.compile(r"(?<=[0-9])\s?(?:k|K|Tsd\.?|tsd\.?)(?![A-Za-z])(?!\s?g)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Money:
    """A cell as a price.

    Attributes
    ----------
    value : Decimal
    currency : str
        Three letters; empty where the cell does not say.
    each : bool
        Of one of several.
    offer : bool
        It says that an offer may be made.
    fixed : bool
        It says that it is fixed.
    tax_in : bool or None
        Whether it says that it holds the tax.
    why : str
        Why it is a guess; empty where it is none.
    """

    value: Decimal
    currency: str = ""
    each: bool = False
    offer: bool = False
    fixed: bool = False
    tax_in: bool | None = None
    why: str = ""


@lru_cache(maxsize=4096)
def says_nothing(cell: str) -> bool:
    """Whether a cell only says that nobody knows.

    Parameters
    ----------
    cell : str

    Returns
    -------
    bool

    Examples
    --------
    >>> says_nothing("?"), says_nothing("n/a"), says_nothing("1998"), says_nothing("€")
    (True, True, False, False)
    """
    return plain(cell) in NOTHING and not any(sign in cell for sign in SYMBOLS)


def money_of(cell: str, mark: DecimalMark | None, *, whole: bool = False) -> Money:
    """A cell as a price.

    Parameters
    ----------
    cell : str
        12.500,-; € 12 500 VB; CHF 12'500.00; ca. 15k; from 9000 each.
    mark : str or None
        comma, point: where the cell does not tell.
    whole : bool
        Whether a mark before exactly three digits can only part thousands.

    Returns
    -------
    Money

    Raises
    ------
    ValueError
        It holds no price; the text says why.

    Examples
    --------
    >>> told = money_of("€ 12.500,- VB", None)
    >>> told.value, told.currency, told.offer, told.why
    (Decimal('12500'), 'EUR', True, '')
    >>> money_of("12 - 15k", None).value
    Decimal('15000')
    """
    if is_below_zero(cell):
        raise ValueError(say("{cell} is below zero", cell=f"“{cell[:40]}”"))
    if is_power_of_ten(cell):
        raise ValueError(say("{cell} is written with a power of ten", cell=f"“{cell[:40]}”"))
    text = THOUSAND.sub(" #k ", cell)
    numbers = [found[0] for found in NUMBER.finditer(text)]
    rest = _without_numbers(text)
    if not numbers:
        if _takes(f" {plain(rest)} ", ON_REQUEST)[0]:
            raise ValueError(say("{cell} is no number: ask", cell=f"“{cell[:40]}”"))
        raise ValueError(say("{cell} is no amount", cell=f"“{cell[:40]}”"))
    values = [number_of(one, thousands(one) if whole and is_open(one) else mark) for one in numbers]
    if "#k" in text:
        values = [value * 1000 if value < 1000 else value for value in values]
    currency, words = _currency(rest.replace("#k", " "))
    money, left = _words(words, Money(value=max(values), currency=currency))
    return replace(money, why=_why(money, values, left, thousand="#k" in text))


def currency_in(text: str) -> str:
    """The currency that a heading or a cell names; empty: none.

    Parameters
    ----------
    text : str

    Returns
    -------
    str
        Three letters of ISO 4217.

    Raises
    ------
    ValueError
        It names two.

    Examples
    --------
    >>> currency_in("Preis (CHF)"), currency_in("Prijs €"), currency_in("Price")
    ('CHF', 'EUR', '')
    """
    return _currency(text)[0]


def _without_numbers(text: str) -> str:
    return NUMBER.sub(" ", text)


def _currency(rest: str) -> tuple[str, str]:
    """The currency among the words, and the words without it."""
    found: dict[str, str] = {}
    for token in re.findall(r"[€£$¥]|[^\W\d_]+", rest):
        code = SYMBOLS.get(token) or CURRENCY_WORDS.get(token.casefold(), "")
        if not code and len(token) == 3 and token.upper() in MINOR:
            code = token.upper() if token.isupper() or token.casefold() in USUAL else ""
        if code:
            found[code] = token
    if len(found) > 1:
        raise ValueError(say("{cell} has two currencies", cell=f"“{rest.strip()[:40]}”"))
    for code, token in found.items():
        return code, re.sub(rf"(?<!\w){re.escape(token)}(?!\w)", " ", rest)
    return "", rest


USUAL = frozenset({"eur", "chf", "gbp", "usd", "sek", "nok", "dkk", "pln", "czk", "huf"})
"""Codes that are known in small letters as well."""


@lru_cache(maxsize=16)
def _longest_first(words: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(sorted(words, key=len, reverse=True))


def _takes(text: str, words: tuple[str, ...]) -> tuple[str, str]:
    """The first of some words that a text holds, and the text without it."""
    for word in _longest_first(words):
        if f" {word} " in text:
            return word, text.replace(f" {word} ", " ", 1)
    return "", text


def _words(rest: str, money: Money) -> tuple[Money, tuple[str, str, str]]:
    """What the words beside a number say; what is left, and words for about and from."""
    text = f" {plain(rest)} "
    offer, text = _takes(text, OFFER)
    fixed, text = _takes(text, FIXED)
    each, text = _takes(text, EACH)
    start, text = _takes(text, FROM)
    about, text = _takes(text, ABOUT)
    without, text = _takes(text, WITHOUT_TAX)
    within, text = _takes(text, WITH_TAX)
    for word in TAX_WORDS:
        text = text.replace(f" {word} ", " ")
    tax_in = False if without else True if within else None
    told = replace(money, offer=bool(offer), fixed=bool(fixed), each=bool(each), tax_in=tax_in)
    return told, (text.strip(" +"), about or "~" * ("~" in rest or "±" in rest), start)


TAX_WORDS = ("mwst", "ust", "btw", "tva", "vat", "iva", "tax", "taxe", "taxes", "de", "price",
             "prijs", "preis", "prix", "prezzo", "precio")  # fmt: skip
"""Words beside a price that say no more than that it is one, or name the tax."""


def _why(money: Money, values: list[Decimal], left: tuple[str, str, str], *, thousand: bool) -> str:
    rest, about, start = left
    if len(values) > 2:
        raise ValueError(say("more than two numbers stand there"))
    reasons = []
    if len(set(values)) > 1:
        falling = any(one > other for one, other in pairwise(values))
        if falling or re.search(r"[^\W\d_]", rest):
            raise ValueError(say("two numbers stand there"))
        reasons.append(say("the higher of two"))
    if thousand:
        reasons.append(say("k read as thousand"))
    if about:
        reasons.append(say("the catalogue says about"))
    if start:
        reasons.append(say("the catalogue says from"))
    if rest:
        reasons.append(say("the words {words} beside it are not read", words=f"“{rest}”"))
    return "; ".join(reasons)
