"""The file of a catalogue as text that a record can hold, and back."""

from __future__ import annotations

import base64
import binascii
import zlib

from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say

MOST_MB = 16  # of a catalogue, unpacked
MOST = MOST_MB * 1_000_000


def packed(content: bytes) -> str:
    """A file as text.

    Parameters
    ----------
    content : bytes

    Returns
    -------
    str

    Raises
    ------
    Unusable
        It is too large for a list of lots.

    References
    ----------
    RFC 1950, ZLIB compressed data format; RFC 4648, section 4, base64.

    Examples
    --------
    >>> unpacked(packed(b"lot;title"))
    b'lot;title'
    """
    if len(content) > MOST:
        what = say("has more than {most} MB", most=MOST_MB)
        remedy = say("Keep only the table of the lots, without pictures.")
        raise Unusable(
            say("the catalogue is too large"), remedy=remedy,
            problems=(Problem("file", what, remedy),),
        )  # fmt: skip
    return base64.b64encode(zlib.compress(content, 9)).decode("ascii")


def unpacked(text: str) -> bytes:
    """The file that a text was made of.

    Parameters
    ----------
    text : str
        As `packed` made it.

    Returns
    -------
    bytes

    Raises
    ------
    Unreadable
        It is no such text.

    Examples
    --------
    >>> from retrue.base.refusals import Refusal
    >>> try:
    ...     unpacked("belt")
    ... except Refusal as refusal:
    ...     print(refusal.reason)
    the file of a catalogue cannot be read back
    """
    try:
        opened = zlib.decompressobj()
        content = opened.decompress(base64.b64decode(text, validate=True), MOST + 1)
    except (binascii.Error, zlib.error, ValueError):
        raise _broken() from None
    if not opened.eof or len(content) > MOST:
        raise _broken()
    return content


def _broken() -> Unreadable:
    return Unreadable(
        say("the file of a catalogue cannot be read back"),
        remedy=say("Restore the shop from its latest backup and verify the chain of records."),
    )
