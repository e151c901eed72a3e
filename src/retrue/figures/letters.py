"""How wide words are in B612, so that labels can be placed without a browser."""

from __future__ import annotations

import re
from collections.abc import Sequence

# Advance widths of B612 Regular and Bold (they agree), in twentieths of the font size.
_BY_WIDTH: dict[int, str] = {
    4: "'|¦",
    5: ",;·",
    6: ".:Iij°²³¹ÌÍÎÏìíîï",
    7: " !l¡’‘\u00a0\u202f",
    8: '"frtªº',
    9: "()-J[sš",
    10: "=]cz¢§“”",
    11: "$*/?FLS\\_`aekvxyç£¨©®¯´¸¿àáâãäåèéêë÷ýÿ−–Š",
    12: "+CEKPTYZbdghnopqu}¤¥±ÈÉÊËÝñòóôõöøùúûüþŸ•",
    13: "0123456789<>ABDGRVX{µÀÁÂÃÄÅÇÐÞßð",
    14: "&HU«¶»ÙÚÛÜ€",
    15: "N^w~¼½¾Ñ…→←",
    16: "OQÒÓÔÕÖ×Ø",
    17: "#¬Ææ",
    18: "%Mm",
    19: "Wœ",
    20: "@Œ",
    21: "—",
}
_TWENTIETHS = {letter: width for width, letters in _BY_WIDTH.items() for letter in letters}
_UNKNOWN = 21  # as wide as the widest letter: a label may then be too far away, never too near


def width(text: str, size: float) -> float:
    """How wide a line of text is.

    Parameters
    ----------
    text : str
        One line.
    size : float
        Font size, in drawing units.

    Returns
    -------
    float
        Width in drawing units; kerning is left out, so the true line is never wider.

    Examples
    --------
    >>> round(width("10 000", 20))
    72
    """
    return sum(_TWENTIETHS.get(letter, _UNKNOWN) for letter in text) * size / 20


def wrap(text: str, room: float, size: float) -> tuple[str, ...]:
    """Break a text into lines that fit, at spaces, inside a word only where one is too long.

    Parameters
    ----------
    text : str
        Any text; a no-break space is never broken.
    room : float
        Width of a line, in drawing units.
    size : float
        Font size, in drawing units.

    Returns
    -------
    tuple of str
        At least one line; nothing is lost but the spaces at the breaks.

    Examples
    --------
    >>> wrap("ways dry, no oil behind the wiper", 110, 12)
    ('ways dry, no oil', 'behind the wiper')
    """
    lines: list[str] = []
    line = ""
    for word in _pieces(re.split(r"[ \t\r\n]+", text.strip(" \t\r\n")), room, size):
        longer = f"{line} {word}" if line else word
        if line and width(longer, size) > room:
            lines.append(line)
            line = word
        else:
            line = longer
    return (*lines, line)


def _pieces(words: Sequence[str], room: float, size: float) -> list[str]:
    """Cut words that are wider than a line."""
    pieces: list[str] = []
    for word in words:
        piece = ""
        for letter in word:
            if piece and width(piece + letter, size) > room:
                pieces.append(piece)
                piece = ""
            piece += letter
        pieces.append(piece)
    return pieces
