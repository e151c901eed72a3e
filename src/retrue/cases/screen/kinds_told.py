"""What a line of a catalogue is, by its words: known, likely, standing in, or no machine. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from retrue.base.say import say
from retrue.cases.screen.kind_beside import (
    BY_HAND,
    CNC_WORDS,
    FOR,
    FROM,
    JOINS,
    LYING_WORDS,
    SLANT,
    UPRIGHT_WORDS,
    WITH,
)
from retrue.cases.screen.kind_words import (
    ANY_CNC,
    BELONGS,
    CENTRE,
    CNC_MILL,
    HAND_LATHE,
    HAND_MILL,
    HORIZONTAL,
    LATHE,
    MILL,
    SENSES,
    TURNING,
    UPRIGHT,
    Sense,
)
from retrue.cases.settle.bring_words import plain

MACHINES = frozenset({"known", "likely", "stand_in"})
ENDINGS = ("", "e", "n", "en", "s", "es", "er", "i", "x")  # of a plural
MOST_WORDS = 6  # of a name
LONGEST = 40  # letters of a word that are looked at, from its end
SHORTEST = 4  # letters of a name that ends a longer word
_FOR = tuple(f" {word} " for word in FOR)
_COUNTED = re.compile(r"[0-9]+ (?:x )?$")  # "12 tools" are on a machine, "tools" are the lot
_TOKEN = re.compile(r"[a-z0-9]+")
_JOIN = re.compile("|".join(re.escape(join) for join in JOINS))


@dataclass(frozen=True, slots=True)
class Told:
    """What words say that a line is.

    Attributes
    ----------
    senses : tuple of Sense
        Of each machine, in the order of the words; of one thing, where there is no machine.
    words : str
        By which it was known.
    why : str
        Why it is a guess; empty where it is none.
    """

    senses: tuple[Sense, ...]
    words: str = ""
    why: str = ""

    @property
    def is_machine(self) -> bool:
        """Whether there is something to price."""
        return bool(self.senses) and self.senses[0].sure in MACHINES


NOTHING = Told(())


@dataclass(frozen=True, slots=True)
class _Match:
    start: int
    end: int
    words: str
    sense: Sense


@cache
def _words() -> tuple[Mapping[str, Sense], Mapping[str, Sense]]:
    """Every word, with every ending: as it stands, and as the end of a longer one."""
    whole: dict[str, Sense] = {}
    ends: dict[str, Sense] = {}
    for ending in ENDINGS:
        for sense, words in SENSES:
            for word in words.split(";"):
                bare = word.strip()
                whole.setdefault(bare.lstrip("*") + ending, sense)
                if bare.startswith("*"):
                    ends.setdefault(bare[1:] + ending, sense)
    return whole, ends


def tells_anything(text: str) -> bool:
    """Whether any word of a text says what a thing is.

    Parameters
    ----------
    text : str

    Returns
    -------
    bool

    Examples
    --------
    >>> tells_anything("CNC-Drehmaschine"), tells_anything("XR-500")
    (True, False)
    """
    return next(_matches(plain(text)), None) is not None


def told_by(text: str, *, beside: str = "", controlled: bool = False) -> Told:
    """What a text says that a line is.

    Parameters
    ----------
    text : str
        A title, or a cell that names the type.
    beside : str
        Other words of the same line, which may settle a doubt but name nothing.
    controlled : bool
        Whether a cell of its own names a numerical control.

    Returns
    -------
    Told

    Examples
    --------
    >>> told = told_by("CNC-Drehmaschine, Bj. 1998")
    >>> told.senses[0].kind, told.words, told.why
    ('turning_centre', 'cnc drehmaschine', '')
    >>> told_by("Werkzeugschrank").senses[0].sure
    'thing'
    >>> [sense.kind for sense in told_by("surface grinder + CNC lathe with bar feeder").senses]
    ['surface_grinder', 'turning_centre']
    """
    bare, cut = _bare(text)
    whole = f" {bare} {plain(beside)} "
    matches = list(_matches(bare))
    before = [one for one in matches if one.start < cut]
    if matches and not before and bare[cut:].startswith(_FOR):
        return Told((BELONGS,), matches[0].words)
    matches = before or matches
    if not matches:
        word = _one_of(CNC_WORDS, whole)
        known = Told((ANY_CNC,), word, f"{ANY_CNC.what}")
        return known if (word or controlled) and bare.strip() else NOTHING
    machines = [one for one in matches if one.sense.sure in MACHINES]
    things = [one for one in matches if one.sense.sure not in MACHINES]
    counted = [one for one in things if _COUNTED.search(bare[: one.start])]
    if machines and len(counted) < len(things):
        return _both(bare, machines, things, whole, controlled)
    if things and not machines:
        return Told((things[0].sense,), things[0].words)
    return _machines(bare, machines, whole, controlled)


def _bare(text: str) -> tuple[str, int]:
    """A text made plain, what parts two things left in it; and where it says what goes with it."""
    parts = re.split(f"({_JOIN.pattern})", f" {_in_full(text)} ")
    bare = "".join(part if index % 2 else f" {plain(part)} " for index, part in enumerate(parts))
    bare = re.sub(" +", " ", bare)
    cuts = [at for word in (*WITH, *FOR, *FROM) if (at := bare.find(f" {word} ")) > 0]
    return bare, min(cuts, default=len(bare))


_CUT = re.compile(r"(?i)\b([^\W\d_]{3,})-\s+(en|und|oder|of|and)\s+([^\W\d_]{6,})")
TAILS = (
    "bewerkingsmachine",
    "werkzeugmaschine",
    "maschine",
    "machine",
    "bank",
    "zentrum",
    "centrum",
)


def _in_full(text: str) -> str:
    """Words of which a hyphen stands for the end of the next: frees- en draaibank."""

    def whole(found: re.Match[str]) -> str:
        last = found[3]
        tail = next((one for one in TAILS if last.casefold().endswith(one)), "")
        return f"{found[1]}{tail} + {last}" if tail else found[0]

    return _CUT.sub(whole, text)


def _matches(text: str) -> Iterator[_Match]:
    """Words that name something, the longest first where several begin at one place."""
    tokens = [(found.start(), found.end()) for found in _TOKEN.finditer(text)]
    at = 0
    while at < len(tokens):
        found = next(_at(text, tokens, at), None)
        if found is None:
            at += 1
        else:
            yield found[1]
            at += found[0]


def _at(text: str, tokens: Sequence[tuple[int, int]], at: int) -> Iterator[tuple[int, _Match]]:
    whole, ends = _words()
    start, stop = tokens[at]
    for count in range(min(MOST_WORDS, len(tokens) - at), 0, -1):
        end = tokens[at + count - 1][1]
        if (sense := whole.get(text[start:end])) is not None:
            yield count, _Match(start, end, text[start:end], sense)
    for begin in range(max(start + 1, stop - LONGEST), stop - SHORTEST + 1):
        if (sense := ends.get(text[begin:stop])) is not None:
            yield 1, _Match(start, stop, text[start:stop], sense)


def _both(
    bare: str, machines: list[_Match], things: list[_Match], whole: str, controlled: bool
) -> Told:
    """A machine and another thing: which of them is the lot."""
    first, thing = machines[0], things[0]
    between = bare[min(first.end, thing.end) : max(first.start, thing.start)]
    if _JOIN.search(between) is None and (thing.start < first.start or not between.strip()):
        return Told(
            (thing.sense,),
            thing.words,
            say("{thing}, though it names {machine} as well", thing=thing.words,
                machine=first.words),
        )  # fmt: skip
    told = _machines(bare, machines, whole, controlled)
    why = say("it names {thing} as well, which is not priced", thing=thing.words)
    return Told(told.senses, told.words, "; ".join(filter(None, (told.why, why))))


def _machines(bare: str, machines: list[_Match], whole: str, controlled: bool) -> Told:
    """One machine, or several that are named one after the other."""
    chosen = [machines[0]]
    for one in machines[1:]:
        same = next((old for old in chosen if old.sense.kind == one.sense.kind), None)
        if same is not None:
            if one.sense.sure == "stand_in" and one.sense is not LATHE:
                chosen[chosen.index(same)] = one
        elif _JOIN.search(bare[chosen[-1].end : one.start]):
            chosen.append(one)
    settled = [_settled(one.sense, whole, controlled) for one in chosen]
    why = "; ".join(dict.fromkeys(reason for _, reason in settled if reason))
    return Told(tuple(sense for sense, _ in settled), ", ".join(one.words for one in chosen), why)


def _settled(sense: Sense, whole: str, controlled: bool) -> tuple[Sense, str]:
    """A doubt that other words of the line settle; with the reason where it stays a guess."""
    if sense is CENTRE:
        if word := _one_of(LYING_WORDS, whole):
            return HORIZONTAL, _by(HORIZONTAL, word)
        if word := _one_of(UPRIGHT_WORDS, whole):
            return UPRIGHT, ""
    if sense in (LATHE, MILL):
        if word := _one_of((*CNC_WORDS, *SLANT), whole):
            settled = TURNING if sense is LATHE else CNC_MILL
            return settled, _by(settled, word)
        if controlled:
            settled = TURNING if sense is LATHE else CNC_MILL
            return settled, say("{what}, as it has a control", what=settled.what)
        if word := _one_of(BY_HAND, whole):
            settled = HAND_LATHE if sense is LATHE else HAND_MILL
            return settled, _by(settled, word)
    if sense.sure == "stand_in" and sense is not LATHE:
        return sense, say(
            "{what}: no such type is known here, {kind} stands in",
            what=sense.what, kind=_kind_in_words(sense.kind),
        )  # fmt: skip
    if sense is LATHE:
        return sense, say("{what}: {kind} stands in", what=sense.what,
                          kind=_kind_in_words(sense.kind))  # fmt: skip
    return sense, f"{sense.what}" if sense.sure == "likely" else ""


def _by(sense: Sense, word: str) -> str:
    return say("{what}, by the word {word}", what=sense.what, word=f"“{word}”")


def _one_of(words: Sequence[str], text: str) -> str:
    return next((word for word in words if f" {word} " in text), "")


def _kind_in_words(kind: str) -> str:
    sense = next(one for one, _ in SENSES if one.kind == kind and one.sure == "known")
    return f"{sense.what}"
