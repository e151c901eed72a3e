"""Protection by enclosure: what the digits behind IP cover."""

from __future__ import annotations

import re

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.motor_match import Fits

_CODE = re.compile(r"(?:IP)?\s*([0-6X])\s*([0-9X])[A-DHMSWK]*", re.IGNORECASE)
JETS, SUNK = (5, 6, 9), (7, 8)  # of the second digit: neither sort is proved by the other


def digits(code: str) -> tuple[int | None, int | None]:
    """The two digits of a code.

    Parameters
    ----------
    code : str
        ``IP65``, ``65``, ``IP X5``.

    Returns
    -------
    tuple of int or None
        Against bodies and dust; against water. None for an X.

    Raises
    ------
    Unusable
        No such code.

    References
    ----------
    IEC 60529, 4.1 (from memory).

    Examples
    --------
    >>> digits("IP65"), digits("IP x4")
    ((6, 5), (None, 4))
    """
    found = _CODE.fullmatch(code.strip())
    if found is None:
        raise Unusable(
            say("{code} is no protection class", code=code),
            remedy=say("Write it as on the plate: IP54."),
        )
    first, second = (None if one in "xX" else int(one) for one in found.groups())
    return first, second


def covers(has: str | None, needs: str | None) -> Fits:
    """Whether an enclosure protects as much as one that is needed.

    Parameters
    ----------
    has, needs : str or None
        Codes; None or nothing where nobody knows.

    Returns
    -------
    str
        Each digit for itself. One that was sunk (7, 8) is not proved against jets (5, 6, 9), nor
        the other way round: that is asked.

    Raises
    ------
    Unusable
        No such code.

    References
    ----------
    IEC 60529, clauses 5 and 6 (from memory).

    Examples
    --------
    >>> covers("IP65", "IP54"), covers("IP44", "IP54"), covers("IP67", "IP65")
    ('yes', 'no', 'ask')
    """
    if not has or not needs:
        return "ask"
    told = [_digit(one, want) for one, want in zip(digits(has), digits(needs), strict=True)]
    water, wanted = digits(has)[1], digits(needs)[1]
    if "no" not in told and _other_sort(water, wanted):
        return "ask"
    return "no" if "no" in told else "ask" if "ask" in told else "yes"


def _digit(has: int | None, needs: int | None) -> Fits:
    if needs is None:
        return "yes"
    if has is None:
        return "ask"
    return "yes" if has >= needs else "no"


def _other_sort(has: int | None, needs: int | None) -> bool:
    return (has in SUNK and needs in JETS) or (has in JETS and needs in SUNK)
