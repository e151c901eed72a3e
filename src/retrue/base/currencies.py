"""Currencies by their three letters, and how many decimals an amount in each of them has."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from difflib import get_close_matches
from typing import Literal

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say

Rounding = Literal["half_even", "half_up"]

USUAL = 2
_BY_DECIMALS: Mapping[int, str] = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    2: (
        "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BRL BSD BTN BWP BYN BZD CAD "
        "CDF CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD "
        "GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL "
        "MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN "
        "PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SOS SRD SSP STN SYP SZL THB "
        "TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VES WST XCD YER ZAR ZMW BGN ANG SLE SVC VED "
        "XCG ZWG"
    ),
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
"""ISO 4217:2015, list one, minor units; from memory."""

MINOR: Mapping[str, int] = {
    code: decimals for decimals, codes in _BY_DECIMALS.items() for code in codes.split()
}
"""Decimals of an amount by the code of its currency."""

UNVERIFIED = frozenset(
    {
        "CLF",
        "UGX",
        "MGA",
        "MRU",
        "UYI",
        "UYW",
        "BGN",
        "SLE",
        "SSP",
        "STN",
        "VED",
        "VES",
        "XCG",
        "ZWG",
    }
)
"""Codes whose entry is less sure: a fifth in place of a hundredth, funds, or newly changed."""

_STEPS: Mapping[str, Decimal] = {code: Decimal(1).scaleb(-count) for code, count in MINOR.items()}
_CENT = Decimal(1).scaleb(-USUAL)

_ROUNDINGS: Mapping[Rounding, str] = {
    "half_even": ROUND_HALF_EVEN,
    "half_up": ROUND_HALF_UP,
}


def known_code(code: str, *, field: str = "currency") -> str:
    """A code as it is kept: three capital letters of a currency that there is.

    Parameters
    ----------
    code : str
    field : str
        Named where it is refused.

    Returns
    -------
    str

    Raises
    ------
    Unusable
        There is no such currency; the nearest are named.

    References
    ----------
    ISO 4217:2015, Codes for the representation of currencies (from memory).

    Examples
    --------
    >>> known_code(" eur ")
    'EUR'
    >>> known_code("ERU")
    Traceback (most recent call last):
        ...
    retrue.base.refusals.Unusable: ERU is no currency
    """
    bare = code.strip().upper()
    if bare in MINOR:
        return bare
    near = get_close_matches(bare, sorted(MINOR), n=3, cutoff=0.6)
    what = say("{code} is no currency", code=bare or say("nothing"))
    remedy = (
        say("Did you mean {named}?", named=", ".join(near))
        if near
        else say("Write its three letters: EUR, GBP, CHF, USD.")
    )
    raise Unusable(what, remedy=remedy, problems=(Problem(field, what, remedy),))


def minor_units(code: str) -> int:
    """Decimals of an amount.

    Parameters
    ----------
    code : str
        Three letters; of one that is not on the list two are taken.

    Returns
    -------
    int

    References
    ----------
    ISO 4217:2015 (from memory).

    Examples
    --------
    >>> [minor_units(code) for code in ("EUR", "JPY", "KWD", "CLF")]
    [2, 0, 3, 4]
    """
    return MINOR.get(code, USUAL)


def step(code: str) -> Decimal:
    """The smallest amount of a currency.

    Parameters
    ----------
    code : str

    Returns
    -------
    Decimal

    References
    ----------
    ISO 4217:2015 (from memory).

    Examples
    --------
    >>> step("EUR"), step("JPY")
    (Decimal('0.01'), Decimal('1'))
    """
    return _STEPS.get(code, _CENT)


def to_step(amount: Decimal, code: str, rounding: Rounding = "half_even") -> Decimal:
    """An amount rounded to the smallest of its currency.

    Parameters
    ----------
    amount : Decimal
    code : str
    rounding : str
        half_even: a half goes to the even neighbour, so that many of them cancel; half_up: a half
        goes away from nothing, as invoices mostly do.

    Returns
    -------
    Decimal
        Never minus nothing.

    References
    ----------
    IEEE 754-2008, 4.3: round half to even, round half away from zero.

    Examples
    --------
    >>> to_step(Decimal("0.125"), "EUR"), to_step(Decimal("0.125"), "EUR", "half_up")
    (Decimal('0.12'), Decimal('0.13'))
    """
    rounded = amount.quantize(step(code), rounding=_ROUNDINGS[rounding])
    return abs(rounded) if rounded == 0 else rounded


def is_whole(amount: Decimal, code: str) -> bool:
    """Whether an amount has no more decimals than its currency.

    Parameters
    ----------
    amount : Decimal
    code : str

    Returns
    -------
    bool

    References
    ----------
    ISO 4217:2015 (from memory).

    Examples
    --------
    >>> is_whole(Decimal("10.50"), "EUR"), is_whole(Decimal("10.5"), "JPY")
    (True, False)
    """
    return amount == amount.quantize(step(code), rounding=ROUND_HALF_EVEN)
