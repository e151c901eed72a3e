"""Look a word up in the manual: the best place first, the nearest words for one it has not."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from retrue.base.manual import Manual, Row, Section, plain

ORDER = (
    "heading", "word", "command", "setting", "page", "calculation", "json", "refusal", "text",
)  # fmt: skip
"""The sorts of what is found; of two that fit alike the earlier one stands first."""

_WORD = re.compile(r"[^\W_]+(?:[-'’][^\W_]+)*")
_GAP = re.compile(r"\{\w+\}")
_ANYTHING = r".+?"
_MARKS = str.maketrans("“”„’‘\u00a0\u202f", '"""\'\'  ')
REFUSALS = "refusals-all"  # the page of all sentences: asked for by the sentence, else found last
LEAST_WORD = 3  # signs: a shorter one is no near word
LEAST_SENTENCE = 3  # words: a shorter refusal is found by its words alone
ALIKE = 0.6


@dataclass(frozen=True, slots=True)
class Found:
    """One place of the manual.

    Attributes
    ----------
    sort : str
        One of `ORDER`.
    words : str
        Its name: a heading, a word, a command, a sentence, an address.
    section : Section
        Where it stands.
    text : str
        Markdown of it alone.
    also : str
        Another name of it: what a page says for our word, the name of a page.
    """

    sort: str
    words: str
    section: Section
    text: str
    also: str = ""


def look_up(manual: Manual, asked: str) -> list[Found]:
    """Find all places that fit, the best first.

    Parameters
    ----------
    manual : Manual
        In which.
    asked : str
        A word, some words, a command as it is typed, an option, an address, or a refusal as it
        was printed.

    Returns
    -------
    list of Found
        First a sentence of a refusal that is in what was typed, then what is called exactly so,
        then names that have all words, then texts that have them. Empty for what it has not.

    Examples
    --------
    >>> from retrue.base.manual_files import manual
    >>> look_up(manual(), "walk-away price")[0].sort
    'word'
    """
    wanted = _words(asked)
    if not asked.strip():
        return []
    if asked.lstrip().startswith("-"):  # an option is a part of its commands' help
        return _in_texts(manual, asked, wanted, set())
    ranks = ((_rank(one, asked, wanted), one) for one in _named(manual))
    fits = sorted(((rank, one.found) for rank, one in ranks if rank is not None), key=_order)
    called = [one for rank, one in fits if rank == 0 and one.section.page != REFUSALS]
    others = [one for rank, one in fits if rank > 0 or one.section.page == REFUSALS]
    found = list(dict.fromkeys([*called, *_refused(manual, asked), *others]))
    return found + _in_texts(manual, asked, wanted, {one.section for one in found})


def _order(pair: tuple[int, Found]) -> tuple[bool, int, int, int]:
    rank, one = pair
    return one.section.page == REFUSALS, rank, ORDER.index(one.sort), len(one.words)


def ungapped(text: str) -> str:
    """A sentence with three dots for each name that is filled in when it is said.

    Parameters
    ----------
    text : str
        As the program has it.

    Returns
    -------
    str

    Examples
    --------
    >>> ungapped("there is no lot called {name}")
    'there is no lot called …'
    """
    return _GAP.sub("…", text)


def nearest(manual: Manual, asked: str, most: int = 5) -> list[str]:
    """The words of the manual that are spelled most alike.

    Parameters
    ----------
    manual : Manual
        In which.
    asked : str
        What was not found.
    most : int
        No more than so many.

    Returns
    -------
    list of str

    Examples
    --------
    >>> from retrue.base.manual import Manual
    >>> nearest(Manual({"x": "# Backlash\\nof a screw"}), "baklash")
    ['backlash']
    """
    known = dict.fromkeys(
        word for one in _named(manual) for word in one.words if len(word) > LEAST_WORD
    )
    found: list[str] = []
    for word in _words(asked) or [asked.lower()]:
        if word not in known:
            found += difflib.get_close_matches(word, known, n=most, cutoff=ALIKE)
    return list(dict.fromkeys(found))[:most]


