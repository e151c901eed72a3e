"""A packed spreadsheet is looked over before it is unpacked: how large, how many cells.

A few kilobytes can unpack to gigabytes, and one cell in the last corner makes a sheet of seventeen
thousand million cells. Whoever reads it holds all of them.
"""

from __future__ import annotations

import re
import zipfile
import zlib
from io import BytesIO

from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.store.media import MEGABYTE

UNPACKED = 200 * MEGABYTE  # of all parts together
MOST_CELLS = 5_000_000  # of one sheet, empty ones among them
PARTS = 2_000
PIECE = 1_000_000
_DAMAGE = (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, NotImplementedError,
           RuntimeError)  # fmt: skip
_PLACE = re.compile(rb"""\br\s*=\s*["']([A-Za-z]{0,4})(\d{1,12})["']""")
_TABLE = re.compile(
    rb"<(?:[\w.-]+:)?(?P<what>table-row|table-cell|covered-table-cell)\b(?P<more>[^>]*?)(?P<bare>/?)>"
)
_REPEATED = re.compile(rb"""number-(?:rows|columns)-repeated\s*=\s*["'](\d{1,12})["']""")


def refuse_bomb(content: bytes, name: str) -> None:
    """Refuse a packed spreadsheet that unpacks to more than this computer should hold.

    Parameters
    ----------
    content : bytes
        XLSX or ODS.
    name : str
        For refusals.

    Raises
    ------
    Unreadable
        It is damaged, has too many parts, unpacks to too much, or has too many cells.

    References
    ----------
    ISO/IEC 29500-1, 18.3.1.4 and 18.3.1.73 (the place of a cell and of a row); ISO/IEC 26300-1,
    19.675 and 19.677 (repeated columns and rows).
    """
    left = UNPACKED
    try:
        with zipfile.ZipFile(BytesIO(content)) as folder:
            parts = folder.infolist()
            if len(parts) > PARTS:
                raise _too_much(name)
            for part in parts:
                if part.filename.endswith(".bin"):  # XLSB: its cells have no bound that is told
                    raise zipfile.BadZipFile
                text = _unpacked(folder, part, left, name)
                left -= len(text)
                if _cells(part.filename, text) > MOST_CELLS:
                    raise _too_many(name)
    except _DAMAGE:
        raise Unreadable(
            say("{name} is not a spreadsheet that can be read", name=name),
            remedy=say("Save it again as XLSX without a password, or as CSV."),
        ) from None


def _unpacked(folder: zipfile.ZipFile, part: zipfile.ZipInfo, left: int, name: str) -> bytes:
    """One part, given up as soon as it is too much, whatever it says of its size."""
    made = bytearray()
    with folder.open(part) as packed:
        while piece := packed.read(PIECE):
            made += piece
            if len(made) > left:
                raise _too_much(name)
    return bytes(made)


def _cells(part: str, text: bytes) -> int:
    if part == "content.xml":
        return _repeated(text)
    if b"sheetData" not in text:
        return 0
    last_row, last_column = text.count(b"<row"), 1
    for letters, digits in _PLACE.findall(text):
        last_row = max(last_row, int(digits))
        last_column = max(last_column, _column(letters))
    return last_row * last_column


def _column(letters: bytes) -> int:
    """A column's number from its letters.

    Examples
    --------
    >>> _column(b"A"), _column(b"XFD")
    (1, 16384)
    """
    number = 0
    for letter in letters.upper():
        number = number * 26 + letter - 64
    return number


def _repeated(text: bytes) -> int:
    """Cells of an ODS sheet up to the last that holds something; what is empty behind it is not."""
    rows, widest, row, column, repeats = 0, 0, 0, 0, 0
    for found in _TABLE.finditer(text):
        told = _REPEATED.search(found["more"])
        times = max(1, int(told[1])) if told else 1
        if found["what"] == b"table-row":
            row, column, repeats = row + repeats, 0, times
            continue
        column += times
        if not found["bare"]:  # it holds something
            rows, widest = max(rows, row + repeats), max(widest, column)
    return rows * widest


def _too_much(name: str) -> Unreadable:
    return Unreadable(
        say("{name} would unpack to more than {limit} MB", name=name, limit=UNPACKED // MEGABYTE),
        remedy=say("Save its table as CSV: one line a row."),
    )


def _too_many(name: str) -> Unreadable:
    return Unreadable(
        say("{name} has more than {millions} million cells", name=name,
            millions=MOST_CELLS // 1_000_000),
        remedy=say("Delete what stands far right or far below the table, and save it again."),
    )  # fmt: skip
