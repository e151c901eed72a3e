"""What follows from a kind alone is worked out once, for as long as the kind is in use."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from retrue.kinds.library import Kind

P = ParamSpec("P")
T = TypeVar("T")
MOST_KINDS = 24  # of which results are held; a shop has four, as they are and as it taught them


def once_a_kind(
    work: Callable[Concatenate[Kind, P], T],
) -> Callable[Concatenate[Kind, P], T]:
    """Hold the results of a function of a kind and of names, by the very kind it was given.

    Parameters
    ----------
    work : callable
        Its first argument is a kind; the others can be hashed. What it gives is never changed
        afterwards, and holds no sentence that was said for one reader.

    Returns
    -------
    callable
        The same function; a kind that changes is another kind.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> asked = []
    >>> @once_a_kind
    ... def first_place(kind, letter):
    ...     asked.append(letter)
    ...     return next(place for place in kind.places if place.startswith(letter))
    >>> mill = load()["vertical_machining_centre"]
    >>> first_place(mill, "c") == first_place(mill, "c"), asked
    (True, ['c'])
    """
    held: dict[int, tuple[Kind, dict[Hashable, T]]] = {}

    @wraps(work)
    def told(kind: Kind, /, *names: P.args, **named: P.kwargs) -> T:
        known = held.get(id(kind))
        if known is None or known[0] is not kind:
            while len(held) >= MOST_KINDS:
                held.pop(next(iter(held)), None)
            known = held[id(kind)] = (kind, {})
        key = (names, tuple(sorted(named.items()))) if named else names
        found = known[1]
        if key not in found:
            found[key] = work(kind, *names, **named)
        return found[key]

    return told
