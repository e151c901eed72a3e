"""A machine with its kind, a stage by its name, records sent before: shared by every deed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from retrue.base.refusals import Overtaken, Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.known import kind_doubt, nearest
from retrue.cases.spot import Spot, find
from retrue.kinds.library import Kind
from retrue.kinds.waking import Stage
from retrue.records.checking import problems_of
from retrue.records.facts import Fact, Machine
from retrue.records.hand import Hand, without_id
from retrue.records.shop import Record, RecordShop

F = TypeVar("F", bound=Fact)


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


def stage_of(kind: Kind, stage: str) -> Stage:
    """A stage by its id or its short name; Unknown, with the nearest, where the kind has none."""
    wanted = stage.strip().upper()
    for one in kind.stages.values():
        if wanted in (one.id, one.stage):
            return one
    raise Unknown(
        say("{kind} has no stage {stage}", kind=kind.name, stage=stage or '""'),
        remedy=nearest(wanted, [one.stage for one in kind.stages.values()])
        or say(
            "It can be {named}.", named=", ".join(str(one.stage) for one in kind.stages.values())
        ),
    )


def sent_as(shop: RecordShop, kind: type[F], hand: Hand, **same: Any) -> Record[F] | None:
    """The record that was kept under the id of this sending.

    Overtaken where it was kept of another machine, stage or deed: an id that was used is no answer.
    """
    try:
        found = shop.get(kind, hand["id"]) if "id" in hand else None
    except Unknown:
        return None
    if found is not None:
        refuse_other_deed(found, **same)
    return found


def refuse_other_deed(record: Record[Any], **same: Any) -> None:
    """Overtaken where a record sent before says something else than what is sent now."""
    others = [name for name, value in same.items() if getattr(record.fact, name) != value]
    if not others:
        return
    was = getattr(record.fact, others[0])
    raise Overtaken(
        say("{id} was kept before, and for something else: {name} {was}", id=record.id,
            name=others[0], was=was if was not in ("", None) else "-"),
        remedy=say("Open the page anew and say it there, under an id of its own."),
        problems=(Problem("id", say("was used before")),),
    )  # fmt: skip


def beside(record: Record[Any], ending: str, hand: Hand) -> Hand:
    """The same hand for a record that follows another: sent twice, both are kept once."""
    rest = without_id(hand)
    rest["id"] = f"{record.id}.{ending}"
    return rest


def refuse_fields(fact: Any, *more: Problem) -> None:
    """Unusable with every field named that cannot be kept."""
    problems = (*more, *problems_of(fact))
    if problems:
        raise Unusable(
            say("this cannot be kept as it stands"),
            remedy=say("Mend what is named."),
            problems=problems,
        )


def empty(field: str, value: str, remedy: str) -> tuple[Problem, ...]:
    """A problem where a word that is needed is empty."""
    return () if value.strip() else (Problem(field, say("is empty"), remedy),)
