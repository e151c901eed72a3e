"""TOML that a person wrote: decoded and parsed, or refused with the line that is wrong."""

from __future__ import annotations

import re
import tomllib
from decimal import Decimal
from typing import Any

from retrue.base.refusals import Problem, Unreadable
from retrue.base.say import say

_PLACE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")


def toml_text(content: bytes, name: str) -> str:
    r"""A file as text.

    Parameters
    ----------
    content : bytes
        UTF-8; a byte-order mark is allowed.
    name : str
        For refusals.

    Returns
    -------
    str
        Lines end in one sign.

    Raises
    ------
    Unreadable
        It is not UTF-8; line and byte are named.

    References
    ----------
    TOML 1.0.0, "Spec": a TOML file must be a valid UTF-8 encoded Unicode document.

    Examples
    --------
    >>> toml_text(b"name = 1\r\n", "lot.toml")
    'name = 1\n'
    """
    try:
        return content.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as wrong:
        line = content.count(b"\n", 0, wrong.start) + 1
        where = f"{name}, line {line}, byte {wrong.start + 1}"
        what = say("0x{byte} is not UTF-8", byte=f"{content[wrong.start]:02x}")
        raise Unreadable(
            say("{where}: {what}", where=where, what=what),
            remedy=say("Save the file again as UTF-8."),
            problems=(Problem(where, what),),
        ) from wrong


def toml_of(text: str, name: str, remedy: str) -> dict[str, Any]:
    """What a text says.

    Parameters
    ----------
    text : str
        TOML.
    name : str
        For refusals.
    remedy : str
        Where it is none.

    Returns
    -------
    dict
        Numbers with a point as Decimal.

    Raises
    ------
    Unreadable
        It is not TOML; the line is named.

    References
    ----------
    TOML 1.0.0, read by the standard library.

    Examples
    --------
    >>> toml_of("premium = 0.18", "lot.toml", "")
    {'premium': Decimal('0.18')}
    """
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, ArithmeticError, ValueError, RecursionError) as wrong:
        told = str(wrong)
        place = _PLACE.search(told)
        line = place.group(1) if place and place.group(1) else str(text.count("\n") + 1)
        where = f"{name}, line {line}"
        raise Unreadable(
            say("{where}: this is not TOML: {told}", where=where, told=_PLACE.sub("", told)),
            remedy=remedy,
            problems=(Problem(where, _PLACE.sub("", told)),),
        ) from wrong
