"""Rows that only move one's own money: to another account, or what a card is settled with. Pure.

Judgement, no source: a guess is shown with its reason, and the owner may say otherwise.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from retrue.base.say import say
from retrue.cases.settle.bring_moves import Move
from retrue.cases.settle.bring_words import plain

OWN_WORDS = (
    "own account", "between own accounts", "internal transfer", "savings account",
    "eigen rekening", "eigen rekeningen", "interne overschrijving", "spaarrekening",
    "compte propre", "virement interne", "compte epargne",
    "eigenes konto", "eigenen konto", "umbuchung", "sparkonto",
)  # fmt: skip
CARD_WORDS = (
    "card settlement", "credit card statement", "card statement", "afrekening kaart",
    "afrekening kredietkaart", "kaartafrekening", "decompte carte", "releve carte",
    "kreditkartenabrechnung", "kartenabrechnung",
)  # fmt: skip


def own_money(move: Move) -> tuple[str, dict[str, Any]] | None:
    """Whether a row of a bank only moves one's own money, with the reason.

    Parameters
    ----------
    move : Move

    Returns
    -------
    tuple of (str, dict) or None
        Fields of a posting: exchanged into another place, nobody's cost and no sale. Where the
        other account is not kept here it is one's own pocket.

    Examples
    --------
    >>> move = Move(number=2, amount=Decimal(200), currency="EUR", what="card settlement", sign=-1)
    >>> reason, fields = own_money(move)
    >>> fields["sort"], fields["paid_from"], fields["into_place"], reason
    ('exchanged', 'bank', 'card', 'one’s own money, by the words “card settlement”')
    """
    told = f" {plain(f'{move.whom} {move.what} {move.reference}')} "
    for words, place in ((CARD_WORDS, "card"), (OWN_WORDS, "own_pocket")):
        found = next((one for one in words if f" {one} " in told), None)
        if found is not None:
            reason = say("one’s own money, by the words {words}", words=f"“{found}”")
            return reason, own_fields(move.amount, move.currency, place, out=move.sign < 0)
    return None


def own_fields(amount: Decimal, currency: str, place: str, *, out: bool) -> dict[str, Any]:
    """Fields of a posting that moves one's own money between the bank and another place.

    Parameters
    ----------
    amount : Decimal
    currency : str
    place : str
        card, cash, own_pocket.
    out : bool
        It leaves the bank; else it comes in there.

    Returns
    -------
    dict
    """
    return {
        "sort": "exchanged",
        "paid_from": "bank" if out else place,
        "into_place": place if out else "bank",
        "into_amount": amount,
        "into_currency": currency,
    }
