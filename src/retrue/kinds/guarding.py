"""What a kind knows of its guards and interlocks: which there are, and what proves each of them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """A guard or an interlock that a machine of this kind has.

    Attributes
    ----------
    id, name, place : str
        The place is one of the kind's.
    faults : tuple of str
        Faults that take it away.
    checks : tuple of str
        Looks that show whether it is there and works.
    how : str
        In words: what proves it.
    optional : bool
        A machine of this kind may have none; it is then "not fitted".
    cautions : tuple of str
        Ids of the kind's cautions that stand before it is proved.
    """

    id: str
    name: str
    place: str
    how: str
    faults: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    optional: bool = False
    cautions: tuple[str, ...] = ()
    mark: str = ""
