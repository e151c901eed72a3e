"""By what words a share counts for some buyers, some lots or some amounts only. Pure.

Words of six languages, without accents and in small letters: common practice, no source.
"""

from __future__ import annotations

import re

from retrue.base.say import say
from retrue.cases.screen.sale_days import DAY
from retrue.cases.screen.sale_words import FIGURE

NARROWS = re.compile(
    r"\b(?:"
    # a part of the amount
    r"up to|from|until|till|above|beyond|exceed\w*|more than|first|at least|at most|min|minimum|"
    r"max|maximum|tot|vanaf|boven|meer dan|hoger dan|lager dan|minder dan|eerste|minstens|"
    r"minimaal|maximaal|hoogstens|ab|bis|uber|mehr als|weniger als|ersten?|mindestens|hochstens|"
    r"maximal|minimal|a partir|jusqu\w*|au-dela|au-dessus|plus de|moins de|premiers?|premieres?|"
    r"au moins|au plus|less|minus|abzuglich|fino|oltre(?! (?:l')?iva)|minimo|massimo|"
    r"maximo|hasta|desde|mas de|"
    # a condition
    r"only|unless|except\w*|if|when|depend\w*|var(?:y|ies)|or|enkel|alleen|slechts|behalve|"
    r"uitgezonderd|tenzij|indien|wanneer|als(?! vorsteuer)|nur|ausser|ausgenommen|sofern|falls|"
    r"wenn|bei|oder|uniquement|seulement|sauf|si|ou|solo|salvo|excepto|"
    # a time gone by, or none at all
    r"was|were|formerly|previously|reduced|lowered|raised|waived|exempt\w*|not apply|"
    r"not applicable|not charged|not due|not payable|vroeger|voorheen|verlaagd\w*|vrijgesteld|"
    r"niet van toepassing|niet verschuldigd|niet aangerekend|bisher|fruher|war|ermassigt\w*|"
    r"reduziert\w*|befreit|entfallt|steuerfrei|nicht erhoben|nicht berechnet|etait|ancien\w*|"
    r"reduit\w*|exonere\w*|"
    # some who buy
    r"on-?line\w*|cash|contant\w*|comptant|internet|web ?bid\w*|webcast|"
    r"live(?! tool)|members?|dealers?|traders?|private|"
    r"consumers?|export\w*|foreign|leden|handelaars?|handelaren|particulier\w*|buitenland\w*|"
    r"mitglieder\w*|handler\w*|privat\w*|ausland\w*|en ligne|adherents|membres|professionnels|"
    r"soci|socios|"
    # something else than the premium of the buyer
    r"seller'?s?|vendor'?s?|verkoper\w*|verkaufer\w*|vendeurs?|insurance|storage|handling|"
    r"shipping|late|overdue|early|verzekering\w*|versicherung\w*|laattijdig\w*|te laat|verspat\w*|"
    r"assurance|stockage|gardiennage|retard|dossier|port|ritardo|retraso|"
    r"per annum|(?:a|per) (?:day|week|month|year)|per (?:dag|maand|jaar)|"
    r"pro (?:tag|monat|jahr)|par (?:jour|mois|an)|"
    # roughly
    r"about|approx\w*|circa|ca|roughly|may|might|ongeveer|etwa|rund|environ"
    r")\b"
)
"""Words beside which a share may not count for every lot, or not as it stands there."""

_GOES_ON = re.compile(
    r"\s*(?:min|minimum|max|maximum|at least|minstens|mindestens|au moins|only|enkel|alleen|nur|"
    r"if|when|indien|wanneer|wenn|falls|unless|tenzij|except|behalve|sauf|ausser|above|boven|"
    r"daarboven|daruber|thereafter|up to|tot|bis|from|vanaf|ab|but|maar|aber|mais)\b"
)
"""How a clause begins that goes on about the share before it."""