def _refused(manual: Manual, asked: str) -> list[Found]:
    """The refusals whose sentence stands in what was typed; names in it may be any.

    The one with most words of its own stands first: the shorter may be a part of it.
    """
    typed = " ".join(_even(asked).split()).lower()
    found = []
    for row in manual.rows:
        if row.sort != "refusal":
            continue
        own = max(map(_said(typed), row.cells[0].split(" / ")), default=0)
        helps = 0 if own or len(row.cells) < 3 else _said(typed)(row.cells[2])
        if own or helps:
            found.append((bool(own), own or helps, _row(row)))
    return [one for *_, one in sorted(found, key=lambda told: (not told[0], -told[1]))]


def _said(typed: str) -> Callable[[str], int]:
    """How many words of its own a sentence has, where it stands in what was typed; else 0."""

    def count(sentence: str) -> int:
        parts = [" ".join(part.lower().split()) for part in _GAP.split(_even(sentence))]
        own = len(_words(" ".join(parts)))
        if own < LEAST_SENTENCE or not all(part in typed for part in parts):
            return 0
        return own if re.search(_ANYTHING.join(map(re.escape, parts)), typed) else 0

    return count


def _even(text: str) -> str:
    """Whatever marks a shell or a page put around words and into them, one sort of each."""
    return text.translate(_MARKS)


@dataclass(frozen=True, slots=True)
class _Named:
    """A place with all its names in small letters, and their words."""

    found: Found
    names: frozenset[str]
    words: tuple[str, ...]


@lru_cache(maxsize=2)
def _named(manual: Manual) -> tuple[_Named, ...]:
    """Everything that has a name."""
    sections = [
        Found(one.sort, one.words, one, _told(one), one.page if one.level == 1 else "")
        for one in manual.sections
    ]
    return tuple(map(_names_of, (*sections, *map(_row, manual.rows))))


def _told(section: Section) -> str:
    return ungapped(section.text) if section.page == REFUSALS else section.text


def _names_of(one: Found) -> _Named:
    names = {name.lower() for name in (one.words, one.also) if name}
    short = {name.partition(end)[0] for name in names for end in (":", " (")}
    names |= short | {name.removeprefix("retrue ") for name in names}
    return _Named(one, frozenset(names), tuple(dict.fromkeys(_words(f"{one.words} {one.also}"))))


def _row(row: Row) -> Found:
    pairs = zip(row.heads[1:], row.cells[1:], strict=False)
    told = "\n\n".join(f"{head}: {cell}" for head, cell in pairs if cell)
    if row.sort == "refusal":
        return Found(row.sort, ungapped(row.cells[0]), row.section, ungapped(told))
    also = row.cells[1] if row.sort == "word" and len(row.cells) > 1 else ""
    return Found(row.sort, row.cells[0], row.section, told, also)


def _rank(one: _Named, asked: str, wanted: list[str]) -> int | None:
    """How well a name fits: 0 it is called so, 1 it has all words, 2 the beginnings of them."""
    if " ".join(asked.lower().split()) in one.names:
        return 0
    if not wanted:
        return None
    if all(word in one.words for word in wanted):
        return 1
    if all(any(mine.startswith(word) for mine in one.words) for word in wanted):
        return 2
    return None


@lru_cache(maxsize=2)
def _texts(manual: Manual) -> tuple[tuple[Section, str], ...]:
    return tuple((one, plain(one.text).lower()) for one in manual.sections)


def _in_texts(manual: Manual, asked: str, wanted: list[str], had: set[Section]) -> list[Found]:
    """Places whose text has what was typed, those that have it as it was typed first."""
    typed = " ".join(asked.lower().split())
    option = typed.startswith("-")
    whole = re.compile(rf"(?<![\w-]){re.escape(typed)}(?![\w-])")
    as_typed: list[Found] = []
    by_words: list[Found] = []
    for one, text in _texts(manual):
        if one in had:
            continue
        sort = one.sort if option and one.sort == "command" else "text"
        place = Found(sort, one.words, one, _told(one))
        if typed in text and whole.search(text):
            as_typed.append(place)
        elif not option and wanted and all(word in text for word in wanted):
            by_words += [place] if set(wanted) <= set(_words(text)) else []
    as_typed.sort(key=lambda one: (ORDER.index(one.sort), one.section.page == "json"))
    return as_typed + by_words


def _words(text: str) -> list[str]:
    return [word.lower() for word in _WORD.findall(text)]
