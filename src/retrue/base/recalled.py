"""A sentence that was kept in English, in the language of who reads it now.

A record keeps what was said when it was made: a plan, the band of a stage. Its words are looked
up when they are shown, whole or as a sentence with values in it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from retrue.base.say import COMMA, ENGLISH, Later, reader, sentences

_NAME = re.compile(r"\{(\w+)\}")
_START = 5  # letters before the first value by which a sentence is looked for
_OWN = frozenset({"machine", "machines", "lot", "name", "who", "by", "file", "record"})
_DECIMAL = re.compile(r"(?<=\d)\.(?=\d)")
_SENTENCE = re.compile(r"(?<=[.!?]) (?=[A-Z])")


def recalled(text: str, language: str = "") -> str:
    """What was kept in English, in the reader's language as far as the program knows it.

    Parameters
    ----------
    text : str
        As it was kept: a text of the library, a sentence of the program with its values, or a
        person's own words, which stay.
    language : str
        Two letters; empty: the reader's.

    Returns
    -------
    str
        Names of machines, lots and people stay as they were typed.

    Examples
    --------
    >>> from retrue.base.say import speaking, teach
    >>> teach("nl", {"Cabinet": "Schakelkast", "waiting for: {what}": "wachten op: {what}"})
    >>> with speaking("nl"):
    ...     recalled("waiting for: Cabinet"), recalled("two blue wires")
    ('wachten op: Schakelkast', 'two blue wires')
    >>> recalled("waiting for: Cabinet")
    'waiting for: Cabinet'
    """
    spoken = language or reader()
    if spoken == ENGLISH or not text:
        return text
    return _recalled(text, spoken, sentences(spoken))


def recall(text: str) -> str:
    """A kept text that is said when it is shown; as a value it stays what was kept.

    Parameters
    ----------
    text : str

    Returns
    -------
    str
        What it is made of when it is written down again is the English.

    Examples
    --------
    >>> from retrue.base.say import speaking, teach
    >>> teach("nl", {"Cabinet": "Schakelkast"})
    >>> kept = recall("Cabinet")
    >>> with speaking("nl"):
    ...     kept == "Cabinet", f"{kept}"
    (True, 'Schakelkast')
    """
    return text if isinstance(text, Later) or not text else Recalled(text, {})


class Recalled(Later):
    """A text of a record: what was kept as a value, the reader's when shown."""

    __slots__ = ()

    def said(self, language: str) -> str:
        """The text in a language, as a plain text."""
        return recalled(str.__str__(self), language)


class InTongues(Later):
    """A text of which every language was written beside the other."""

    __slots__ = ()

    def said(self, language: str) -> str:
        """The text in a language, else in English."""
        return str(self._values.get(language) or str.__str__(self))

    def after(self, before: str) -> str:
        """The same with a name before it, in every language."""
        texts = {language: f"{before}{text}" for language, text in self._values.items()}
        return in_tongues(texts)


def in_tongues(texts: Mapping[str, str]) -> str:
    """A text that stands in several languages: English as a value, the reader's when shown.

    Parameters
    ----------
    texts : mapping of str to str
        Language, two letters, to its text; English is among them.

    Returns
    -------
    str

    Examples
    --------
    >>> from retrue.base.say import speaking
    >>> asked = in_tongues({"en": "How many shifts?", "nl": "Hoeveel ploegen?"})
    >>> with speaking("nl"):
    ...     asked == "How many shifts?", f"{asked}"
    (True, 'Hoeveel ploegen?')
    """
    return InTongues(texts[ENGLISH], texts)


def _recalled(text: str, language: str, known: Mapping[str, str]) -> str:
    whole = _whole(text, language, known)
    return _in_parts(text, language, known) if whole is None else whole


def _whole(text: str, language: str, known: Mapping[str, str]) -> str | None:
    """One sentence of the program, with its values; None where it is none."""
    if text in known:
        return known[text]
    for english, sentence in _starting(text, language):
        found = _pattern(english).fullmatch(text)
        if found:
            values = {
                name: value if name in _OWN else _recalled(value, language, known)
                for name, value in found.groupdict().items()
            }
            return sentence.format(**values)
    return None


def _in_parts(text: str, language: str, known: Mapping[str, str]) -> str:
    """Sentences, or a list of what is known; a number gets the mark of the language."""
    parts = _SENTENCE.split(text)
    if len(parts) > 1:
        return " ".join(_sentences(parts, language, known))
    parts = text.split("; ")
    if len(parts) > 1:
        return "; ".join(_recalled(one, language, known) for one in parts)
    days, _, last = text.rpartition(" and ")
    if days in known and last in known and "{days} and {last}" in known:
        return known["{days} and {last}"].format(days=known[days], last=known[last])
    for between in (": ", ", "):
        parts = text.split(between)
        if len(parts) > 1 and all(one in known or _is_amount(one) for one in parts):
            return between.join(_recalled(one, language, known) for one in parts)
    return _DECIMAL.sub(",", text) if language in COMMA and _is_amount(text) else text


def _sentences(parts: Sequence[str], language: str, known: Mapping[str, str]) -> Iterator[str]:
    """Each as it is known; several that are one sentence of the program together."""
    at = 0
    while at < len(parts):
        end, said = at + 1, _in_parts(parts[at], language, known)
        for more in range(len(parts) - (at == 0), at, -1):
            whole = _whole(" ".join(parts[at:more]), language, known)
            if whole is not None:
                end, said = more, whole
                break
        yield said
        at = end


def _is_amount(text: str) -> bool:
    return re.fullmatch(r"[\d\s.\u2212+\u20ac-]+\S{0,3}", text) is not None


def _starting(text: str, language: str) -> Iterator[tuple[str, str]]:
    patterns = _patterns(language, sentences(language))
    for start in range(len(text), _START - 1, -1):
        yield from patterns.get(text[:start], ())


_Patterns = Mapping[str, tuple[tuple[str, str], ...]]
_held: dict[str, tuple[Mapping[str, str], _Patterns]] = {}


def _patterns(language: str, known: Mapping[str, str]) -> _Patterns:
    """Those of a language; made anew where it was taught more since, for then they are others."""
    held = _held.get(language)
    if held is None or held[0] is not known:
        held = _held[language] = known, _made(known)
    return held[1]


def _made(known: Mapping[str, str]) -> _Patterns:
    """Sentences with values by what stands before their first."""
    found: dict[str, tuple[tuple[str, str], ...]] = {}
    longest_first = sorted(known.items(), key=lambda one: -len(one[0]))
    for english, said in longest_first:
        names = _NAME.findall(english)
        start = english.partition("{")[0]
        if names and len(start) >= _START and len(names) == len(set(names)) and "\4" not in english:
            found[start] = (*found.get(start, ()), (english, said))
    return found


@lru_cache(maxsize=256)
def _pattern(english: str) -> re.Pattern[str]:
    parts = _NAME.split(english)
    made = (re.escape(one) if at % 2 == 0 else f"(?P<{one}>.+?)" for at, one in enumerate(parts))
    return re.compile("".join(made), re.DOTALL)
