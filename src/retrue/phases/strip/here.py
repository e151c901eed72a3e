"""A machine with its kind, its places, and records that were sent before: shared by every deed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Protocol, TypeVar

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.known import kind_doubt, nearest
from retrue.cases.spot import Spot, find
from retrue.kinds.library import Kind
from retrue.kinds.stripping import AsFoundEntry
from retrue.records.checking import problems_of
from retrue.records.facts import Fact, Machine
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop

F = TypeVar("F", bound=Fact)


class Proved(Protocol):
    """What a file is, proved from its content, not from its name."""

    @property
    def media_type(self) -> str:
        """As proved."""
        ...


Prove = Callable[[bytes, str], Proved]


def machine_at(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> tuple[Spot, Kind]:
    """A machine with its kind; Unknown where the library does not have it."""
    spot = find(shop, lot, machine, kinds)
    if spot.kind is None:
        record: Record[Machine] = shop.history(spot.machine)[-1]
        doubt = kind_doubt("kind", record.fact.kind, kinds)
        raise Unknown(doubt.what, remedy=doubt.remedy)
    return spot, spot.kind


def known_place(kind: Kind, place: str) -> str:
    """The id of a place; Unknown, with the nearest, where the kind has none of that name."""
    return _known(kind, place, kind.places, say("place"))


def known_entry(kind: Kind, entry: str) -> AsFoundEntry:
    """A line of the as-found list; what is always allowed is ticked, not kept as found."""
    lines = {id: one for id, one in kind.as_found.items() if one.needed != "allowed"}
    return lines[_known(kind, entry, lines, say("line of the as-found list"))]


def sent_before(shop: RecordShop, fact: F, hand: Hand) -> Record[F] | None:
    """The record that this very sending was kept as; the shop refuses another content."""
    kept = sent_as(shop, type(fact), hand)
    return kept if kept is not None and kept.fact == fact else None


def sent_as(shop: RecordShop, kind: type[F], hand: Hand) -> Record[F] | None:
    """The record that was kept under the id of this sending, whatever it says."""
    try:
        return shop.get(kind, hand["id"]) if "id" in hand else None
    except Unknown:
        return None


def same_or_kept(shop: RecordShop, fact: F, old: Record[F] | None, hand: Hand) -> Record[F]:
    """Keep a fact in the place of an older one; the same again, or sent twice, adds nothing."""
    refuse_fields(fact)
    if old is not None and old.fact == fact:
        return old
    sent = sent_before(shop, fact, hand)
    if sent is not None:
        return sent
    return shop.add(fact, replaces=old.id if old else None, **hand)


def refuse_fields(fact: Any) -> None:
    """Unusable with every field named that cannot be kept."""
    problems = tuple(problems_of(fact))
    if problems:
        refuse(*problems)


def refuse(*problems: Problem) -> None:
    """Unusable with these fields."""
    raise Unusable(
        say("this cannot be kept as it stands"),
        remedy=say("Mend what is named."),
        problems=problems,
    )


def _known(kind: Kind, word: str, known: Mapping[str, Any], what: str) -> str:
    if word not in known:
        raise Unknown(
            say("{kind} has no {what} {word}", kind=kind.name, what=what, word=word or '""'),
            remedy=nearest(word, known) or say("Open the list again and choose from it."),
        )
    return word
