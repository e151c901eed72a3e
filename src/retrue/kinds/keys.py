"""One key of an entry of the library, one sort of entry, and the keys that many of them share."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from retrue.kinds import readers as read
from retrue.kinds.readers import Reader


@dataclass(frozen=True, slots=True)
class Key:
    """One key of an entry.

    Attributes
    ----------
    reader : Reader
        Checks and cleans the value.
    counts : bool
        It holds numbers: an owner may give his own, and a mark binds it.
    needed : bool
        Every shipped entry has it.
    empty : object
        What stands for it where it is not given.
    """

    reader: Reader
    counts: bool = False
    needed: bool = True
    empty: Any = None


@dataclass(frozen=True, slots=True)
class Section:
    """One sort of entry: what names it, and its keys."""

    named_by: tuple[str, ...]
    keys: Mapping[str, Key]
    marked: bool = True


def number(reader: Reader) -> Key:
    """A key that holds a number, or several."""
    return Key(reader, counts=True)


TEXT = Key(read.text)
NOTE = Key(read.text, needed=False, empty="")
NAME = Key(read.name)
NAMES = Key(read.words(read.name), needed=False, empty=())
SHARES = Key(read.by_id(read.share), counts=True, needed=False, empty={})
TIMES = Key(read.by_id(read.positive), counts=True, needed=False, empty={})
LINES = Key(read.words(), needed=False, empty=())
BOUND = Key(read.bound, counts=True, needed=False)
YES = Key(read.flag, needed=False, empty=False)
MAYBE_NAME = Key(read.name, needed=False, empty="")
CURE = Key(read.choice("cure", "cure_or_live", "cure_or_live_if_owner_allows"))
