"""The words a record is found by: those that a person typed, folded so that spelling does not hide.

Ids, hashes, days, amounts and what a program worked out are not words; a shop on a disk and one
in memory look alike because both ask here.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from retrue.records.facts import Fact

LONGEST = 40  # signs of a word that are looked at
MOST_WORDS = 2000  # different ones of one record
_THOUSANDS = re.compile(r"(?<=\d)\u202f(?=\d{3}(?!\d))")
FEWEST_SIGNS = 3  # of a word that is found by its beginning; a shorter one only whole

TEXTS: Mapping[str, tuple[str, ...]] = {
    "shop": ("name",),
    "need": ("name", "kind", "taper"),
    "alternative": ("name", "kind"),
    "lot": ("name", "seller", "listing"),
    "terms": (),
    "machine": ("name", "kind", "taper", "control_family"),
    "plate": ("entry", "value"),
    "finding": ("check", "history", "fault", "informant", "text"),
    "cost_line": ("line", "reason"),
    "file": ("name", "caption", "place", "shot"),
    "note": ("text", "alarm", "doing", "setting", "old", "new", "why"),
    "asked": ("what", "informant"),
    "moved": (),
    "frozen": ("reason",),
    "outcome": ("text",),
    "instrument": ("name", "sort", "certificate"),
    "reading_set": ("test", "place", "state", "file_name", "code"),
    "reading": (),
    "result": (),
    "own_limit": ("limit", "standard", "edition", "reason"),
    "trouble": ("symptom", "words"),
    "hunch": ("fault", "informant", "text"),
    "trial": ("group", "text"),
    "act": ("fault", "job", "expected", "seen", "decided", "bought"),
    "part_moved": ("slot", "from_slot", "part", "serial", "other_serial", "text"),
    "signed": ("name", "text"),
    "guess": ("fault",),
    "planned": ("method",),
    "data_copy": ("how", "second_place", "none"),
    "move_step": ("step", "name", "rigger", "text"),
    "arrived": ("carrier", "waybill", "text"),
    "laid_up": ("where",),
    "round": ("text",),
    "as_found": ("entry", "why", "text"),
    "ticked": ("item", "text"),
    "cleaned": ("place", "text"),
    "clean_reading": ("place", "point", "text"),
    "taken": ("place", "code", "what", "from_end", "to_end", "text"),
    "put_back": ("text",),
    "stage_begun": ("stage", "by_name", "at_switch", "licence", "text"),
    "stage_reading": ("stage", "name", "point", "instrument", "taken_by", "text"),
    "stage_ended": ("stage", "name", "licence", "why", "text"),
    "cause_found": ("stage", "name", "cause", "text"),
    "watch_begun": ("stage", "what", "logger", "text"),
    "watch_readings": ("text",),
    "watch_called": ("why",),
    "watch_ended": ("name", "text"),
    "sensed": ("point", "state", "file_name", "text"),
    "sensed_result": (),
    "chosen": ("what", "why"),
    "quoted": ("line", "vendor", "text"),
    "out": ("line", "what", "whom", "reach", "parcel", "serial", "text"),
    "rung": ("text",),
    "out_ended": ("text",),
    "card_marked": ("card", "text"),
    "worker": ("name", "text"),
    "gear": ("name", "whom", "text"),
    "stock": ("name", "text"),
    "plan_kept": ("why",),
    "posting": ("what", "whom", "line", "from_stock", "text"),
    "day_rate": ("source", "text"),
    "books_closed": ("text",),
    "hours_told": ("worker", "line", "text"),
    "clock_rung": ("worker", "line", "text"),
    "run_figure": ("item", "reason"),
    "for_sale": ("text",),
    "offered": ("whom", "text"),
    "included": ("what", "text"),
    "record_given": ("whom",),
    "promised": ("what", "whom", "text"),
    "buyer_asked": ("whom", "question", "answer", "text"),
    "case_closed": ("changes",),
    "ledger_taken": ("text",),
    "catalogue": ("name", "file_name", "text"),
    "catalogue_content": (),
    "screening": (),
    "share": ("who",),
    "part_screened": (),
    "bidder": ("number", "who", "text"),
    "budget": ("only",),
    "row_taken": ("number",),
    "device_joined": ("name", "person", "text"),
    "backed_up": ("place", "text"),
    "set_aside": (),
    "withdrawn": (),
}
"""Of each kind of record the fields that hold a person's words, or a code he knows it by."""


@dataclass(frozen=True, slots=True)
class Part:
    """One word that is looked for.

    Attributes
    ----------
    text : str
        Folded; letters and digits only.
    """

    text: str

    @property
    def whole(self) -> bool:
        """Whether only the whole word counts, for it is too short to begin another."""
        return len(self.text) < FEWEST_SIGNS

    def among(self, words: Iterable[str]) -> bool:
        """Whether one of some folded words is it, or begins with it."""
        if self.whole:
            return self.text in words
        return any(word.startswith(self.text) for word in words)


