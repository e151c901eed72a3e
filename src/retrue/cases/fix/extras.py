"""Cards of what was chosen beside the faults: renewed while it is open, added, finished."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.say import say
from retrue.cases.fix.buying_lines import Part
from retrue.cases.fix.kept import FixKept
from retrue.cases.fix.layout import Layout
from retrue.cases.fix.lines import Card, Step
from retrue.cases.fix.needed import Needed
from retrue.cases.fix.rules import manner_of
from retrue.kinds.fixing import Renewal, Upgrade

NEW = ("replace", "second_hand")


def extra_cards(kept: FixKept, need: Needed, layout: Layout) -> Iterator[Card]:
    """Cards of renewals and upgrades that were chosen.

    Parameters
    ----------
    kept : FixKept
    need : Needed
    layout : Layout

    Yields
    ------
    Card
        None for a renewal whose part is replaced anyway, because it is broken.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> none = SimpleNamespace(faults=(), machine=SimpleNamespace(renewals=(), upgrades=()))
    >>> list(extra_cards(None, none, None))
    []
    """
    new = {one.fault.id for one in need.faults if one.confirmed and one.fix.way in NEW}
    for id in sorted(need.machine.renewals):
        one = need.kind.renewals.get(id)
        if one is not None and not new & set(one.faults):
            yield _renewal(kept, need, one)
    for id in sorted(need.machine.upgrades):
        added = need.kind.upgrades.get(id)
        if added is not None:
            yield _upgrade(kept, need, added)


def _renewal(kept: FixKept, need: Needed, one: Renewal) -> Card:
    place = need.kind.places[one.place]
    manner = manner_of(need.kind, sort="renew", place=place.id)
    line = f"renew:{one.id}"
    return Card(
        key=line,
        lot=kept.lot,
        machine=need.machine.key,
        machine_name=need.machine.name,
        sort="renew",
        title=say("While you're in there: {part}, new", part=one.name),
        place=place.id,
        place_name=place.name,
        steps=(Step(sort="work", text=say("Fit a new one: {part}.", part=one.name)),),
        hours=one.hours,
        cautions=manner.cautions,
        who=manner.who,
        tools=manner.tools,
        parts=(_part(kept, line, one.name, one),),
    )


def _upgrade(kept: FixKept, need: Needed, one: Upgrade) -> Card:
    place = need.kind.places[one.place]
    manner = manner_of(need.kind, sort="upgrade", place=place.id)
    line = f"upgrade:{one.id}"
    said = set(manner.cautions) | set(one.cautions)
    return Card(
        key=line,
        lot=kept.lot,
        machine=need.machine.key,
        machine_name=need.machine.name,
        sort="upgrade",
        title=one.name,
        place=place.id,
        place_name=place.name,
        steps=(Step(sort="work", text=one.comfort or one.name),),
        hours=one.hours,
        dries_days=one.dries_days,
        cautions=tuple(id for id in need.kind.cautions if id in said),
        who=manner.who,
        tools=manner.tools,
        parts=(_part(kept, line, one.name, one),),
        good_part=one.sort != "finish",
    )


def _part(kept: FixKept, line: str, what: str, one: Renewal | Upgrade) -> Part:
    """What it takes; tables say no days for it, so that it is here when it is bought."""
    here = any(stock.fact.name == line and stock.fact.amount > 0 for stock in kept.stock)
    return Part(line=line, what=what, money=one.money, days=0.0,
                state="here" if here else "to_buy", source=say("table"), mark=one.mark)  # fmt: skip
