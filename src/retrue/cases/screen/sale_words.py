"""By what words a line speaks of a whole sale: its premium, its tax, its currency.

Words of six languages, without accents and in small letters: common practice, no source.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Literal

What = Literal["premium", "tax_rate", "other", "on_premium"]

FIGURE = re.compile(
    r"(?<![\d.,])(\d{1,3}(?:[.,]\d{1,3})?) ?(?:%|procent\b|prozent\b|percent\b|per cent\b|pct\b|"
    r"pour cent\b|per cento\b|por ciento\b|v\. ?h\b|vh\b)"
)
"""A share as sales write it: always with its sign or its word."""

PREMIUM = re.compile(
    r"\b(?:buyer'?s'? (?:premium|fee|commission)|opgeld|veilingkost\w*|koperskost\w*|\w*aufgeld|"
    r"kauferprovision|frais (?:acheteur|de vente|d'adjudication|d'encheres)|diritti d'asta|"
    r"prima del comprador|comision del comprador)\b"
)
"""Words that mean the premium of the buyer, wherever its figure stands."""

LOOSE_PREMIUM = re.compile(r"\b(?:premium(?![-\u2010]\w)|frais|diritti|prima|aufpreis)\b")
"""Words that mean it only where its figure stands beside them."""
BETWEEN = frozenset({
    "a", "adjudication", "al", "all", "alle", "amounts", "applies", "are", "at", "auf",
    "be", "bedraagt", "betragt", "buyer", "buyers", "charged", "de", "del", "dem", "den",
    "des", "di", "du", "due", "e", "each", "een", "es", "est", "every", "fixed", "geheven",
    "hamerprijs", "hammer", "het", "ht", "i", "is", "kavels", "l", "la", "le", "les", "los",
    "lose", "lot", "lotes", "lots", "lotti", "montant", "of", "on", "op", "pari", "payable",
    "plus", "price", "rate", "s", "set", "sobre", "sont", "su", "sui", "sur", "the", "to",
    "todos", "tous", "tutti", "van", "von", "will", "wordt", "zuschlag",
})  # fmt: skip
"""What may part such a word from its figure."""

TAX = re.compile(
    r"\b(?:tax|vat|gst|btw|mwst|ust|tva|iva|moms|mehrwertsteuer|umsatzsteuer|belasting|"
    r"omzetbelasting)\b"
)
OTHER = re.compile(
    r"reduc|discount|korting|rabatt|remise|sconto|descuento|skonto|\boff\b|\bbelow\b|\bunder\b|"
    r"\bless\b|\bdeposit|aanbetaling|waarborg|anzahlung|kaution|acompte|acconto|"
    r"interest\b|verzugszins|\brente\b|nachlass|goedkoper|billiger|cheaper|onder de|unter dem"
)
"""Words of a figure that is neither: a discount, a deposit, interest."""

ON_PREMIUM = re.compile(
    r"\b(?:on|over|op|auf|sur|su|sobre|of) (?:the |het |de |das |dem |les |la |il |i )?"
    r"(?:(?:buyer'?s )?premium|opgeld|\w*aufgeld|frais|diritti|prima)\b"
)
"""A tax of the premium alone."""

JOINS = re.compile(
    r"\b(?:plus|zzgl\.?|zuzuglich|und|and|en|et|y|e|as well as|excl\w*\.?|exkl\w*\.?|hors|ohne|"
    r"zonder|without|sans|incl\w*\.?|inkl\w*\.?|inbegrepen|with|met|mit|avec|ttc|"
    r"ex(?= (?:vat|tax|btw|mwst|ust|tva)))(?![\w%])|[+&\x00]"
)
"""What parts two of them within a clause."""
HOLDS = re.compile(r"incl|inkl|inbegrepen|ttc|with|met|mit|avec")
"""Those of them after which only what the first one holds is named."""

ONE_OF = ("%", "cent", "zent", "ciento", "pct", "v.h", "v. h", "premium", "opgeld", "aufgeld",
          "frais", "tax", "vat", "btw", "mwst", "ust", "tva", "ttc", "iva", "gst", "moms",
          "mehrwert", "steuer", "belasting", "marg", "differenz", "25a")  # fmt: skip
"""Where none of these stands, no premium and no tax is spoken of."""

CLAUSE = re.compile(
    r"[;|\n]|,\s|(?<!\bmwst)(?<!\bust)(?<!zzgl)(?<!in[ck]l)(?<!ex[ck]l)(?<!gesetzl)"
    r"(?<!\bmin)(?<!\bmax)(?<!\bca)\.\s|\.$|"
    r"(?<!\d)\s[-\u2013\u2022]\s(?!\d{1,3}(?:[.,]\d+)? ?%\s*(?:$|[.;,(]))|"
    r"(?<=\d)\s[-\u2013]\s(?!\d)|!"
)
"""Between two clauses; the point of a word cut short is none."""

PRICES_HOLD = re.compile(
    r"\b(?:prices?|bids?|amounts?|bedragen|prijzen|biedingen|preise|betrage|gebote|prix|montants|"
    r"encheres|prezzi|importi|precios|importes)\b[^.;|,\n]{0,40}?\b(?:incl\w*|inkl\w*|ttc\b|"
    r"met\b|mit\b|with\b|compris\w*|inbegrepen)[^;|\n]{0,24}?"
    r"\b(?:tax|vat|gst|btw|mwst|ust|tva|iva|moms|mehrwertsteuer|umsatzsteuer)\b|"
    r"\b(?:prix|montants|encheres)\b[^.;|,\n]{0,40}?\bttc\b"
)
"""Words by which the prices of a file hold their tax."""

SOME = re.compile(
    r"\b(?:lots?|kavels?|los(?:e|nr|nummern?)?|lotti|lotto|lotes?|positionen|pos)\b\.?\s*"
    r"(?:nr\.?|no\.?)?\s*\d+(?![\d.,]*\s*(?:%|pro[cz]|per|pct))|"
    r"\bmarked\b|gekennzeichnet|gemarkeerd|\bmarques\b|\bsome lots\b|"
    r"\bsommige\b|\beinige\b|\bcertains\b|\balcuni\b|\balgunos\b"
)
"""Words by which a line speaks of some lots only."""

HELD = re.compile(
    r"\b(?:vat|gst|btw|mwst|ust|tva|iva|moms|mehrwertsteuer|umsatzsteuer)\b[^;|\n,]{0,12}?"
    r"\b(incl\w*|inkl\w*|inbegrepen|compris\w*)\b(?!\.? ?(?:\d|[^\W\d]))"
)
"""A tax that is held by what stands before it."""

THIS_LOT = re.compile(
    r"\b(?:this lot|(?:dit|deze) (?:kavel|lot)|(?:dieses|diesem) los|ce lot|questo lotto|"
    r"este lote)\b"
)
"""Words of one lot; beside them nothing counts for the sale."""

NONE_AT_ALL = re.compile(
    r"\b(?:no|geen|kein|aucun|pas de) (?:buyer'?s )?(?:premium|opgeld|aufgeld|frais)\b"
)
NOT = re.compile(
    r"\b(?:not|no|cannot|can't|don't|doesn't|isn't|never|niet|nooit|geen|nicht|nie|kein\w*|non|pas|"
    r"jamais|no es)\b"
)
COMES_BACK = re.compile(
    r"comes? back|reclaim|recover|deductib|aftrek|terugvorder|recuper|abzugsfahig|vorsteuer|"
    r"erstatt|detraib|deducib"
)
STILL = frozenset({
    "ce", "deze", "diesem", "dieses", "dit", "kavel", "los", "lot",
    "aangerekend", "all", "alle", "applied", "applies", "are", "at", "auf", "be",
    "berechnet", "charged", "due", "erhoben", "est", "is", "kavels", "les", "lose", "lots",
    "n", "on", "op", "payable", "percu", "percus", "sale", "sont", "sur", "the", "there",
    "this", "toepassing", "tous", "van", "verschuldigd", "will", "wird", "wordt",
})  # fmt: skip
"""What may stand behind the words that there is none, and it still counts for every lot."""

BARE = re.compile(
    r"\W{0,12}(?:buyer'?s'? )?(?:premium|opgeld|aufgeld|frais|tax|vat|gst|btw|mwst|ust|tva|iva)"
    r"\W{0,12}(?:(?:in|en) %\W{0,12})?(0?[.,]\d{1,4}|0[.,]\d{1,4}|\d{1,2}(?:[.,]\d{1,2})?)\W{0,12}"
)
"""A line of such a name and a bare number."""

WITHOUT_TAX = re.compile(r"\b(?:ex|excl\w*|exkl\w*|hors|zonder|ohne|without|sans|plus|zzgl)\b")

MARGIN = re.compile(
    r"margin scheme|margeregeling|marge ?regime|differenzbesteuer|\u00a7 ?25a|"
    r"regime (?:de la marge|particulier de la marge|del margine)|margebtw|btw-marge"
)

THOUSANDS = re.compile(
    r"\bthousands?\b|\bduizend\w*|\btausend\w*|\bmilliers\b|\bmigliaia\b|\bmiles de\b|"
    r"(?:[x*]|\bin) ?1[., ]?000\b|"
    r"\bk(?:eur|chf|gbp|usd|\u20ac)|\bt(?:eur|chf|\u20ac)"
)
"""Words of prices that are to be multiplied."""

NAMES_CURRENCY = re.compile(
    r"\b(?:currency|valuta|munt|muntsoort|devise|monnaie|wahrung|moneda|divisa|ccy)\b"
    r"(?: of (?:the )?sale)?\s*(?:is|=|:)?\s*([^.;|,\n]{1,24})",
    re.IGNORECASE,
)
PRICES = re.compile(
    r"\b(?:prices?|bids?|amounts?|estimates?|bedragen|prijzen|biedingen|preise|betrage|gebote|prix|"
    r"montants|encheres|prezzi|importi|offerte|precios|importes|pujas)\b"
)

PRICES_IN = re.compile(
    PRICES.pattern + r"[^.;|,\n]{0,40}?\b(?:in|en)\b\s+([^.;|,\n]{1,24})", re.IGNORECASE
)


def without_accents(text: str) -> str:
    """A text without accents, its letters as large as they were.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Examples
    --------
    >>> without_accents("Währung: CHF, zuzügl. MwSt.")
    'Wahrung: CHF, zuzugl. MwSt.'
    """
    if text.isascii():
        return text
    apart = unicodedata.normalize("NFKD", text.replace("\u2019", "'").replace("\u00df", "ss"))
    return "".join(letter for letter in apart if not unicodedata.combining(letter))
