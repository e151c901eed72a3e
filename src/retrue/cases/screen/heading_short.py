"""Headings of a catalogue cut short, and the unit that stands beside them, in six languages.

Abbreviations as lists of lots have them, with or without full stops: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache

from retrue.cases.headings import LEAST_LETTERS
from retrue.cases.settle.bring_words import plain

SHORT: Mapping[str, tuple[str, ...]] = {
    "number": (
        "lotnr", "lot num", "lot n", "kav", "kav nr", "kavelnr", "volgnr", "pos nr", "posnr",
        "art nr", "artikelnr", "ref nr", "n de lot", "lfdnr", "lot nummer", "num lote",
        "ref", "stock no", "stock nr", "nr lotto", "nro", "n o", "num de lot",
    ),
    "title": (
        "desc", "descr", "omschr", "oms", "benam", "desig", "design", "bez", "bezeich", "bezeichn",
        "gegenst", "denom", "mach", "masch", "art omschr", "beschr", "descrip", "lib",
    ),
    "text": (
        "opm", "opmerk", "bijz", "rem", "remarq", "obs", "observ", "bem", "bemerk", "anm",
        "anmerkung", "anmerkungen", "oss", "osserv", "spec", "specs", "tech spec", "techn daten",
        "tech gegevens", "caract", "caratt", "toel", "hinw", "com", "comm", "add info",
    ),
    "kind": ("cat", "categ", "kat", "kateg", "grp", "gr", "warengr", "fam", "rubr"),
    "maker": ("fabr", "manuf", "mfr", "mfg", "herst", "constr", "costr"),
    "model": ("mod", "mdl", "typ bez", "typenr"),
    "serial": (
        "ser nr", "serienr", "ser no", "s n", "sn", "serie nr", "fabrieksnr", "fabriksnr",
        "fabr nr", "num serie", "n de serie", "matr", "mach nr", "maschinennr",
        "serial nr",
    ),
    "year": (
        "bouwjr", "bwjr", "bouwj", "b jr", "bjr", "b j", "jr", "jaar van bouw", "bauj", "baujr",
        "herst jahr", "jg", "jahrg", "yr", "yr built", "yr of manufacture", "y o m", "mfg year",
        "year of constr", "constr year", "an constr", "annee constr", "annee fabr", "annee de fab",
        "an de constr", "anno costr", "anno constr", "anno di costr", "anno fabbr", "a costr",
        "ano fabr", "ano fab", "ano constr", "ano de fab", "a fab",
    ),
    "age": ("leeft", "leeft jr"),
    "asking": (
        "vraagpr", "verk prijs", "verkooppr", "vkp", "vaste pr", "pr", "verk preis", "vk preis",
        "vk", "festpr", "px", "prix dem", "px dem", "prix vte", "prezzo rich", "prezzo vend",
        "pvp", "precio vta", "ask", "ask price", "asking pr",
    ),
    "start": (
        "startpr", "start pr", "start bid", "st bod", "min bod", "min bid", "min gebot",
        "mindestgeb", "startgeb", "start geb", "openingsb", "op bid", "inzetpr", "limitpr",
        "ausrufpr", "m a p", "map", "mise a px", "prix dep", "px dep", "prix de dep", "ench dep",
        "base asta", "prezzo iniz", "prezzo part", "off min", "prezzo b", "precio sal",
        "p salida", "precio min", "starting pr", "opening pr",
    ),
    "bid": ("akt gebot", "hoogste b", "cur bid", "curr bid", "ench act", "off att"),
    "estimate": ("est", "schatt", "geschat", "gesch waarde", "schatzw", "estim", "val est"),
    "step": ("bidstap", "bied st", "min stap", "incr", "bietschr", "rilancio min"),
    "currency": ("cur", "curr", "val", "wahr", "whg", "wrg", "dev", "mon"),
    "count": ("aant", "st", "anz", "qt", "q ta", "qta", "cant", "cantid", "hoev", "qnt",
              "uds", "pz", "nb", "nbre"),
    "mass_kg": ("gew", "gewicht ca", "masch gew", "wt", "wgt", "mach weight", "pds", "peso maq",
                "peso ca", "peso aprox", "poids env"),
    "new_price": ("nieuwpr", "neupr", "list pr", "new pr", "px neuf", "prezzo list"),
    "travel": ("verfahrw", "verpl", "corse x y z", "recorr", "trav", "slag x y z", "bew"),
    "dimensions": (
        "afm", "afm l x b x h", "afmeting", "dim", "dims", "abm", "abmess", "encombr", "med",
        "ingomb", "dimens",
    ),
    "diameter": ("draaidiam", "drehdurchm", "diam", "max diam", "o max"),
    "length": ("draail", "drehl", "spitzenw", "long tourn", "e p", "ep"),
    "load_kg": ("tafelbel", "tischbel", "max bel"),
    "taper": ("opn", "aufn", "werkz aufn"),
    "bar_mm": ("stafdoorl", "doorl", "stangend", "pass barre"),
    "speed_rpm": ("toeren", "toerent", "tpm", "drehz", "spindeldrehz", "upm", "tr min",
                  "giri min", "omw min"),
    "control": ("best", "bestur", "steuer", "strg", "cmd", "contr", "ctrl", "cde"),
    "condition": ("cond", "toest", "zust"),
    "location": ("loc", "lok", "stand", "standpl", "ubic", "plts"),
    "distance_km": ("afst", "dist", "entf"),
    "premium": ("opg", "aufg", "frais ach", "prem"),
    "removal_by": ("ophaald", "abh", "abhol", "enlev", "afh"),
    "closes_at": ("sluit op", "einde veiling", "endzeit"),
    "status": ("stat", "dispo", "verf", "beschikb", "disp"),
}  # fmt: skip
"""Role to its headings cut short, as :func:`retrue.cases.settle.bring_words.plain` makes them."""

UNITS: Mapping[str, str] = {
    "mm": "mm", "cm": "cm", "m": "m", "mtr": "m", "in": "in", "inch": "in", "kg": "kg",
    "kgs": "kg", "kilo": "kg", "t": "t", "to": "t", "ton": "t", "tons": "t", "tonnes": "t",
    "tonnen": "t", "tonne": "t", "lb": "lb", "lbs": "lb", "rpm": "1/min", "tpm": "1/min",
    "u min": "1/min", "tr min": "1/min", "omw min": "1/min", "giri min": "1/min",
    "min 1": "1/min", "1 min": "1/min",
}  # fmt: skip
"""Units beside a heading, as ``plain`` makes them."""

OTHERS = frozenset({"eur", "euro", "chf", "gbp", "usd", "pln", "sek", "dkk", "nok", "czk", "huf",
                    "km", "h", "jr", "jaar", "years", "yyyy", "jjjj", "aaaa", "ca", "approx",
                    "excl btw", "incl btw", "excl", "incl", "netto", "net", "ht", "hors tva",
                    "zzgl mwst", "excl vat", "st", "stk"})  # fmt: skip
"""Words beside a heading that do not change what it names."""

_BESIDE = frozenset({*UNITS, *OTHERS})
_MOST = max(len(one.split()) for one in _BESIDE)
WITH_UNITS = frozenset(
    f"{word} {unit}" for words in SHORT.values() for word in words for unit in UNITS
)
"""Headings cut short with a unit beside them."""

_BRACKETS = re.compile(r"[(\[]([^()\[\]]{1,20})[)\]]")


@lru_cache(maxsize=2048)
def full_heading(heading: str, every: frozenset[str]) -> str:
    """A heading in small letters; where it is cut short, the name of what it stands for.

    Parameters
    ----------
    heading : str
        As written.
    every : frozenset of str
        All names of all columns that are not cut short.

    Returns
    -------
    str
        With the words beside it, so that of two such columns neither says all.

    Examples
    --------
    >>> full_heading("Gew. (kg)", frozenset()), full_heading("Bouwjr.", frozenset())
    ('mass kg kg', 'year')
    >>> full_heading("Bj. (jjjj)", frozenset({"bj"})), full_heading("Hal (kg)", frozenset())
    ('bj', 'hal kg')
    """
    bare = plain(heading)
    if bare in every:
        return bare
    for one in (bare, *_shorter(bare.split())):
        if one in STANDS_FOR:
            full, rest = STANDS_FOR[one], bare.removeprefix(one)
            return f"{full}{rest}" if len(full) >= LEAST_LETTERS else full
        if one in every and len(one) < LEAST_LETTERS:
            return one
    return bare


STANDS_FOR: Mapping[str, str] = {
    word: role.replace("_", " ") for role, words in SHORT.items() for word in words
}
"""A heading cut short to the name of its column."""


def _shorter(words: list[str]) -> Iterator[str]:
    """The words without one unit after the other at their end."""
    while len(words) > 1:
        count = next(
            (many for many in range(min(_MOST, len(words) - 1), 0, -1)
             if " ".join(words[-many:]) in _BESIDE), 0,
        )  # fmt: skip
        if not count:
            return
        words = words[:-count]
        yield " ".join(words)


@lru_cache(maxsize=2048)
def unit_beside(heading: str) -> str:
    """The unit that a heading names for all cells below it; empty: none.

    Parameters
    ----------
    heading : str

    Returns
    -------
    str

    References
    ----------
    NIST SP 811 has their ratios; how they are written: common practice, no source.

    Examples
    --------
    >>> unit_beside("Gew. (t)"), unit_beside("Peso kg"), unit_beside("Gewicht"), unit_beside("m")
    ('t', 'kg', '', '')
    """
    for told in _BRACKETS.findall(heading):
        if (unit := UNITS.get(plain(told), "")) != "":
            return unit
    words = plain(heading).split()
    for many in range(min(_MOST, len(words) - 1), 0, -1):
        if (unit := UNITS.get(" ".join(words[-many:]), "")) != "":
            return unit
    return ""
