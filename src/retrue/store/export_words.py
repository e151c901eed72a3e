"""Words of an export: cells that no spreadsheet runs, and names of files that people can read."""

from __future__ import annotations

import json
import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from pathlib import PurePath
from typing import Any

RUNS = ("=", "+", "-", "@", "\t", "\r")
PLAIN_NUMBER = re.compile(r"[+-]?\d+([.,]\d+)?([eE][+-]?\d+)?")
DEVICES = frozenset({"con", "prn", "aux", "nul", *(f"com{n}" for n in range(1, 10))}) | {
    f"lpt{n}" for n in range(1, 10)
}
"""Names that one system keeps for its own devices."""

LONGEST = 40  # characters of one part of a name
ENDINGS = {
    "image/jpeg": ".jpg",
    "image/png": ".png",
    "image/webp": ".webp",
    "image/gif": ".gif",
    "image/tiff": ".tif",
    "application/pdf": ".pdf",
    "audio/wav": ".wav",
    "video/mp4": ".mp4",
    "text/plain": ".txt",
}


def cell(value: Any) -> str:
    r"""A value as the text of a cell, which no spreadsheet takes for a formula.

    Parameters
    ----------
    value : object
        Of a record: text, number, truth, list, or None.

    Returns
    -------
    str
        A text that begins with ``= + - @``, a tab or a line end gets an apostrophe before it,
        unless it is a plain number.

    References
    ----------
    RFC 4180. The signs that begin a formula: OWASP, CSV Injection (a web page; secondary source).

    Examples
    --------
    >>> cell("=1+1"), cell("-0.02"), cell("- loose"), cell(None), cell(True)
    ("'=1+1", '-0.02', "'- loose", '', 'true')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, int | float):
        return repr(value)
    text = value if isinstance(value, str) else _listed(value)
    if text.startswith(RUNS) and not PLAIN_NUMBER.fullmatch(text):
        return "'" + text
    return text


def _listed(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, default=str, separators=(",", ":"))


def name_part(text: str) -> str:
    """Words as a part of a file's name, in letters that every system takes.

    Examples
    --------
    >>> name_part("Hall 3/left: Brüssel.."), name_part("con"), name_part("   ")
    ('hall-3-left-brussel', 'con-', '')
    """
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    word = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:LONGEST].strip("-")
    return f"{word}-" if word in DEVICES else word


@dataclass(frozen=True, slots=True, kw_only=True)
class FileWords:
    """What is known of a kept file, for its name.

    Attributes
    ----------
    sha256, name, media_type : str
        Its hash, what the device called it, what it was proved to be.
    lot, machine, place, caption : str
        Names, not ids; empty where nothing is known.
    """

    sha256: str
    name: str = ""
    media_type: str = ""
    lot: str = ""
    machine: str = ""
    place: str = ""
    caption: str = ""


def file_path(told: FileWords) -> str:
    """Where a file stands in an export.

    Parameters
    ----------
    told : FileWords
        What is known of it.

    Returns
    -------
    str
        Lot, machine, then place, caption and the first letters of its hash, and its ending.

    Examples
    --------
    >>> file_path(FileWords(sha256="ab12" * 16, name="IMG 7.JPG", lot="School", machine="mill",
    ...                     place="cabinet", caption="black dust"))
    'files/school/mill/cabinet-black-dust-ab12ab12ab12.jpg'
    >>> file_path(FileWords(sha256="ab12" * 16))
    'files/no-lot/ab12ab12ab12.bin'
    """
    ending = PurePath(told.name).suffix.lower()
    if not re.fullmatch(r"\.[a-z0-9]{1,5}", ending):
        ending = ENDINGS.get(told.media_type, ".bin")
    folders = [name_part(told.lot) or "no-lot", name_part(told.machine)]
    words = [name_part(told.place), name_part(told.caption)[:LONGEST], told.sha256[:12]]
    stem = "-".join(word.strip("-") for word in words if word)
    return "/".join(["files", *(one for one in folders if one), stem + ending])
