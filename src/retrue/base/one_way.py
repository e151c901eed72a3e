"""Text that reads in the order it was typed: no sign in it turns what stands behind it around.

Letters written from right to left are turned by every program that shows them, without such signs.
"""

from __future__ import annotations

import re

_TURNS = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")


def one_way(text: str) -> str:
    r"""Take out the signs that change the direction of writing.

    Parameters
    ----------
    text : str
        A note, the name of a file, or a whole page.

    Returns
    -------
    str

    References
    ----------
    Unicode Standard Annex #9, "Unicode Bidirectional Algorithm", property Bidi_Control; the harm:
    Unicode Technical Report #36, section 3.

    Examples
    --------
    >>> one_way("photo\u202egpj.exe"), one_way("ça « suinte »")
    ('photogpj.exe', 'ça « suinte »')
    """
    return _TURNS.sub("", text)
