"""The table of limits, the owner's word on each, and what stands beside readings when judged."""

from __future__ import annotations

from typing import Unpack

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.known import nearest
from retrue.cases.prove import proof
from retrue.cases.prove.deed import Deed
from retrue.kinds.library import Kind, Limit
from retrue.phases.prove.views import LimitLine
from retrue.records.hand import Hand
from retrue.records.measuring import OwnLimit
from retrue.records.shop import Record, RecordShop


def limits(shop: RecordShop, kind: Kind) -> list[LimitLine]:
    """Every limit of a kind of machine, as it counts now.

    Parameters
    ----------
    shop : RecordShop
        Where the owner's own limits are kept.
    kind : Kind
        Of the library.

    Returns
    -------
    list of LimitLine
        In the order of the table.
    """
    own = {record.fact.limit: record for record in shop.current(OwnLimit)}
    return [_line(limit, own.get(limit.id)) for limit in kind.limits.values()]


def keep_limit(
    shop: RecordShop,
    kind: Kind,
    limit_id: str,
    value: float,
    *,
    standard: str = "",
    edition: str = "",
    confirmed: bool = False,
    reason: str = "",
    **hand: Unpack[Hand],
) -> Record[OwnLimit]:
    """Overtype a limit, or confirm it from one's own copy of the standard.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    kind : Kind
        Whose table it stands in.
    limit_id : str
        Of the table.
    value : float
        In the unit of the table.
    standard, edition : str
        Of the copy that was read; empty: as the table names them.
    confirmed : bool
        It was read in one's own copy.
    reason : str
        Why, if there is one.
    **hand : Hand
        Who says so.

    Returns
    -------
    Record of OwnLimit
        A second word takes the place of the first.

    Raises
    ------
    Unknown
        There is no such limit.
    Unusable
        The value is none, or what was confirmed has no standard with its edition.
    """
    limit = _limit(kind, limit_id)
    fact = OwnLimit(
        limit=limit.id,
        value=value,
        standard=standard.strip() or limit.standard,
        edition=edition.strip() or limit.edition,
        confirmed=confirmed,
        reason=reason.strip(),
    )
    if confirmed and not (fact.standard and fact.edition):
        _refuse_unnamed(fact)
    old = shop.current(OwnLimit, limit=limit.id)
    if old and old[-1].fact == fact:
        return old[-1]
    return shop.add(fact, replaces=old[-1].id if old else None, **hand)


def limit_for(shop: RecordShop, one: Deed, kind: Kind | None, chosen: str = "") -> LimitLine | None:
    """The limit that a test's result stands against: the chosen one, else that of its first key."""
    mine = limits_of(shop, one, kind)
    for line in mine:
        if line.limit.id == chosen:
            return line
    first = {line.limit.key: line for line in reversed(mine)}  # of two for one key the first
    return next((first[key] for key in one.judged if key in first), None)


def limits_of(shop: RecordShop, one: Deed, kind: Kind | None) -> list[LimitLine]:
    """All limits of one test, in the order of the table."""
    if kind is None:
        return []
    return [line for line in limits(shop, kind) if line.limit.test == one.id]


def chosen_limit(one: Deed, kind: Kind | None, chosen: str) -> str:
    """A limit's id, if this test of this kind has it; Unknown names those there are."""
    mine = [limit.id for limit in kind.limits.values() if limit.test == one.id] if kind else []
    if chosen in mine:
        return chosen
    raise Unknown(
        say("{test} has no limit {id}", test=one.title, id=chosen),
        remedy=nearest(chosen, mine) or say("Leave it out."),
    )


def judged_by(line: LimitLine) -> proof.Limit:
    """A line of the table as what a verdict names."""
    said = line.own.fact if line.own else line.limit
    return proof.Limit(
        value=line.value, standard=said.standard, edition=said.edition, mark=line.mark
    )


def _line(limit: Limit, own: Record[OwnLimit] | None) -> LimitLine:
    if own is None:
        return LimitLine(limit, None, limit.value, limit.mark)
    said = own.fact
    if said.confirmed:
        mark = say(
            "confirmed in the owner's copy of {standard} {edition}",
            standard=said.standard,
            edition=said.edition,
        )
    else:
        mark = say("typed by the owner")
    return LimitLine(limit, own, said.value, mark)


def _limit(kind: Kind, limit_id: str) -> Limit:
    if limit_id in kind.limits:
        return kind.limits[limit_id]
    raise Unknown(
        say("a {kind} has no limit {id}", kind=kind.name, id=limit_id),
        remedy=nearest(limit_id, list(kind.limits)) or say("Open the table of limits again."),
    )


def _refuse_unnamed(fact: OwnLimit) -> None:
    empty = [name for name in ("standard", "edition") if not getattr(fact, name)]
    raise Unusable(
        say("a confirmed limit names the copy it was read in"),
        remedy=say("Write the standard and its edition as they stand on the cover."),
        problems=tuple(Problem(name, say("is empty")) for name in empty),
    )
