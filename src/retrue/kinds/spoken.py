"""The texts of the library in the language of who reads them; as values they stay English.

What a kind is stays what it is: ids, numbers, hashes, and the words that records keep. Only when
one of its texts is shown is it said in the reader's language.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from retrue.base.say import Later, later
from retrue.kinds.library import Kind
from retrue.kinds.once import once_a_kind

_SHOWN = (  # fields that hold words for a person
    "abort_limits accept accuracy accuracy_note alone_instead before choices clean close comfort "
    "consequence danger defers_to each energises hands_back hazard how if_stamped instrument item "
    "label leave_it limit_marks mark marks measure name needs never noise not_possible note "
    "on_abort opened_by points proof question recipe resale_state says shows situation "
    "text title tools unit unless_stamped waste what where who why words "
    "work"
)
SHOWN = frozenset(_SHOWN.split())
IDS = frozenset({("StageBand", "name"), ("AsFoundEntry", "what"), ("StopCover", "what")})
_KNOWN: dict[str, tuple[tuple[str, bool], ...]] = {}
_CODE = re.compile(r"[A-Z]{1,2}\d+(-[A-Z])?|[A-Za-z0-9]+(_[A-Za-z0-9]+)+|[a-z]+:\w+|\W*|\w")


def is_words(text: str) -> bool:
    """Whether a value of a field that holds words is words, rather than an id.

    Parameters
    ----------
    text : str

    Returns
    -------
    bool

    Examples
    --------
    >>> is_words("Spindle nose"), is_words("F12"), is_words("insulation_40C")
    (True, False, False)
    """
    return _CODE.fullmatch(text) is None


class Spoken(Mapping[str, Kind]):
    """Kinds that speak the reader's language; each is made ready when it is first asked for.

    Parameters
    ----------
    kinds : mapping of str to Kind
        As they were read.

    Examples
    --------
    >>> from retrue.base.say import speaking, teach
    >>> from retrue.kinds.load import load
    >>> teach("nl", {"Turning centre": "Draaicentrum"})
    >>> one = Spoken(load(only=("turning_centre",)))["turning_centre"]
    >>> with speaking("nl"):
    ...     f"{one.name}", one.name == "Turning centre"
    ('Draaicentrum', True)
    """

    def __init__(self, kinds: Mapping[str, Kind]) -> None:
        self._kinds = kinds
        self._ready: dict[str, Kind] = {}

    def __getitem__(self, name: str) -> Kind:
        """One kind."""
        ready = self._ready.get(name)
        if ready is None:
            ready = self._ready[name] = _ready(self._kinds[name])
        return ready

    def __iter__(self) -> Iterator[str]:
        """Their ids."""
        return iter(self._kinds)

    def __len__(self) -> int:
        """How many."""
        return len(self._kinds)


def spoken(kinds: Mapping[str, Kind]) -> Mapping[str, Kind]:
    """Kinds whose texts are said in the reader's language.

    Parameters
    ----------
    kinds : mapping of str to Kind

    Returns
    -------
    mapping of str to Kind
        Equal to them, with the same hashes.
    """
    return kinds if isinstance(kinds, Spoken) else Spoken(kinds)


def texts(kinds: Mapping[str, Kind]) -> dict[str, str]:
    """Every text of some kinds that is shown, with the sort of thing it belongs to.

    Parameters
    ----------
    kinds : mapping of str to Kind

    Returns
    -------
    dict of str to str
        English text to the name of its class, such as Fault; in the order they are met.
    """
    found: dict[str, str] = {}
    for kind in kinds.values():
        _gather(_spoken(kind, False), "Kind", found)
    return found


@once_a_kind
def _ready(kind: Kind) -> Kind:
    made: Kind = _spoken(kind, False)
    return made


def _spoken(value: Any, shown: bool) -> Any:
    if isinstance(value, str):
        return later(value) if shown and value and is_words(value) else value
    if isinstance(value, tuple):
        return tuple([_spoken(one, shown) for one in value])
    if isinstance(value, Mapping):
        return {key: _spoken(one, shown) for key, one in value.items()}
    return _copied(value) if is_dataclass(value) else value


def _copied(value: Any) -> Any:
    made = object.__new__(type(value))
    for name, shown in _fields(value):
        held = getattr(value, name)
        if not isinstance(held, float):
            held = _spoken(held, shown)
        object.__setattr__(made, name, held)
    return made


def _fields(value: Any) -> tuple[tuple[str, bool], ...]:
    """The fields of a sort of thing, and whether each holds words for a person."""
    sort = type(value).__name__
    if sort not in _KNOWN:
        names = [field.name for field in fields(value)]
        _KNOWN[sort] = tuple((one, one in SHOWN and (sort, one) not in IDS) for one in names)
    return _KNOWN[sort]


def _gather(value: Any, sort: str, found: dict[str, str]) -> None:
    if isinstance(value, Later):
        found.setdefault(value, sort)
    elif isinstance(value, tuple | Mapping):
        for one in value.values() if isinstance(value, Mapping) else value:
            _gather(one, sort, found)
    elif is_dataclass(value):
        for field in fields(value):
            _gather(getattr(value, field.name), type(value).__name__, found)
