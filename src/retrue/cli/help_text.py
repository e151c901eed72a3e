"""Markdown as plain lines for a terminal: what it says, without its marks."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from retrue.base.manual import plain

WIDTH = 88
_FENCE = "```"


def text_lines(text: str, width: int = WIDTH) -> list[str]:
    """A part of the manual as lines to read.

    Parameters
    ----------
    text : str
        Markdown without headings.
    width : int
        No line of words is longer; a command is never broken.

    Returns
    -------
    list of str
        A table has its columns under each other, or, where they are too wide, a row after a row.

    Examples
    --------
    >>> text_lines("Say **yes**\\nor no.\\n\\n- [one](x.md)\\n\\n| a | b |\\n|---|---|\\n| 1 | 2 |")
    ['Say yes or no.', '', '- one', '', 'a  b', '1  2']
    """
    lines: list[str] = []
    for block in _blocks(text):
        if lines:
            lines.append("")
        lines += _block(block, width)
    return lines


def _blocks(text: str) -> Iterator[list[str]]:
    """Lines that belong together: between empty ones, a fence whole."""
    block: list[str] = []
    fenced = False
    for line in text.splitlines():
        if line.startswith(_FENCE):
            if not fenced and block:
                yield block
                block = []
            block.append(line)
            if fenced:
                yield block
                block = []
            fenced = not fenced
        elif line.strip() or fenced:
            block.append(line)
        elif block:
            yield block
            block = []
    if block:
        yield block


def _block(block: list[str], width: int) -> list[str]:
    if block[0].startswith(_FENCE):
        return [f"    {line}".rstrip() for line in block[1:] if not line.startswith(_FENCE)]
    if block[0].startswith("    "):
        return block
    if block[0].startswith("|"):
        return _table(block, width)
    return [line for item in _items(block) for line in _wrapped(item, width)]


def _items(block: list[str]) -> list[str]:
    """The points of a list, or one paragraph, each on one line."""
    items: list[str] = []
    for line in block:
        told = line.rstrip()
        mark = told.lstrip().partition(" ")[0]
        new = mark in {"-", "*", ">"} or (mark.endswith(".") and mark[:-1].isdigit())
        if new or not items:
            items.append(told)
        else:
            items[-1] += " " + told.strip()
    return [plain(item) for item in items]


def _wrapped(item: str, width: int) -> list[str]:
    indent = item[: len(item) - len(item.lstrip())]
    mark = item.lstrip().partition(" ")[0]
    hangs = mark in {"-", "*", ">"} or (mark.endswith(".") and mark[:-1].isdigit())
    hung = indent + " " * (len(mark) + 1) if hangs else indent
    return textwrap.wrap(
        item, width, subsequent_indent=hung, break_long_words=False, break_on_hyphens=False
    )


def _table(block: list[str], width: int) -> list[str]:
    rows = [
        [plain(cell.strip()) for cell in line.replace("\\|", "\0").strip().strip("|").split("|")]
        for line in block
        if not set(line) <= set("|-: ")
    ]
    rows = [[cell.replace("\0", "|") for cell in row] for row in rows]
    most = max(map(len, rows))
    rows = [row + [""] * (most - len(row)) for row in rows]
    widths = [max(len(row[n]) for row in rows) for n in range(most)]
    if sum(widths) + 2 * (most - 1) <= width:
        told = ("  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)) for row in rows)
        return [line.rstrip() for line in told]
    return [line for row in rows[1:] for line in _wrapped(_told(row), width)]


def _told(row: list[str]) -> str:
    rest = "; ".join(cell for cell in row[1:] if cell)
    return f"- {row[0]}: {rest}" if rest else f"- {row[0]}"
