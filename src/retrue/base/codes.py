"""Codes that stand on paper and are typed by hand: eight signs that cannot be confused."""

from __future__ import annotations

import hashlib

from retrue.base.refusals import Unusable
from retrue.base.say import say

# Of signs that look alike in pencil or type none or one stays: without 0 O Q, 1 I L, 2 Z, 5 S,
# without B (8), G (6) and U (V).
SIGNS = "346789ACDEFHJKMNPRTVWXY"
LENGTH = 8
_WEIGHTS = (1, 2, 3, 4, 5, 6, 7)  # all different and none divisible by 23


def code_of(set_name: str, *content: str) -> str:
    """The code of a sheet: seven signs of its content and one that catches a slip.

    Parameters
    ----------
    set_name : str
        Name of the set the sheet belongs to.
    *content : str
        What tells this sheet from another one: ids, a time, a seed.

    Returns
    -------
    str
        Eight signs, written in two groups of four.

    Notes
    -----
    The last sign is the weighted sum of the others modulo 23, a prime: one wrong sign, or two
    neighbours exchanged, never gives a valid code. Two sheets share a code with a chance of
    1 in 3.4 milliard (23 to the 7th).

    References
    ----------
    The check digit of ISBN-10 works alike, with weights and the prime 11 (ISO 2108; from memory).

    Examples
    --------
    >>> code_of("lot-14", "C01", "C28") == code_of("lot-14", "C01", "C28")
    True
    >>> len(code_of("lot-14"))
    9
    """
    told = "\x1f".join((set_name, *content)).encode()
    number = int.from_bytes(hashlib.sha256(told).digest())
    places = []
    for _ in range(LENGTH - 1):
        number, place = divmod(number, len(SIGNS))
        places.append(place)
    signs = "".join(SIGNS[place] for place in (*places, _check(places)))
    return f"{signs[:4]}-{signs[4:]}"


def read_code(typed: str) -> str:
    """A code as somebody typed it, put into its own form.

    Parameters
    ----------
    typed : str
        Small or large letters; spaces and dashes anywhere.

    Returns
    -------
    str
        The code in two groups of four.

    Raises
    ------
    Unusable
        A sign is missing or wrong, or two were exchanged.

    Examples
    --------
    >>> code = code_of("lot-14", "C01")
    >>> read_code(code.lower().replace("-", " ")) == code
    True
    """
    signs = "".join(letter for letter in typed.upper() if letter not in " -\u2013\u2212\t\n")
    places = [SIGNS.find(sign) for sign in signs]
    if len(places) != LENGTH or -1 in places or places[-1] != _check(places[:-1]):
        raise Unusable(
            say("{typed} is not a code of a printed sheet", typed=repr(typed)),
            remedy=say("Type the eight signs beside the square pattern once more."),
        )
    return f"{signs[:4]}-{signs[4:]}"


def _check(places: list[int]) -> int:
    return sum(w * place for w, place in zip(_WEIGHTS, places, strict=True)) % len(SIGNS)
