"""By what words a column of a bank file or a parts list is known, in four languages.

English, Dutch, French and German words as such tables commonly have them: common practice, no
source. Each is written without accents and marks, in small letters.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

BANK_ROLES = (
    "date", "value_date", "amount", "out", "in", "sign", "currency", "whom", "what", "reference",
    "balance", "account", "whom_account",
)  # fmt: skip
PARTS_ROLES = (
    "date", "what", "quantity", "unit_price", "total", "tax", "machine", "currency", "whom",
    "reference", "sign",
)  # fmt: skip

ROLES: Mapping[str, tuple[str, ...]] = {
    "date": (
        "date", "booking date", "transaction date", "posting date", "entry date", "posted on",
        "posted", "day", "invoice date", "order date",
        "datum", "boekdatum", "boekingsdatum", "transactiedatum", "verrichtingsdatum",
        "uitvoeringsdatum", "datum verrichting", "dag", "factuurdatum",
        "date comptable", "date d operation", "date de l operation", "date operation",
        "date d execution", "date de comptabilisation", "date facture", "jour",
        "buchungstag", "buchungsdatum", "rechnungsdatum", "tag",
    ),
    "value_date": (
        "value date", "valuta date", "valutadatum", "valuta", "rentedatum", "date valeur",
        "date de valeur", "wertstellung", "wertstellungsdatum", "valutatag",
    ),
    "amount": (
        "amount", "sum", "value", "transaction amount", "bedrag", "som", "montant", "somme",
        "betrag", "umsatz", "summe",
    ),
    "out": (
        "debit", "money out", "paid out", "withdrawal", "withdrawals", "out", "debit amount",
        "debet", "uit", "af", "uitgaven", "uitgaand", "debit", "sortie", "sorties", "depenses",
        "soll", "belastung", "ausgang", "ausgaben", "lastschrift",
    ),
    "in": (
        "credit", "money in", "paid in", "deposits", "in", "credit amount",
        "bij", "inkomsten", "inkomend", "entree", "entrees", "recettes",
        "haben", "gutschrift", "eingang", "einnahmen",
    ),
    "sign": (
        "debit credit", "credit debit", "d c", "c d", "dr cr", "cr dr", "sign", "direction",
        "af bij", "bij af", "debet credit", "teken", "debit ou credit", "sens",
        "soll haben", "s h", "vorzeichen",
    ),
    "currency": (
        "currency", "ccy", "currency code", "munt", "muntcode", "muntsoort", "valuta",
        "devise", "monnaie", "wahrung", "waehrung",
    ),
    "whom": (
        "counterparty", "counterparty name", "name counterparty", "payee", "payer", "name",
        "beneficiary", "merchant", "supplier", "vendor", "shop", "whom", "seller",
        "tegenpartij", "naam", "naam tegenpartij", "naam van de tegenpartij", "begunstigde",
        "leverancier", "winkel", "verkoper",
        "contrepartie", "nom", "nom contrepartie", "nom de la contrepartie", "beneficiaire",
        "tiers", "fournisseur", "vendeur",
        "gegenpartei", "empfanger", "auftraggeber", "auftraggeber empfanger",
        "beguenstigter", "begunstigter", "zahlungsempfanger", "lieferant", "verkaufer",
    ),
    "what": (
        "description", "details", "narrative", "memo", "text", "purpose", "particulars", "what",
        "message", "item", "article", "part", "product",
        "omschrijving", "mededeling", "beschrijving", "wat", "artikel", "onderdeel",
        "libelle", "detail", "communication", "motif", "designation", "piece", "produit", "quoi",
        "verwendungszweck", "beschreibung", "buchungstext", "zweck", "teil", "bezeichnung", "was",
    ),
    "reference": (
        "reference", "ref", "transaction id", "payment reference", "bank reference", "receipt",
        "invoice", "invoice number",
        "referentie", "referte", "kenmerk", "transactiekenmerk", "gestructureerde mededeling",
        "factuurnummer", "factuur", "ref", "numero de facture", "facture",
        "reference bancaire", "communication structuree",
        "referenz", "kundenreferenz", "bankreferenz", "rechnungsnummer", "rechnung",
    ),
    "balance": (
        "balance", "running balance", "balance after", "saldo", "saldo na verrichting",
        "solde", "solde apres operation", "kontostand",
    ),
    "account": (
        "account", "own account", "account number", "my account", "rekening", "rekeningnummer",
        "compte", "numero de compte", "konto", "kontonummer", "auftragskonto",
    ),
    "whom_account": (
        "counterparty account", "counterparty account number", "iban", "bic",
        "tegenrekening", "rekening tegenpartij", "compte contrepartie", "compte beneficiaire",
        "compte de la contrepartie", "gegenkonto", "iban empfanger",
    ),
    "quantity": (
        "quantity", "qty", "count", "pieces", "pcs", "number of", "aantal", "hoeveelheid", "stuks",
        "quantite", "qte", "nombre", "menge", "anzahl", "stuck",
    ),
    "unit_price": (
        "unit price", "price each", "price", "each", "eenheidsprijs", "stukprijs", "prijs",
        "prijs per stuk", "prix unitaire", "prix", "pu", "einzelpreis", "stuckpreis", "preis",
    ),
    "total": (
        "total", "line total", "total price", "amount", "totaal", "totaalprijs", "bedrag",
        "montant", "prix total", "montant total", "gesamt", "gesamtpreis", "betrag", "summe",
    ),
    "tax": (
        "tax", "vat", "gst", "sales tax", "tax rate", "vat rate", "btw", "btw tarief",
        "tva", "taux tva", "taxe", "mwst", "ust", "steuer", "steuersatz",
    ),
    "machine": (
        "machine", "for machine", "for which machine", "voor machine", "voor welke machine",
        "pour machine", "maschine", "fur maschine",
    ),
}  # fmt: skip
"""Role to the words it is known by; earlier words stand before later ones."""

WITHOUT_TAX = ("excl", "exclusive", "net", "netto", "ht", "hors taxe", "zonder btw", "ohne")
WITH_TAX = ("incl", "inclusive", "gross", "brutto", "ttc", "toutes taxes", "met btw", "mit mwst")
"""Words of a heading that tell whether its amounts hold the tax."""

TOTALS = (
    "total", "totals", "sum", "subtotal", "grand total", "totaal", "subtotaal", "som",
    "somme", "sous total", "summe", "gesamt", "zwischensumme",
    "balance", "opening balance", "closing balance", "beginsaldo", "eindsaldo", "saldo",
    "solde", "solde initial", "solde final", "anfangssaldo", "endsaldo", "kontostand",
)  # fmt: skip
"""Words with which a line of totals begins."""

OUT_WORDS = frozenset({"dr", "d", "debit", "debet", "af", "uit", "s", "soll", "out", "-"})
IN_WORDS = frozenset({"cr", "c", "credit", "bij", "in", "h", "haben", "+"})
"""Words that stand for a sign."""

MONTHS: Mapping[str, int] = {
    word: number
    for number, words in enumerate(
        (
            "jan january januari janvier januar jaenner",
            "feb february februari fevrier fev fevr februar",
            "mar march maart mrt mars marz maerz mrz",
            "apr april avril avr",
            "may mei mai",
            "jun june juni juin",
            "jul july juli juillet juil",
            "aug august augustus aout",
            "sep sept september septembre",
            "oct october oktober okt octobre",
            "nov november novembre",
            "dec december decembre dez dezember",
        ),
        1,
    )
    for word in words.split()
}
"""Month by its name."""

_MARKS = re.compile(r"[^a-z0-9+]+")


def plain(text: str) -> str:
    """A text in small letters without accents and marks.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Examples
    --------
    >>> plain("Date de l'opération"), plain("Währung"), plain("BTW (%)")
    ('date de l operation', 'wahrung', 'btw')
    """
    bare = text.casefold()
    if not bare.isascii():
        apart = unicodedata.normalize("NFKD", bare)
        bare = "".join(letter for letter in apart if not unicodedata.combining(letter))
    return _MARKS.sub(" ", bare).strip()
