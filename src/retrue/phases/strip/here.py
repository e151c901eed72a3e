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
from retrue.records.sending import same_or_kept as same_or_kept
from retrue.records.sending import sent_before as sent_before
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


def sent_as(shop: RecordShop, kind: type[F], hand: Hand) -> Record[F] | None:
    """The record that was kept under the id of this sending, whatever it says."""
    try:
        return shop.get(kind, hand["id"]) if "id" in hand else None
    except Unknown:
        return None


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
