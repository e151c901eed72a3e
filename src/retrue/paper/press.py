"""The press: a template and plain data become a PDF, the same bytes every time."""

from __future__ import annotations

import atexit
import json
import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from functools import cache, lru_cache
from importlib.resources import files
from io import BytesIO
from pathlib import Path
from shutil import rmtree
from tempfile import mkdtemp
from typing import TYPE_CHECKING, Any, Literal

from retrue.base.discretion import discreet
from retrue.base.refusals import Unusable
from retrue.base.say import reader, say

if TYPE_CHECKING:  # large: only when something is printed
    import typst

Paper = Literal["a4", "us-letter"]
# The press tells families apart by a field in which B612 Mono calls itself B612 as well, so it is
# given these three alone; their figures are exactly as wide as those of B612 Mono.
FONTS = ("B612-Regular.otf", "B612-Bold.otf", "B612-Italic.otf")
_UNSEEN = "\n\t\u200b"  # the press needs no letter for these
_NEAREST = {"ł": "l", "Ł": "L", "đ": "d", "Đ": "D", "ı": "i", "⌀": "Ø", "∅": "Ø", "✔": "✓"}
_PAGE = re.compile(rb"/Type\s*/Page\b")


def press(
    template: str,
    data: Mapping[str, object],
    *,
    at: datetime,
    pictures: Mapping[str, str] | None = None,
    beside: Mapping[str, bytes] | None = None,
) -> bytes:
    """Print one sheet.

    Parameters
    ----------
    template : str
        Name of a template of this folder, without its ending.
    data : mapping
        All its words and numbers, ready to read; it goes in as a JSON file and is never
        pasted into markup. Letters that the fonts lack are replaced as ``settable`` says.
        ``title``, ``by``, ``language`` and ``paper`` are always needed.
    at : datetime
        The moment the sheet says it was made, with its offset; the only clock there is.
    pictures : mapping of str to str, optional
        Finished SVG by file name, with literal colours.
    beside : mapping of str to bytes, optional
        Other files by name, as they are, in UTF-8: what is attached.

    Returns
    -------
    bytes
        A tagged PDF that passes PDF/UA-1; the same arguments give the same bytes.

    Raises
    ------
    Unusable
        A picture has colours that only a page knows.
    typst.TypstError
        The template itself is wrong, a picture is no SVG, or one lacks its words.

    References
    ----------
    ISO 14289-1:2014 (PDF/UA-1), checked by the press itself.
    """
    for name, picture in (pictures or {}).items():
        if "var(" in picture:
            raise Unusable(
                say("{picture} has colours that paper would lose", picture=name),
                remedy=say("Draw it with the colours of paper."),
            )
    shelf = files("retrue.paper") / "templates"
    source: Any = {  # the press takes several files at once; its type stubs do not say so
        "main.typ": (shelf / f"{template}.typ").read_bytes(),
        "blocks.typ": (shelf / "blocks.typ").read_bytes(),
        "data.json": _written(_settable(_spoken(data))),
        **{
            name: discreet(settable(picture)).encode() for name, picture in (pictures or {}).items()
        },
        **(beside or {}),
    }
    import typst

    printed = typst.compile(
        source,
        font_paths=_fonts(),
        ignore_system_fonts=True,
        format="pdf",
        pdf_standards="ua-1",
        timestamp=int(at.timestamp()),
    )
    assert isinstance(printed, bytes)
    return printed


def settable(text: str) -> str:
    """A text in the letters that the fonts have, for a name in other letters must print as well.

    Parameters
    ----------
    text : str
        In any letters.

    Returns
    -------
    str
        A letter that the fonts lack becomes its nearest one without its mark, else a question
        mark; what is only a mark on another letter goes.

    References
    ----------
    Unicode Standard Annex 15, Unicode Normalization Forms (NFC, NFKD).

    Examples
    --------
    >>> settable("Şaban, łańcuch ⌀ 12 mm, ж")
    'Saban, lancuch Ø 12 mm, ?'
    """
    text = unicodedata.normalize("NFC", text)
    return "".join(map(_settable_letter, text))


@lru_cache(maxsize=4096)  # a sheet has thousands of letters, of few sorts
def _settable_letter(letter: str) -> str:
    sort = unicodedata.category(letter)
    if letter in _UNSEEN or sort == "Zs" or (sort != "Cc" and letter in _letters()):
        return letter
    if sort in ("Mn", "Me", "Cf"):
        return ""
    if sort in ("Cc", "Zl", "Zp"):
        return " "
    nearest = _NEAREST.get(letter) or "".join(
        one for one in unicodedata.normalize("NFKD", letter) if not unicodedata.combining(one)
    )
    return nearest if nearest and set(nearest) <= _letters() else "?"


def _written(data: Mapping[str, Any]) -> bytes:
    return discreet(json.dumps(data, ensure_ascii=False, sort_keys=True)).encode()


def _spoken(data: Mapping[str, Any]) -> Mapping[str, Any]:
    """The same data with the language it is in: the reader's, where no other was asked for."""
    return data if data.get("language") else {**data, "language": reader()}


def _settable(value: Any) -> Any:
    """The same data with every text settable; its keys are our own."""
    if isinstance(value, str):
        return settable(str(value))  # a text that is said when it is shown is said here
    if isinstance(value, Mapping):
        return {key: _settable(one) for key, one in value.items()}
    return [_settable(one) for one in value] if isinstance(value, (list, tuple)) else value


@cache
def _letters() -> frozenset[str]:
    """Letters that each of the fonts has."""
    from matplotlib.ft2font import FT2Font

    shelf = files("retrue") / "web" / "static" / "fonts"
    have = [set(FT2Font(BytesIO((shelf / name).read_bytes())).get_charmap()) for name in FONTS]
    return frozenset(map(chr, set.intersection(*have)))


def pages(pdf: bytes) -> int:
    """How many pages a printed sheet has.

    Parameters
    ----------
    pdf : bytes
        What ``press`` returned; its page objects stand uncompressed.

    Returns
    -------
    int
        Pages.
    """
    return len(_PAGE.findall(pdf))


def fitting(tries: Iterable[bytes], most: int) -> bytes:
    """The first of several printings that keeps to its pages, else the last one.

    Parameters
    ----------
    tries : iterable of bytes
        PDFs, the roomiest first; made one at a time, as they are asked for.
    most : int
        Pages allowed.

    Returns
    -------
    bytes
        One of them.
    """
    printed = b""
    for printed in tries:
        if pages(printed) <= most:
            break
    return printed


def fullest(printing: Callable[[int], bytes], rows: int, most: int) -> bytes:
    """The printing with the most rows that keeps to its pages.

    Parameters
    ----------
    printing : callable
        Prints that many rows.
    rows : int
        How many there are; more rows never take fewer pages.
    most : int
        Pages allowed.

    Returns
    -------
    bytes
        A PDF; the one without any row where not even one fits.
    """
    low, high, best = 0, rows, printing(0)
    while low < high:
        middle = (low + high + 1) // 2
        printed = printing(middle)
        if pages(printed) <= most:
            low, best = middle, printed
        else:
            high = middle - 1
    return best


@cache
def _fonts() -> typst.Fonts:
    """The three files alone in a folder of their own, for as long as this process lives."""
    import typst

    folder = Path(mkdtemp(prefix="retrue-fonts-"))
    atexit.register(rmtree, folder, ignore_errors=True)
    shelf = files("retrue") / "web" / "static" / "fonts"
    for name in FONTS:
        (folder / name).write_bytes((shelf / name).read_bytes())
    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[folder]
    )
