"""The kinds that came with the program, read once a process; tests read them and change nothing."""

from __future__ import annotations

from functools import cache

from retrue.kinds.library import Kind
from retrue.kinds.load import Files
from retrue.kinds.load import load as read


@cache
def _shipped() -> dict[str, Kind]:
    return dict(read())


def load(owner: Files = (), *, only: tuple[str, ...] = ()) -> dict[str, Kind]:
    """What ``retrue.kinds.load.load`` gives; with numbers of the owner's it is read anew."""
    if owner:
        return dict(read(owner, only=only))
    return {id: kind for id, kind in _shipped().items() if not only or id in only}
