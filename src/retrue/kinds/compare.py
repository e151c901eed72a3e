"""What a file of one's own changes: number by number, shipped against own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import msgspec

from retrue.base.say import english
from retrue.kinds.library import Kind

_DERIVED = {"hash", "base_log_odds", "marks", "mark", "limit_marks"}


@dataclass(frozen=True, slots=True)
class Difference:
    """One number that is not what it was.

    Attributes
    ----------
    kind : str
        Id of the kind.
    number : str
        Where it stands: ``faults.F01.prior``, ``fixes.F01.repair.money.likely``.
    before, after : float or None
        None where there was none, or is none any more.
    """

    kind: str
    number: str
    before: float | None
    after: float | None


def differences(before: Mapping[str, Kind], after: Mapping[str, Kind]) -> tuple[Difference, ...]:
    """Compare two readings of the library.

    Parameters
    ----------
    before, after : mapping of str to Kind
        As :func:`retrue.kinds.load.load` gives them.

    Returns
    -------
    tuple of Difference
        In the order of kinds and names; numbers only, marks and solved values left out.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> own = (("own.toml", b'[[fault]]\\nid = "F12"\\nprior = 0.4\\n'),)
    >>> only = ("turning_centre",)
    >>> [change] = differences(load(only=only), load(own, only=only))
    >>> change.number, change.before, change.after
    ('faults.F12.prior', 0.25, 0.4)
    """
    return tuple(
        Difference(kind, number, old, new)
        for kind in after
        for number, old, new in _compared(_plain(before[kind]), _plain(after[kind]))
    )


def _compared(
    before: Mapping[str, float], after: Mapping[str, float]
) -> Iterator[tuple[str, float | None, float | None]]:
    for number in sorted(before.keys() | after.keys()):
        old, new = before.get(number), after.get(number)
        if old != new:
            yield number, old, new


def _plain(kind: Kind) -> dict[str, float]:
    return dict(_numbers(msgspec.to_builtins(kind, str_keys=True, enc_hook=english), ""))


def _numbers(value: Any, path: str) -> Iterator[tuple[str, float]]:
    if isinstance(value, dict):
        for key, item in value.items():
            if key not in _DERIVED:
                yield from _numbers(item, f"{path}.{key}" if path else key)
    elif isinstance(value, list | tuple):
        for at, item in enumerate(value):
            name = item.get("way", item.get("of", at)) if isinstance(item, dict) else at
            yield from _numbers(item, f"{path}.{name}")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path, float(value)
