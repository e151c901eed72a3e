"""Records that count with the first of their line, looked up the same way by every deed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, TypeVar

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.happening import Line
from retrue.cases.kept_case import line_of
from retrue.cases.known import kind_doubt, nearest
from retrue.cases.spot import Spot, find
from retrue.kinds.library import Kind
from retrue.records.facts import Fact, Finding, Machine
from retrue.records.seeking import Act, PartMoved, Trouble
from retrue.records.sending import same_or_kept as same_or_kept
from retrue.records.sending import sent_before as sent_before
from retrue.records.shop import Record, RecordShop

F = TypeVar("F", bound=Fact)
Here = TypeVar("Here", Finding, Act, PartMoved)


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


def lines(shop: RecordShop, kind: type[F], spot: Spot) -> list[Line]:
    """What counts of one kind of fact at one machine, in the order it was first kept."""
    kept = shop.current(kind, lot=spot.lot, machine=spot.machine)
    return sorted((line_of(shop, one) for one in kept), key=lambda line: line.first.seq)


def trouble_line(shop: RecordShop, trouble: str) -> Line:
    """A trouble by any id of its line; Unknown where there is none, or it was taken back."""
    line = shop.history(shop.get(Trouble, trouble).id)
    if not isinstance(line[-1].fact, Trouble):
        raise Unknown(
            say("this trouble was taken back"), remedy=say("Open another one, or tell it anew.")
        )
    return Line(line[0], line[-1])


def one_of(word: str, known: Mapping[str, Any], what: str) -> None:
    """Unknown, with the nearest word, where a kind has no such thing."""
    if word not in known:
        raise Unknown(
            say("{word} is no {what}", word=word, what=what),
            remedy=nearest(word, known) or say("Open the list again and choose from it."),
        )


def refuse(reason: str, problems: list[Problem]) -> None:
    """Unusable with every problem named, if there are any."""
    if problems:
        raise Unusable(reason, remedy=say("Mend what is named."), problems=tuple(problems))


def placed(fact: Here, spot: Spot) -> Here:
    """A fact with the ids of its lot and machine."""
    return replace(fact, lot=spot.lot, machine=spot.machine)
