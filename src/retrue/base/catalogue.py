"""The sentences of a language as a PO file: read, written, compared; the words of one's own.

A PO file is a text file that every translator's program opens: an English sentence, where it
stands, and what it is in the other language.

References
----------
GNU gettext manual, section "The Format of PO Files".
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path

from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say

SENSE = "\4"  # between a sense and its sentence, as gettext has it
NUMBER = re.compile(r"\d+(?:[.,\u202f]\d+)*")
_ENTRY = re.compile(
    r'(?:^msgctxt "(?P<sense>.*)"\n)?^msgid (?P<id>".*"(?:\n".*")*)\n'
    r'^msgstr (?P<string>".*"(?:\n".*")*)$',
    re.MULTILINE,
)
_MARK = re.compile("[,\u202f]")  # each language has its own, before decimals and in thousands
_NAME = re.compile(r"\{[^{}]*\}")
_TURNED = {"\\n": "\n", "\\t": "\t", '\\"': '"', "\\\\": "\\"}
_TURN = re.compile(r"\\.")
_WIDE_MILLIONS = 8  # of characters; a whole catalogue is about two
_WIDE = _WIDE_MILLIONS * 1_000_000


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence of the program.

    Attributes
    ----------
    text : str
        In English.
    sense : str
        Which of its meanings; empty for nearly all.
    told : str
        In the other language; empty where nobody has translated it.
    places : tuple of str
        Files in which it stands, without line numbers.
    """

    text: str
    sense: str = ""
    told: str = ""
    places: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """By what a catalogue knows it."""
        return f"{self.sense}{SENSE}{self.text}" if self.sense else self.text


def shipped(language: str) -> Mapping[str, str]:
    """The sentences of a language that came with the program.

    Parameters
    ----------
    language : str
        Two letters.

    Returns
    -------
    mapping of str to str
        English sentence (behind its sense, where it has one) to translated; empty where none is.

    Examples
    --------
    >>> shipped("en")
    {}
    """
    text = shipped_file(language)
    return _pairs(text) if text else {}


def shipped_file(language: str) -> str:
    """The PO file of a language that came with the program; empty where there is none.

    Parameters
    ----------
    language : str
        Two letters.

    Returns
    -------
    str
    """
    file = files("retrue.base") / "data" / f"{language}.po"
    return file.read_text(encoding="utf-8") if file.is_file() else ""


def own(folder: Path, language: str) -> Mapping[str, str]:
    """The sentences of a language that somebody here has put in other words.

    Parameters
    ----------
    folder : Path
        Where this user's words are kept.
    language : str
        Two letters.

    Returns
    -------
    mapping of str to str
        Empty where there is no such file, or it cannot be read.
    """
    try:
        text = (folder / f"{language}.po").read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return {}
    return _pairs(text)


def _pairs(text: str) -> dict[str, str]:
    """Read fast what has a translation: a command waits for it."""
    found: dict[str, str] = {}
    sense = key = told = ""
    within = 0  # 1 in a sentence, 2 in its translation
    for line in text.split("\n"):
        start = line[:7]
        if start == 'msgid "':
            key, within = line[7:-1], 1
        elif start == "msgstr ":
            told, within = line[8:-1], 2
        elif start == "msgctxt":
            sense = line[9:-1] + SENSE
        elif start[:1] == '"' and within == 1:
            key += line[1:-1]
        elif start[:1] == '"' and within == 2:
            told += line[1:-1]
        elif within == 2:  # an entry ends with anything else
            if told and key:
                found[sense + key] = told
            sense, within = "", 0
    if told and key:
        found[sense + key] = told
    for key in [key for key, told in found.items() if "\\" in key or "\\" in told]:
        found[_unquoted(key)] = _unquoted(found.pop(key))
    return found


def _unquoted(quoted: str) -> str:
    return _TURN.sub(_turned, quoted) if "\\" in quoted else quoted


def _turned(found: re.Match[str]) -> str:
    return _TURNED.get(found[0], found[0])


def read(text: str) -> tuple[Sentence, ...]:
    """The sentences of a PO file, in its order.

    Parameters
    ----------
    text : str
        Its content.

    Returns
    -------
    tuple of Sentence
        Without its head.

    Raises
    ------
    Unreadable
        No entry of a PO file is in it; or it is far longer than one can be, and nothing is cut off.

    Examples
    --------
    >>> (one,) = read('#: web/note.py\\nmsgid "Keep it"\\nmsgstr "Bewaren"\\n')
    >>> one.text, one.told, one.places
    ('Keep it', 'Bewaren', ('web/note.py',))
    """
    if len(text) > _WIDE:
        raise Unreadable(
            say("This file has more than {most} million characters", most=_WIDE_MILLIONS),
            remedy=say("Give a PO file, as `retrue words export` writes it."),
        )
    found = list(_read(text.replace("\r\n", "\n")))
    if not found:
        raise Unreadable(
            say("There is no sentence in this file"),
            remedy=say("Give a PO file, as `retrue words export` writes it."),
        )
    return tuple(one for one in found if one.text)


def _joined(quoted: str) -> str:
    return _unquoted("".join(line[1:-1] for line in quoted.split("\n")))


