"""One record on its own page: all it says, its history, and what may be done with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from retrue.base import formatter
from retrue.base.refusals import NotYet, Refusal
from retrue.base.say import say
from retrue.cases.diary_record import Told, told
from retrue.cases.diary_rules import RULES, why_not
from retrue.kinds.library import Kind
from retrue.phases.diary.hanging import (
    gone_before,
    hanging,
    kept_with,
    refuse_follower,
    refuse_gone,
    refuse_held,
    refuse_last,
)
from retrue.phases.diary.listing import Kept, about_of, kept_of, said_by
from retrue.records.facts import Withdrawn
from retrue.records.settling import CaseClosed, RecordGiven
from retrue.records.shop import Record, RecordShop


@dataclass(frozen=True, slots=True)
class KeptOne:
    """One record on its own page.

    Attributes
    ----------
    kept : Kept
        As a list shows it.
    told : tuple of Told
        All it says.
    line : tuple of Kept
        Its whole history, oldest first.
    falls : tuple of Kept
        What counts no more either if it is taken back.
    refused : Refusal or None
        Why it cannot be taken back; None: it can.
    refused_again : Refusal or None
        Why it cannot be brought back; None: it can.
    given : tuple of str
        What was given away or closed with it and keeps its words.
    first : Kept or None
        What goes, or comes back, before it can: what it was kept with, or belongs to.
    """

    kept: Kept
    told: tuple[Told, ...]
    line: tuple[Kept, ...]
    falls: tuple[Kept, ...]
    refused: Refusal | None
    refused_again: Refusal | None
    given: tuple[str, ...]
    first: Kept | None = None

    @property
    def newest(self) -> Record[Any]:
        """The record of its line that counts, or that took it away."""
        return self.line[-1].record

    @property
    def counts(self) -> bool:
        """Whether it is what counts of its line."""
        return self.newest.id == self.kept.record.id and not self.kept.is_back

    @property
    def was_taken_back(self) -> bool:
        """Whether nothing of its line counts."""
        return isinstance(self.newest.fact, Withdrawn)


def one(shop: RecordShop, id: str, kinds: Mapping[str, Kind]) -> KeptOne:
    """A record by its id, with what may be done with it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    id : str
        Of any record.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    KeptOne

    Raises
    ------
    Unknown
        There is none.
    """
    line, about = shop.history(id), about_of(shop, kinds)
    record = next(each for each in line if each.id == id)
    rows = tuple(kept_of(shop, each, about) for each in line)
    newest = line[-1]
    counts = not isinstance(newest.fact, Withdrawn)
    on_it = hanging(shop, newest).falls if counts else ()
    first = kept_with(shop, newest) if counts else gone_before(shop, _as_it_was(shop, record))
    return KeptOne(
        kept=next(row for row in rows if row.record.id == id),
        told=told(said_by(shop, record), about),
        line=rows,
        falls=tuple(kept_of(shop, each, about) for each in on_it),
        refused=_refusal(lambda: refuse_taking(shop, newest)),
        refused_again=_refusal(lambda: refuse_bringing(shop, record, newest)),
        given=tuple(_given(shop, newest)) if counts else (),
        first=kept_of(shop, first, about) if first else None,
    )


def refuse_taking(shop: RecordShop, newest: Record[Any]) -> None:
    """Refuse what the rules do not let be taken back.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    newest : Record
        The newest of its line.

    Raises
    ------
    NotYet
        Never, not here, or something stands on it. The deed of a phase may still refuse for
        reasons of its own.
    """
    rule = RULES[newest.kind]
    if rule.way in ("never", "page"):
        reason, remedy = why_not(newest.kind)
        raise NotYet(reason, remedy=remedy)
    refuse_follower(shop, newest)
    refuse_last(shop, newest)
    if rule.way == "here":
        refuse_held(hanging(shop, newest).holds)


def refuse_bringing(shop: RecordShop, wanted: Record[Any], newest: Record[Any]) -> None:
    """Refuse what the rules do not let be brought back as it was.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    wanted : Record
        Any record of the line: what it says is to count again.
    newest : Record
        The newest of its line.

    Raises
    ------
    NotYet
        It is what counts, it is said anew instead, or what it belongs to does not count.
    """
    fact = said_by(shop, wanted)
    if not isinstance(newest.fact, Withdrawn) and fact == newest.fact:
        raise NotYet(
            say("it is what counts already"), remedy=say("There is nothing to bring back.")
        )
    rule = RULES[fact.KIND]
    if not rule.again or rule.way in ("never", "page"):
        raise NotYet(say("this is not brought back as it was"), remedy=say(rule.why))
    refuse_gone(shop, _as_it_was(shop, wanted))


def _as_it_was(shop: RecordShop, wanted: Record[Any]) -> Record[Any]:
    """The newest record of a line that says what this one says, or took back."""
    fact = said_by(shop, wanted)
    return [each for each in shop.history(wanted.id) if each.fact == fact][-1]


def _refusal(check: Callable[[], None]) -> Refusal | None:
    try:
        check()
    except Refusal as refusal:
        return refusal
    return None


def _given(shop: RecordShop, newest: Record[Any]) -> Iterator[str]:
    """What keeps its words though this is taken back."""
    machine = getattr(newest.fact, "machine", None)
    if machine is None or newest.kind in (RecordGiven.KIND, CaseClosed.KIND):
        return
    for given in shop.current(RecordGiven, machine=machine)[-1:]:
        if given.seq > newest.seq:
            yield say(
                "A condition record was given away on {day}: it keeps its words.",
                day=formatter.day(given.noted_at),
            )
    for closed in shop.current(CaseClosed, machine=machine)[-1:]:
        if closed.seq > newest.seq:
            yield say(
                "The machine was done with on {day}: that table keeps its numbers.",
                day=formatter.day(closed.noted_at),
            )