Asked = tuple[tuple[tuple[Part, ...], ...], ...]
"""All of these, each by any of its ways, each way by all of its parts."""


def fold(text: str) -> str:
    """A text without accents and capitals.

    Parameters
    ----------
    text : str
        Anything.

    Returns
    -------
    str

    References
    ----------
    Unicode Standard Annex 15, compatibility decomposition (NFKD); The Unicode Standard, section
    5.18, caseless matching.

    Examples
    --------
    >>> fold("Coördinaattafel, Ø 32 Straße")
    'coordinaattafel, ø 32 strasse'
    """
    apart = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    if apart.isascii():
        return apart
    return "".join(sign for sign in apart if not unicodedata.combining(sign))


def words_of_text(text: str) -> Iterator[str]:
    """The words a text is found by.

    A run of letters and digits is a word; what is joined by other signs, such as a code or a
    serial number, is one as well, and so is what is left of it from each of its parts on.

    Parameters
    ----------
    text : str
        Anything.

    Yields
    ------
    str
        Folded; at most `LONGEST` signs of each.

    Examples
    --------
    >>> sorted(set(words_of_text("Spindle W-0412 kx77")))
    ['0412', '77', 'kx77', 'spindle', 'w', 'w0412']
    """
    for chunk in fold(text).split():
        parts = _parts(chunk)
        for at, part in enumerate(parts):
            yield part[:LONGEST]
            yield "".join(parts[at:])[:LONGEST]
        for part in parts:
            if any(map(str.isdigit, part)) and not part.isdigit():
                yield from _turns(part)


def _parts(chunk: str) -> list[str]:
    return ["".join(some) for is_word, some in groupby(chunk, str.isalnum) if is_word]


def _turns(part: str) -> Iterator[str]:
    """What is left of a word from each change between letters and digits on."""
    for at in range(1, len(part)):
        if part[at].isdigit() != part[at - 1].isdigit():
            yield part[at:][:LONGEST]


def words_of_line(line: str) -> frozenset[str]:
    """The words a line is found by that a reader sees: its amounts and readings as well.

    Parameters
    ----------
    line : str
        As a page says it.

    Returns
    -------
    frozenset of str
        Thousands that stand apart by a thin space are found joined, too.

    Examples
    --------
    >>> sorted(words_of_line("\u20ac\u202f10\u202f400, lamp: 616\u202flux"))
    ['10', '10400', '400', '616', 'lamp', 'lux']
    """
    joined = _THOUSANDS.sub("", line)
    return frozenset([*words_of_text(line), *(words_of_text(joined) if joined != line else ())])


def words_of(fact: Fact) -> tuple[str, ...]:
    """The words a fact is found by, each once, in the order of the text.

    Parameters
    ----------
    fact : Fact
        Of any kind.

    Returns
    -------
    tuple of str
        At most `MOST_WORDS`.

    Examples
    --------
    >>> from retrue.records.facts import Note
    >>> words_of(Note(text="Belt smells hot", alarm="402"))
    ('belt', 'smells', 'hot', '402')
    """
    found: dict[str, None] = {}
    for name in TEXTS.get(fact.KIND, ()):
        value: Any = getattr(fact, name)
        if value:
            found.update(dict.fromkeys(words_of_text(str(value))))
    return tuple(found)[:MOST_WORDS]


def asked_for(words: str) -> Asked:
    """What somebody looks for, as it was typed.

    Parameters
    ----------
    words : str
        With blanks between them; all of them must be there.

    Returns
    -------
    tuple
        One entry for each word; a word with signs in it, such as "W-0412", is found joined or by
        its parts.

    Examples
    --------
    >>> [[[part.text for part in way] for way in word] for word in asked_for("Gib W-0412")]
    [[['gib']], [['w0412'], ['w', '0412']]]
    """
    asked = []
    for chunk in fold(words).split():
        parts = _parts(chunk)
        if not parts:
            continue
        joined = (Part("".join(parts)[:LONGEST]),)
        apart = tuple(Part(part[:LONGEST]) for part in parts)
        asked.append((joined,) if len(parts) == 1 else (joined, apart))
    return tuple(dict.fromkeys(asked))


def matches(asked: Asked, words: Iterable[str]) -> bool:
    """Whether folded words hold all that is asked for.

    Parameters
    ----------
    asked : tuple
        As `asked_for` has it.
    words : iterable of str
        Folded, as `words_of` has them.

    Returns
    -------
    bool
        False where nothing is asked for.

    Examples
    --------
    >>> matches(asked_for("smel hot"), ("belt", "smells", "hot"))
    True
    """
    there = words if isinstance(words, frozenset) else frozenset(words)
    return bool(asked) and all(
        any(all(part.among(there) for part in way) for way in word) for word in asked
    )
