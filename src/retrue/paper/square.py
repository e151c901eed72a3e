"""The square pattern that a telephone reads off paper."""

from __future__ import annotations

import io
from functools import lru_cache


@lru_cache(maxsize=512)  # a sheet is set several times until it fits, and printed again
def square(text: str) -> str:
    """Draw a text as a square pattern, black on white with its quiet zone.

    Parameters
    ----------
    text : str
        What the telephone shall read: an address, or the name of a set and its code.

    Returns
    -------
    str
        One ``<svg>`` element.

    References
    ----------
    ISO/IEC 18004 (QR code), error correction M, made by segno.
    """
    import segno

    out = io.BytesIO()
    segno.make(text, error="m", micro=False).save(
        out,
        kind="svg",
        scale=1,
        border=2,
        dark="#000000",
        light="#ffffff",
        xmldecl=False,
        svgns=True,
    )
    return out.getvalue().decode()
