"""Every sentence a person reads goes through here, with its English text as the key.

The language is the reader's: whoever answers a person says once ``with speaking("nl"):`` around
all of it, and everything inside, down to the sciences, speaks that language.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from html import escape
from typing import Any, SupportsIndex, TypeVar

ENGLISH = "en"
NAMES = {"en": "English", "nl": "Nederlands"}  # each in its own words; never translated
COMMA = frozenset({"nl", "fr", "de"})  # languages that write a decimal comma

T = TypeVar("T")

_reader: ContextVar[str] = ContextVar("retrue_reader", default=ENGLISH)
_taught: dict[str, Mapping[str, str]] = {}
_whole: dict[str, Mapping[str, str]] = {}
_shelves: list[Callable[[str], Mapping[str, str]]] = []


def reader() -> str:
    """The language of who reads what is said now.

    Returns
    -------
    str
        Two letters.

    Examples
    --------
    >>> reader()
    'en'
    """
    return _reader.get()


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Speak a language inside this block; a thread of its own must be told anew.

    Parameters
    ----------
    language : str
        Two letters; one that nobody has taught is English.

    Yields
    ------
    None
        Inside, ``say`` speaks it.

    Examples
    --------
    >>> teach("nl", {"{count} photographs to look at": "{count} foto's te bekijken"})
    >>> with speaking("nl"):
    ...     say("{count} photographs to look at", count=12)
    "12 foto's te bekijken"
    """
    token = _reader.set(language)
    try:
        yield
    finally:
        _reader.reset(token)


def shelf(find: Callable[[str], Mapping[str, str]]) -> None:
    """Name a place of more sentences, looked at when a language is first spoken.

    Parameters
    ----------
    find : callable
        Takes two letters, gives English text to translated text, which stands before the one
        that came with the program.
    """
    _shelves.append(find)
    _whole.clear()


def teach(language: str, catalogue: Mapping[str, str]) -> None:
    """Give a language sentences of a module's own; they stand before those of a shelf.

    Parameters
    ----------
    language : str
        Two letters.
    catalogue : mapping of str to str
        English text to translated text.
    """
    _taught[language] = {**_taught.get(language, {}), **catalogue}
    _whole.pop(language, None)


def sentences(language: str) -> Mapping[str, str]:
    """Every sentence of a language, by its English text.

    Parameters
    ----------
    language : str
        Two letters.

    Returns
    -------
    mapping of str to str
        Read when it is first asked for, then kept.
    """
    found = _whole.get(language)
    if found is None:
        from retrue.base.catalogue import shipped  # it says sentences itself

        whole = dict(shipped(language))
        for find in _shelves:
            whole.update(find(language))
        whole.update(_taught.get(language, {}))
        found = _whole[language] = whole
    return found


def say(text: str, /, *, language: str | None = None, sense: str = "", **values: object) -> str:
    """Return the sentence in the reader's language with its values put in.

    Parameters
    ----------
    text : str
        The English sentence, the key; values stand as ``{name}``.
    language : str or None
        Two letters, where it is not the reader's: a text for a seller or a buyer. A sentence
        without a translation is said in English.
    sense : str
        Which of its meanings, where one English word needs two translations.
    **values : object
        What to put in; numbers, money and dates come formatted.

    Returns
    -------
    str
        The sentence.

    Examples
    --------
    >>> say("{count} photographs to look at", count=12)
    '12 photographs to look at'
    """
    spoken = language or _reader.get()
    if isinstance(text, Later):
        return text.said(spoken)
    if spoken == ENGLISH:
        return text.format(**values) if values else text
    known = sentences(spoken)
    sentence = known.get(f"{sense}\4{text}") if sense else None
    if sentence is None:
        sentence = known.get(text, text)
    if not values:
        return sentence
    return sentence.format(**{name: _shown(value, spoken) for name, value in values.items()})


def _shown(value: object, spoken: str) -> object:
    """A bare number with the mark of the language; all else as it is."""
    if isinstance(value, float) and spoken in COMMA:
        return str(value).replace(".", ",")
    return value


def later(text: str, /, *, sense: str = "", **values: object) -> str:
    """Mark a sentence that is written down now and said when it is shown.

    For a table, a constant or a default: what is made when a module is read. As a value it is its
    English text (it compares, sorts and hashes as that); shown, it is in the reader's language.

    Parameters
    ----------
    text : str
        The English sentence.
    sense : str
        Which of its meanings, where one English word needs two translations.
    **values : object
        What to put in.

    Returns
    -------
    str
        The English text, which turns into the reader's when it is formatted, joined to another
        text by +, put on a page or handed to ``say``.

    Examples
    --------
    >>> teach("nl", {"left": "links"})
    >>> side = later("left")
    >>> with speaking("nl"):
    ...     side == "left", f"{side}", say(side)
    (True, 'links', 'links')
    """
    return Later(text, values, sense)


def shown_later(of: object, *fields: str) -> None:
    """Mark the texts of a frozen value as ``later`` does, in its ``__post_init__``.

    Parameters
    ----------
    of : object
        Made when a module is read: a field of a form, a method.
    *fields : str
        Their names; in tuples and mappings every text is marked.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> one = SimpleNamespace(name="left", steps=("left", "right"))
    >>> teach("nl", {"left": "links"})
    >>> shown_later(one, "name", "steps")
    >>> with speaking("nl"):
    ...     f"{one.name}, {one.steps[0]}"
    'links, links'
    """
    for name in fields:
        object.__setattr__(of, name, _marked(getattr(of, name)))


