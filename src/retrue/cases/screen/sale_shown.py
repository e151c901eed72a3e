"""What the file says of the whole sale, in the words and units of a reader."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from retrue.base.formatter import day, marked, short
from retrue.base.say import later, say
from retrue.cases.screen.listing import SaidOfSale

FIELD_WORDS: Mapping[str, str] = {
    "premium": later("buyer's premium"),
    "tax_rate": later("rate of tax"),
    "tax_reclaimable": later("whether its tax comes back"),
    "tax_scheme": later("sort of tax"),
    "prices_hold_tax": later("tax in its prices"),
    "currency": later("currency of prices that name none"),
    "thousands": later("prices in thousands"),
    "removal_days": later("days from the hammer until it is out"),
    "removal_by": later("when it must be gone"),
    "distance_km": later("distance"),
    "closes_at": later("when it closes"),
    "sale": later("how it is sold"),
    "rates": later("rates of other currencies"),
    "name": later("name of the sale"),
}
SHARES = frozenset({"premium", "tax_rate"})


def field_said(one: SaidOfSale) -> str:
    """What is said, in words.

    Parameters
    ----------
    one : SaidOfSale

    Returns
    -------
    str

    Examples
    --------
    >>> field_said(SaidOfSale(line=1, text="", how="understood", field="premium", value="0.18"))
    "buyer's premium"
    """
    return say(FIELD_WORDS[one.field]) if one.field in FIELD_WORDS else one.field


def value_said(one: SaidOfSale) -> str:
    """As what it is taken, in the reader's units.

    Parameters
    ----------
    one : SaidOfSale

    Returns
    -------
    str
        Empty where it cannot be told.

    Examples
    --------
    >>> value_said(SaidOfSale(line=1, text="", how="understood", field="premium", value="0.175"))
    '17.5 %'
    """
    words = {
        ("tax_reclaimable", "true"): say("it comes back"),
        ("tax_reclaimable", "false"): say("it does not come back"),
        ("tax_scheme", "margin"): say("margin scheme"),
        ("tax_scheme", "ordinary"): say("ordinary invoice"),
        ("tax_scheme", "private"): say("private seller"),
        ("tax_scheme", "import"): say("import"),
        ("prices_hold_tax", "true"): say("it is in them"),
        ("sale", "ascending"): say("bids go up"),
        ("sale", "sealed"): say("one sealed bid"),
        ("sale", "offer"): say("make an offer"),
        ("sale", "fixed_price"): say("fixed price"),
    }
    if (one.field, one.value) in words:
        return words[one.field, one.value]
    if one.field in SHARES and one.value:
        return share_said(float(one.value))
    if one.field == "removal_days" and one.value:
        return marked(one.value)
    return day(date.fromisoformat(one.value)) if one.field == "removal_by" else one.value


def share_said(share: float) -> str:
    """A share in per cent.

    Parameters
    ----------
    share : float

    Returns
    -------
    str

    Examples
    --------
    >>> share_said(0.081)
    '8.1 %'
    """
    return f"{short(100 * share, '.4g')} %"