_ON = re.compile(r"\b(on|op|auf|sur|su|sobre|over|for|voor|fur|pour|para)\s+(?=(\w[^;|\n]{0,60}))")
_ALL = re.compile(
    r"(?:(?:the|this|dit|deze|dieses|diesem|ce|cette|questo|este|"
    r"all|every|each|any|het|de|den|die|das|dem|der|"
    r"alle[nrs]?|elk|elke|ieder|iedere|"
    r"jedes|jeden|jede|le|la|les|l'|chaque|tou[st]|toutes|il|lo|gli|i|tutti|tutte|el|los|las|"
    r"todos|todas|total|full|final|totale|gesamte\w*)\s+)*"
    r"(?:\d|all|alles|everything|tout|hammer|hamer|lots?\b|kavels?\b|lose?n?\b|lotti|lotto|lotes?|"
    r"zuschlag|adjudication|l'adjudication|aggiudic|remate|prices?\b|prijs|prijzen|preise?|prix|"
    r"prezz|precio|bids?\b|bod\b|gebote?|enchere|premium|opgeld|\w*aufgeld|frais|amount|bedrag|"
    r"betrag|montant|sum\b|som\b|summe|toewijz|koop|purchase|kauf|buyers?\b|kopers?\b|acheteur|"
    r"invoice|factu|rechnung|goods|goederen|objects|objecten|items|sale\b|verkoop|top\b|both|beide|"
    r"beiden|same|dezelfde)"
)
"""What everything may be called, or the amount that a share is of."""

_RANGE = re.compile(
    r"(?<![\d.,])(\d{1,3}(?:[.,]\d{1,3})?) ?(?:-|\u2010|\u2013|\u2014|/|to|tot|bis|a|or|of|oder|ou|"
    r"and|en|und|et) ?$"
)
_MINUS = re.compile(r"(?:^|[^\w\s])\s*[-\u2010\u2212\u2013]\s?$|[^\W\d]\s[-\u2010\u2212\u2013]$")
_NO_NUMBER = re.compile(
    r"\b20\d\d\b|\u00a7 ?25 ?a|%|"
    r"\b\d{1,3} ?(?:(?:werk|working )?(?:days?|dagen)|tagen?|jours?|giorni|dias)\b"
)
NEAR = 16  # characters before a figure that its range or its sign may take


def lower_end(text: str, figure: int) -> float | None:
    """The other end of a share from one to another.

    Parameters
    ----------
    text : str
        Small letters without accents.
    figure : int
        Where the second stands.

    Returns
    -------
    float or None
        Share of one; None: there is no other.

    Examples
    --------
    >>> lower_end("premium 18-22 %", 11), lower_end("premium 22 %", 8)
    (0.18, None)
    """
    found = _RANGE.search(text[max(figure - NEAR, 0) : figure])
    return None if found is None else round(float(found[1].replace(",", ".")) / 100.0, 6)


def narrowed(text: str, *, since: int = 0, figure: int | None = None) -> str:
    """Why a share may not count for every lot, or not as it stands there.

    Parameters
    ----------
    text : str
        The words about it, in small letters without accents.
    since : int
        Where what is said of it begins: a number before that is another thing's.
    figure : int or None
        Where it stands.

    Returns
    -------
    str
        Empty: nothing stands beside it.

    Examples
    --------
    >>> narrowed("opgeld 18 % vanaf 500 euro"), narrowed("premium 18 % on all lots")
    ('“vanaf” stands beside it', '')
    >>> narrowed("premium 18 % + eur 50 a lot")
    'another number stands beside it: 50'
    """
    if figure is not None and _MINUS.search(text[max(figure - NEAR, 0) : figure]):
        return say("a minus stands before it")
    found = NARROWS.search(text)
    if found is not None:
        return beside(found[0])
    for one in _ON.finditer(text):
        if not _ALL.match(one[2]):
            return beside(f"{one[1]} {one[2].split()[0]}")
    bare = _NO_NUMBER.sub(" ", DAY.sub(" ", FIGURE.sub(" ", text[since:])))
    number = re.search(r"\d[\d.,]*", bare)
    if number is None:
        return ""
    return say("another number stands beside it: {number}", number=number[0].rstrip(".,"))


def goes_on(text: str) -> bool:
    """Whether a clause goes on about the share of the clause before it.

    Parameters
    ----------
    text : str

    Returns
    -------
    bool

    Examples
    --------
    >>> goes_on("minimum 50 euro"), goes_on("collection by friday")
    (True, False)
    """
    return _GOES_ON.match(text) is not None


def beside(words: str) -> str:
    """What stands beside a share, as the reason why it does not count.

    Parameters
    ----------
    words : str

    Returns
    -------
    str
        In the reader's language.

    Examples
    --------
    >>> beside("minimum")
    '“minimum” stands beside it'
    """
    return say("{words} stands beside it", words=f"“{words}”")