def _read(text: str) -> Iterator[Sentence]:
    for block in re.split(r"\n[ \t]*\n", text):
        entry = _ENTRY.search(block)
        if entry:
            places = re.findall(r"^#: (.*)$", block, re.MULTILINE)
            yield Sentence(
                text=_joined(entry["id"]),
                sense=_unquoted(entry["sense"] or ""),
                told="" if "#, fuzzy" in block else _joined(entry["string"]),
                places=tuple(place for line in places for place in line.split()),
            )


def write(sentences: Iterable[Sentence], language: str, version: str) -> str:
    """A PO file of sentences.

    Parameters
    ----------
    sentences : iterable of Sentence
    language : str
        Two letters; empty for a template.
    version : str
        Of the program.

    Returns
    -------
    str
        Its content; the same sentences give the same text.

    Examples
    --------
    >>> print(write([Sentence("Keep it", told="Bewaren")], "nl", "1").split("\\n\\n")[1].strip())
    msgid "Keep it"
    msgstr "Bewaren"
    """
    head = (
        'msgid ""\nmsgstr ""\n'
        f'"Project-Id-Version: retrue {version}\\n"\n"Language: {language}\\n"\n'
        '"MIME-Version: 1.0\\n"\n"Content-Type: text/plain; charset=UTF-8\\n"\n'
        '"Content-Transfer-Encoding: 8bit\\n"\n'
    )
    return "\n".join([head, *map(_written, sentences)])


def _written(one: Sentence) -> str:
    lines = [f"#: {place}" for place in one.places]
    lines += [f'msgctxt "{_quoted(one.sense)}"'] if one.sense else []
    lines += [f'msgid "{_quoted(one.text)}"', f'msgstr "{_quoted(one.told)}"']
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    text = text.replace("\\", "\\\\").replace('"', '\\"')
    return text.replace("\n", "\\n").replace("\t", "\\t")


def doubts(given: Iterable[Sentence], known: Iterable[Sentence]) -> tuple[Problem, ...]:
    """What is wrong with a translation.

    Parameters
    ----------
    given : iterable of Sentence
        As somebody has translated them.
    known : iterable of Sentence
        Those of the program.

    Returns
    -------
    tuple of Problem
        Not translated, not of this program, another {name} than in English, a number gone: each
        with the English sentence as its field.

    Examples
    --------
    >>> one = Sentence("{n} bolts of 12 mm", told="{n} bouten")
    >>> [problem.what for problem in doubts([one], [one])]
    ['the number 12 is gone']
    """
    told = {one.key: one for one in given}
    wanted = {one.key: one for one in known}
    found = [_untold(one) for key, one in wanted.items() if key not in told or not told[key].told]
    found += [
        Problem(one.text, say("is no sentence of this program"), say("Leave it out."))
        for key, one in told.items()
        if key not in wanted
    ]
    for key, one in told.items():
        if key in wanted and one.told:
            found += _differing(one)
    return tuple(found)


def _untold(one: Sentence) -> Problem:
    return Problem(one.text, say("is not translated"), say("Write it behind msgstr."))


def _differing(one: Sentence) -> Iterator[Problem]:
    here, there = (set(_NAME.findall(text)) for text in (one.text, one.told))
    for name in sorted(here ^ there):
        what = say("{name} is missing", name=name) if name in here else None
        yield Problem(
            one.text,
            what or say("{name} stands in no English sentence here", name=name),
            say("Keep what stands between braces as it is: a value is put there."),
        )
    rest = _MARK.sub(".", _NAME.sub("", one.told))
    for digits in dict.fromkeys(NUMBER.findall(_NAME.sub("", one.text))):
        if _MARK.sub(".", digits) not in rest:
            yield Problem(
                one.text,
                say("the number {number} is gone", number=digits),
                say("Write every number of the English sentence, in figures."),
            )


def keep_own(folder: Path, language: str, given: Iterable[Sentence], version: str) -> int:
    """Keep the sentences that differ from those that came with the program.

    Parameters
    ----------
    folder : Path
        Where this user's words are kept; made if need be.
    language : str
        Two letters.
    given : iterable of Sentence
    version : str
        Of the program.

    Returns
    -------
    int
        How many differ.

    Raises
    ------
    Unusable
        One of them would not take its values, or is no sentence of this program.
    """
    known = {one.key: one for one in program_sentences()}
    came = shipped(language)
    mine = [one for one in given if one.told and came.get(one.key) != one.told]
    wrong = [
        problem
        for one in mine
        for problem in doubts([one], [known[one.key]] if one.key in known else [])
    ]
    if wrong:
        raise Unusable(
            say("These words cannot be taken as they stand"),
            remedy=say("Mend what is named; nothing was changed."),
            problems=tuple(wrong),
        )
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{language}.po").write_text(write(mine, language, version), encoding="utf-8")
    return len(mine)


@cache
def program_sentences() -> tuple[Sentence, ...]:
    """Every sentence of this program, with its Dutch one.

    Returns
    -------
    tuple of Sentence
        In the order of the shipped file.
    """
    return read(shipped_file("nl"))
