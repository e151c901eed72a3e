"""Which cautions stand before a look, in their own words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from retrue.kinds.library import Check, Kind
from retrue.phases.worth import LotView, VisitLine


def in_words(kind: Kind, ids: Iterable[str]) -> list[str]:
    """Each caution once, in full; an id the kind does not have says nothing."""
    known = (kind.cautions.get(id) for id in dict.fromkeys(ids))
    return [caution.text for caution in known if caution is not None]


def cautions_before(kind: Kind, check: Check) -> list[str]:
    """The cautions a look names, and those that name the look."""
    named = check.caution.replace(",", " ").split()
    naming = [c.id for c in kind.cautions.values() if check.id in c.shown_before.split()]
    return in_words(kind, [*named, *naming])


def cautions_of_lines(
    lines: Iterable[VisitLine], view: LotView, kinds: Mapping[str, Kind]
) -> dict[int, list[str]]:
    """The cautions before each box of a visit, by the number of the box; each said once."""
    kind_of = {record.fact.name: kinds[record.fact.kind] for _, record in view.machines}
    said: set[str] = set()
    made = {}
    for line in lines:
        texts = cautions_before(kind_of[line.machine], line.check)
        made[line.number] = [text for text in texts if text not in said]
        said.update(texts)
    return made
