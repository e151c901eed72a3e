"""Which cautions stand before a look, in their own words."""

from __future__ import annotations

from collections.abc import Iterable

from retrue.kinds.library import Check, Kind


def in_words(kind: Kind, ids: Iterable[str]) -> list[str]:
    """Each caution once, in full; an id the kind does not have says nothing."""
    known = (kind.cautions.get(id) for id in dict.fromkeys(ids))
    return [caution.text for caution in known if caution is not None]


def cautions_before(kind: Kind, check: Check) -> list[str]:
    """The cautions a look names, and those that name the look."""
    named = check.caution.replace(",", " ").split()
    naming = [c.id for c in kind.cautions.values() if check.id in c.shown_before.split()]
    return in_words(kind, [*named, *naming])
