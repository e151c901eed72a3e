"""The manual as one can ask it: its pages cut into sections, rows of tables and their sorts.

It is written in Markdown and in English. Nothing here knows where the pages are kept.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

_HEADING = re.compile(r"(#{1,4}) +(.+?)\s*$")
_FENCE = "```"
_SIGNS = re.compile(r"[^\w\- ]")
_COMMENT = re.compile(r"^<!--.*?-->\n?", re.MULTILINE | re.DOTALL)
_MARKS = re.compile(
    r"`([^`]+)`|!?\[((?:[^\]\[`]|`[^`]*`)*)\]\([^)]*\)|\\([|<*_`\[\]])"
    r"|\*\*|(?<!\w)\*(?=\w)|(?<=[\w.,)])\*(?!\w)"
)
_BETWEEN = re.compile(r"(?<!\\)\|")

# What a page's sections and rows are; of other pages both are plain parts of the manual.
SECTIONS = {"commands": "command", "json": "json"}
ROWS = {
    "vocabulary": "word",
    "settings": "setting",
    "refusals": "refusal",
    "refusals-all": "refusal",
    "pages": "page",
}
CALCULATIONS = "calculations-"


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with what stands under it, as far as the next heading.

    Attributes
    ----------
    page, title : str
        Name of its page, the heading of that page.
    words : str
        The heading itself, without marks.
    level : int
        1 for the title of the page.
    anchor : str
        Of the heading on its page.
    text : str
        Markdown.
    """

    page: str
    title: str
    words: str
    level: int
    anchor: str
    text: str

    @property
    def sort(self) -> str:
        """What it is: heading, command, json or calculation."""
        if self.page.startswith(CALCULATIONS):
            return "calculation" if self.level > 2 else "heading"
        return SECTIONS.get(self.page, "heading") if self.level > 1 else "heading"


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table that is looked up by its first cell.

    Attributes
    ----------
    sort : str
        word, setting, refusal or page.
    section : Section
        Where it stands.
    heads, cells : tuple of str
        Names of the columns and what stands in them, without marks.
    """

    sort: str
    section: Section
    heads: tuple[str, ...]
    cells: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Manual:
    """All pages, cut up when they are first asked.

    Attributes
    ----------
    pages : mapping of str to str
        Markdown by name of the page.
    """

    pages: Mapping[str, str]

    @cached_property
    def sections(self) -> tuple[Section, ...]:
        """Every section, page by page."""
        return tuple(one for page, text in self.pages.items() for one in sections(page, text))

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """Every row that is looked up by itself."""
        return tuple(row for one in self.sections if one.page in ROWS for row in rows(one))

    def title(self, page: str) -> str:
        """The heading of a page."""
        return next(one.title for one in self.sections if one.page == page)

    def below(self, section: Section) -> list[Section]:
        """The sections under a section, the nearest level alone."""
        at = self.sections.index(section)
        found: list[Section] = []
        for one in self.sections[at + 1 :]:
            if one.page != section.page or one.level <= section.level:
                break
            found.append(one)
        least = min((one.level for one in found), default=0)
        return [one for one in found if one.level == least]


def anchor(words: str) -> str:
    """The anchor of a heading, as readers of such pages make it.

    Parameters
    ----------
    words : str
        The heading, without marks.

    Returns
    -------
    str
        Small letters, joined by hyphens.

    Examples
    --------
    >>> anchor("Take back, bring back")
    'take-back-bring-back'
    """
    return _SIGNS.sub("", words.lower()).replace(" ", "-")


def plain(text: str) -> str:
    """A line of Markdown without its marks: what a link says stays.

    Parameters
    ----------
    text : str
        One line, or a cell of a table.

    Returns
    -------
    str

    Examples
    --------
    >>> plain("**Never** `retrue next`, see [Words](vocabulary.md)")
    'Never retrue next, see Words'
    """
    return _MARKS.sub(lambda m: m[1] or plain(m[2] or "") or m[3] or "", text)


def uncommented(text: str) -> str:
    """A page without the marks between which a tool pastes.

    Parameters
    ----------
    text : str
        Markdown.

    Returns
    -------
    str

    Examples
    --------
    >>> uncommented("<!-- pasted: help -->\\nwords")
    'words'
    """
    return _COMMENT.sub("", text)


def sections(page: str, text: str) -> Iterator[Section]:
    """Cut a page at its headings; what stands in a fence is no heading.

    Parameters
    ----------
    page : str
        Its name.
    text : str
        Markdown, beginning with the title.

    Yields
    ------
    Section
        In their order; an anchor that was used gets a number.

    Examples
    --------
    >>> [one.anchor for one in sections("x", "# Doors\\nHigh.\\n## Low\\n## Low\\n")]
    ['doors', 'low', 'low-1']
    """
    heads: list[tuple[int, str]] = []
    bodies: list[list[str]] = []
    fenced = False
    for line in uncommented(text).splitlines():
        fenced ^= line.startswith(_FENCE)
        found = None if fenced else _HEADING.match(line)
        if found:
            heads.append((len(found[1]), plain(found[2])))
            bodies.append([])
        elif bodies:
            bodies[-1].append(line)
    used: dict[str, int] = {}
    for (level, words), body in zip(heads, bodies, strict=True):
        mark = anchor(words)
        times = used[mark] = used.get(mark, -1) + 1
        told = "\n".join(body).strip("\n")
        yield Section(page, heads[0][1], words, level, f"{mark}-{times}" if times else mark, told)


def rows(section: Section) -> Iterator[Row]:
    """The rows of the tables of a section.

    Parameters
    ----------
    section : Section
        Of a page whose rows are looked up.

    Yields
    ------
    Row

    Examples
    --------
    >>> text = "# S\\n| setting | what |\\n|---|---|\\n| `CI` | All must run. |\\n"
    >>> [row.cells for one in sections("settings", text) for row in rows(one)]
    [('CI', 'All must run.')]
    """
    heads: tuple[str, ...] = ()
    for line in section.text.splitlines():
        if not line.startswith("|"):
            heads = ()
        elif not heads:
            heads = _cells(line)
        elif not set(line) <= set("|-: "):
            yield Row(ROWS[section.page], section, heads, _cells(line))


def _cells(line: str) -> tuple[str, ...]:
    cells = _BETWEEN.split(line.strip())[1:-1]
    return tuple(plain(cell.strip().replace("\\|", "|")) for cell in cells)
