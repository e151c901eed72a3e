"""Ink, blue and brass: the colours and strokes that every drawing is made of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from retrue.figures.letters import width

Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Theme:
    """Colours of one place: a page (which may turn dark) or black on white paper."""

    ink: str
    soft: str
    line: str
    sheet: str
    blue: str  # what you can do, what was measured
    blue_tint: str
    brass: str  # what is estimated
    brass_tint: str
    letters: str = "B612, Verdana, sans-serif"


PAGE = Theme(
    ink="var(--ink,#1d2328)",
    soft="var(--soft,#535c65)",
    line="var(--line,#cbc5b7)",
    sheet="var(--sheet,#fffdf8)",
    blue="var(--blue,#1e4fa3)",
    blue_tint="var(--bluetint,#e4ebf7)",
    brass="var(--brass,#7c570d)",
    brass_tint="var(--brasstint,#f4ead3)",
)
# The press drops strokes in CSS variables, and an office printer has one ink.
PAPER = Theme(
    ink="#000000",
    soft="#3c3c3c",
    line="#9a9a9a",
    sheet="#ffffff",
    blue="#000000",
    blue_tint="#d9d9d9",
    brass="#000000",
    brass_tint="#f0f0f0",
)


@dataclass(frozen=True, slots=True)
class Box:
    """Where a thing stands on the drawing."""

    left: float
    top: float
    right: float
    bottom: float


def plain(value: float) -> str:
    """A coordinate, short and always the same.

    Examples
    --------
    >>> plain(12.0), plain(3.14159), plain(-0.001)
    ('12', '3.14', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def escape(text: str) -> str:
    """Text that may stand between tags; characters that XML forbids become spaces.

    Examples
    --------
    >>> escape('a < b & "c"')
    'a &lt; b &amp; "c"'
    """
    clean = "".join(letter if _allowed(letter) else " " for letter in text)
    return clean.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def attribute(text: str) -> str:
    """Text as a quoted attribute value.

    Examples
    --------
    >>> attribute('3 < 4')
    '"3 &lt; 4"'
    >>> print(attribute('the "lathe"'))
    "the &quot;lathe&quot;"
    """
    told = escape(text)
    for letter, name in (('"', "&quot;"), ("\n", "&#10;"), ("\r", "&#13;"), ("\t", "&#9;")):
        told = told.replace(letter, name)
    return f'"{told}"'


def _allowed(letter: str) -> bool:
    """Letters of XML 1.0, section 2.2."""
    code = ord(letter)
    return code in (9, 10, 13) or 32 <= code < 0xD800 or 0xE000 <= code < 0xFFFE or code > 0xFFFF


def svg(parts: list[str], *, size: tuple[float, float], label: str, sort: str) -> str:
    """Close a drawing: its size, its name for those who cannot see it, its class on the page.

    Parameters
    ----------
    parts : list of str
        Elements, back to front.
    size : (float, float)
        Width and height, drawing units (one unit is one CSS pixel at full width).
    label : str
        The picture in one sentence.
    sort : str
        Class names.

    Returns
    -------
    str
        One ``<svg>`` element.
    """
    wide, high = plain(size[0]), plain(size[1])
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class={attribute(sort)} role="img" '
        f'aria-label={attribute(label)} viewBox="0 0 {wide} {high}" width="{wide}" '
        f'height="{high}">' + "".join(parts) + "</svg>"
    )


def words(
    x: float,
    y: float,
    text: str,
    theme: Theme,
    *,
    size: float = 13,
    anchor: Anchor = "start",
    bold: bool = False,
    colour: str = "",
    sort: str = "",
) -> str:
    """One line of text with its baseline at y."""
    extra = ' font-weight="bold"' if bold else ""
    extra += f" class={attribute(sort)}" if sort else ""
    return (
        f'<text x="{plain(x)}" y="{plain(y)}" font-family={attribute(theme.letters)} '
        f'font-size="{plain(size)}" text-anchor="{anchor}" fill={attribute(colour or theme.ink)}'
        f"{extra}>{escape(text)}</text>"
    )


def words_box(x: float, y: float, text: str, *, size: float, anchor: Anchor) -> Box:
    """The room that a line of text takes."""
    wide = width(text, size)
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    return Box(left, y - 0.8 * size, left + wide, y + 0.25 * size)


def path(
    shape: str, *, stroke: str = "none", fill: str = "none", thick: float = 1, dash: str = ""
) -> str:
    """A stroke or a filled outline."""
    extra = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="{shape}" fill={attribute(fill)} stroke={attribute(stroke)} '
        f'stroke-width="{plain(thick)}"{extra}/>'
    )


def line(
    x1: float, y1: float, x2: float, y2: float, stroke: str, *, thick: float = 1, dash: str = ""
) -> str:
    """A straight stroke."""
    shape = f"M{plain(x1)} {plain(y1)}L{plain(x2)} {plain(y2)}"
    return path(shape, stroke=stroke, thick=thick, dash=dash)


def bar(
    left: float, top: float, wide: float, high: float, *, fill: str, stroke: str, thick: float = 1
) -> str:
    """A length: a rectangle from left to right, also where its width is negative."""
    x = min(left, left + wide)
    return (
        f'<rect x="{plain(x)}" y="{plain(top)}" width="{plain(abs(wide))}" '
        f'height="{plain(high)}" fill={attribute(fill)} stroke={attribute(stroke)} '
        f'stroke-width="{plain(thick)}"/>'
    )