def _marked(value: Any) -> Any:
    if isinstance(value, str):
        return later(value) if value and not isinstance(value, Later) else value
    if isinstance(value, Mapping):
        return {key: _marked(one) for key, one in value.items()}
    return tuple(_marked(one) for one in value)


def english(text: T) -> T | str:
    """What was marked by ``later`` as a plain English text; all else stays.

    Parameters
    ----------
    text : object

    Returns
    -------
    object
        For what keeps values, such as a hash or a record.

    Examples
    --------
    >>> english(later("left"))
    'left'
    """
    return str.__str__(text) if isinstance(text, Later) else text


def usual(typed: str, words: Iterable[str]) -> str:
    """What somebody typed, in English where it is one of the usual words of a field.

    Parameters
    ----------
    typed : str
        In the reader's language.
    words : iterable of str
        The usual ones, as ``later`` marks them.

    Returns
    -------
    str
        As records keep it, so that the same words before and after are the same in any language.

    Examples
    --------
    >>> teach("nl", {"at the pump": "aan de pomp"})
    >>> with speaking("nl"):
    ...     usual("Aan de pomp", [later("at the pump")]), usual("op tafel", [later("at the pump")])
    ('at the pump', 'op tafel')
    """
    said = {str(one).casefold(): one for one in words}
    return str.__str__(said.get(typed.casefold(), typed))


def spelled(value: Any) -> Any:
    """What was marked by ``later``, said; inside lists and mappings as well.

    Parameters
    ----------
    value : object
        Lists, tuples and mappings are gone through; all else stays.

    Returns
    -------
    object
        The same, of plain texts: for what writes texts without showing them, such as JSON.

    Examples
    --------
    >>> teach("nl", {"left": "links"})
    >>> with speaking("nl"):
    ...     spelled({"side": later("left"), "all": [1, "right"]})
    {'side': 'links', 'all': [1, 'right']}
    """
    if _reader.get() == ENGLISH:  # that is what it is as a value
        return value
    if isinstance(value, Later):
        return str(value)
    if isinstance(value, Mapping):
        return {spelled(key): spelled(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)) and not hasattr(value, "_fields"):
        return type(value)(spelled(one) for one in value)
    return value


class Later(str):
    """A text made when a module is read: English as a value, the reader's when shown."""

    __slots__ = ("_sense", "_text", "_values")
    _sense: str
    _text: str
    _values: Mapping[str, Any]

    def __new__(cls, text: str, values: Mapping[str, object], sense: str = "") -> Later:
        """Hold the English text, and the template with what goes into it."""
        whole = {name: english(value) for name, value in values.items()}
        made = super().__new__(cls, text.format(**whole) if whole else text)
        made._text, made._values, made._sense = text, values, sense
        return made

    def said(self, language: str) -> str:
        """The sentence in a language, as a plain text."""
        if language == ENGLISH:
            return str.__str__(self)
        return say(self._text, language=language, sense=self._sense, **self._values)

    def __str__(self) -> str:
        """The sentence in the reader's language."""
        return self.said(_reader.get())

    def __format__(self, how: str) -> str:
        """The sentence in the reader's language, as wide as asked."""
        return format(str(self), how)

    def __html__(self) -> str:
        """The sentence in the reader's language, for a page."""
        return escape(str(self))

    def __add__(self, more: str) -> str:
        """The sentence in the reader's language, and more."""
        return str(self) + str(more)

    def __radd__(self, before: str) -> str:
        """The sentence in the reader's language, after another text."""
        return before + str(self)

    def __reduce__(self) -> tuple[type[Later], tuple[str, Mapping[str, object], str]]:
        """Copied and kept as what it is."""
        return type(self), (self._text, self._values, self._sense)

    def __len__(self) -> int:
        """How many letters the reader sees."""
        return len(str(self))

    def __iter__(self) -> Iterator[str]:
        """The letters the reader sees."""
        return iter(str(self))

    def __getitem__(self, place: SupportsIndex | slice, /) -> str:
        """Some of the letters the reader sees."""
        return str(self)[place]

    def split(self, sep: str | None = None, maxsplit: SupportsIndex = -1) -> list[str]:
        """The words the reader sees."""
        return str(self).split(sep, maxsplit)

    def partition(self, sep: str, /) -> tuple[str, str, str]:
        """What the reader sees, parted."""
        return str(self).partition(sep)

    def replace(self, old: str, new: str, count: SupportsIndex = -1, /) -> str:
        """What the reader sees, with something else in it."""
        return str(self).replace(old, new, count)

    def capitalize(self) -> str:
        """With its first letter large, in the reader's language."""
        return str(self).capitalize()

    def lower(self) -> str:
        """In small letters, in the reader's language."""
        return str(self).lower()

    def upper(self) -> str:
        """In capitals, in the reader's language."""
        return str(self).upper()

    def strip(self, chars: str | None = None, /) -> str:
        """Without the signs around it, in the reader's language."""
        return str(self).strip(chars)
