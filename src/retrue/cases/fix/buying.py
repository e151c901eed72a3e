"""The purchase list: what the open cards need, by when to order it, and the money of each week."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Any

from retrue.base.say import say
from retrue.cases.fix.agreed import net_of_out
from retrue.cases.fix.buying_lines import Buying, BuyRow, Part
from retrue.cases.fix.buying_words import cautions_of_list, is_asked_for, nobody
from retrue.cases.fix.cash import Flow, by_week, deposit_flows, row_flow
from retrue.cases.fix.explained import way_noun
from retrue.cases.fix.kept import FixKept
from retrue.cases.fix.lines import Card, Cards
from retrue.cases.fix.part_stands import expected, part_now
from retrue.cases.fix.quotes import change_of
from retrue.cases.fix.stock import stock_rows
from retrue.cases.fix.typed import MOST_DAYS
from retrue.kinds.judged import Three

SURE = 0.999
OUT = ("ordered", "sent_out")
OWN_PARTS = {"repair": "parts to mend it", "clean": "what cleaning it takes",
             "adjust": "what setting it takes"}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Wanted:
    """A part, and the cards that want it."""

    machine: Cards
    part: Part
    cards: tuple[Card, ...]

    @property
    def chance(self) -> float:
        """That it is needed by one of them."""
        return max(card.chance for card in self.cards)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lists:
    """What a purchase list is made of.

    Attributes
    ----------
    kept : FixKept
        Everything of one lot.
    cards : sequence of Cards
        Of its machines.
    begins : mapping of (machine, card) to str
        ISO dates of the plan that was kept; empty: none is.
    """

    kept: FixKept
    cards: Sequence[Cards] = ()
    begins: Mapping[tuple[str, str], str] = field(default_factory=dict)


def buying_of(lists: Sequence[Lists], *, on: date) -> Buying:
    """The purchase list of one or several lots.

    Parameters
    ----------
    lists : sequence of Lists
        One for each lot.
    on : date
        Today.

    Returns
    -------
    Buying
        Expected money: what an own figure, a quote or the table says, times the chance that it is
        needed. Weeks hold the deposits as well; ``undated`` and the weeks without them are the
        total.

    Examples
    --------
    >>> buying_of([], on=date(2026, 11, 26)).total
    0.0
    """
    wanted_rows = [row for one in lists for row in _rows(one, on)]
    rows = list(_off_the_shelf(wanted_rows, lists))
    rows.sort(key=_pressing)
    flows: list[Flow] = []
    uncounted: list[str] = list(_no_rate(rows, lists))
    undated = 0.0
    for row in rows:
        flow = row_flow(row, on)
        if flow is not None:
            flows.append(flow)
        else:
            undated += row.amount
    for one in lists:
        for told in deposit_flows(one.kept.outs, change_of(one.kept.case), on):
            if isinstance(told, Flow):
                flows.append(told)
            else:
                uncounted.append(told)
    stock = lists[0].kept.stock if lists else ()
    return Buying(
        on=on.isoformat(),
        currency=lists[0].kept.case.shop.currency if lists else "EUR",
        rows=tuple(rows),
        weeks=by_week(flows),
        stock=stock_rows(stock, [one for every in lists for one in every.cards], wanted_rows),
        total=float(sum(row.amount for row in rows)),
        no_vendor=tuple(nobody(rows)),
        cautions=_cautions(lists, rows),
        rates=_rates(rows),
        undated=undated,
        uncounted=tuple(uncounted),
    )


def _cautions(lists: Sequence[Lists], rows: Sequence[BuyRow]) -> tuple[str, ...]:
    kinds = {one.key: one.kind for every in lists for one in every.kept.machines}
    return cautions_of_list((kinds[row.machine], row) for row in rows if row.machine in kinds)


def wanted(cards: Cards) -> tuple[Wanted, ...]:
    """The parts that open cards of a machine want, each once.

    Parameters
    ----------
    cards : Cards

    Returns
    -------
    tuple of Wanted
        In the order of the cards.

    Examples
    --------
    >>> wanted(Cards(lot="l", lot_name="school", machine="m", machine_name="mill", kind="k",
    ...     aim="keep", level="right", cards=(), visits=(), hours=0.0))
    ()
    """
    found: dict[str, tuple[Part, list[Card]]] = {}
    for card in cards.cards:
        for part in card.parts if card.state != "done" else ():
            found.setdefault(part.line, (part, []))[1].append(card)
    return tuple(
        Wanted(machine=cards, part=part, cards=tuple(mine)) for part, mine in found.values()
    )


def _rows(lists: Lists, on: date) -> Iterator[BuyRow]:
    seen: set[tuple[str | None, str]] = set()
    for cards in lists.cards:
        for one in wanted(cards):
            seen.add((cards.machine, one.part.line))
            bare = replace(one.part, what=_what(lists.kept, cards.machine, one.part))
            part = part_now(bare, lists.kept, cards.machine, on=on)
            if part.state != "here":
                yield _row(one, part, lists, on)
    yield from _own_rows(lists, seen, on)


def _row(one: Wanted, part: Part, lists: Lists, on: date) -> BuyRow:
    chance = 1.0 if part.state in OUT else one.chance
    needed = _needed(one, lists.begins)
    order, late, why = _order(one, part, needed, on)
    if part.state == "to_buy" and not part.offers and chance >= SURE and is_asked_for(part.line):
        part = replace(part, state="no_vendor")
    return BuyRow(
        machine=one.machine.machine,
        machine_name=one.machine.machine_name,
        part=part,
        chance=chance,
        amount=chance * expected(part.money),
        order_by_on=order,
        needed_on=needed,
        late=late,
        cards=tuple(card.title for card in one.cards),
        lot=one.machine.lot,
        lot_name=one.machine.lot_name,
        why=why,
    )


def _what(kept: FixKept, machine: str, part: Part) -> str:
    """What it is for: a fault and its way, rather than the title of a card."""
    head, _, way = part.line.partition(":")
    here = [one for one in kept.machines if machine in (one.key, one.name)]
    faults = here[0].kind.faults if here else {}  # a machine that was taken back is not here
    if head not in faults:
        return part.what
    fault = faults[head]
    bought = say(OWN_PARTS[way]) if way in OWN_PARTS else way_noun(way, fault)
    return say("{fault}: {way}", fault=fault.name, way=bought)


def _needed(one: Wanted, begins: Mapping[tuple[str, str], str]) -> str | None:
    """The first day of the plan on which a card waits for it."""
    if not begins:  # there is no plan
        return None
    machine = one.machine
    waits = {
        card.key for card in machine.cards if any(wait.part == one.part.line for wait in card.waits)
    }
    keys = waits or {card.key for card in one.cards}
    days = [begins[machine.machine, key] for key in keys if (machine.machine, key) in begins]
    return min(days)[:10] if days else None


def _order(one: Wanted, part: Part, needed: str | None, on: date) -> tuple[str | None, bool, str]:
    """The last day to order, whether it has gone by, and why there is none."""
    if part.state in OUT:
        return None, False, say("on its way")
    if needed is not None:
        day = date.fromisoformat(needed) - timedelta(days=round(min(part.days, MOST_DAYS)))
        return day.isoformat(), day < on, say("by the plan that is kept")
    if one.chance < SURE:
        return None, False, say("once it is seen that it is needed")
    return on.isoformat(), False, say("no plan is kept: from today")


def _own_rows(lists: Lists, seen: set[tuple[str | None, str]], on: date) -> Iterator[BuyRow]:
    """What no card wants: quotes and orders in words of the owner's own; offers for other ways."""
    kept, change = lists.kept, change_of(lists.kept.case)
    names = {one.key: one.name for one in kept.machines}
    told: dict[tuple[str | None, str], Part] = {}
    for quote in kept.quotes:
        at = (quote.fact.machine, quote.fact.line)
        if not any(line == at[1] and at[0] in (machine, None) for machine, line in seen):
            told[at] = Part(line=at[1], what=at[1], money=Three(0, 0, 0), days=0.0)
    for one in kept.outs:
        line = one.out.line or one.out.what
        at = (one.out.machine, line)
        if one.ended is None and at not in seen and net_of_out(one, change, kept.quotes):
            told.setdefault(at, Part(line=line, what=one.out.what, money=Three(0, 0, 0), days=0.0))
    named = {line for machine, line in told if machine is not None}
    for (machine, line), bare in told.items():
        if machine is None and line in named:
            continue  # a quote that names no machine, taken for one
        part = part_now(bare, _as_lines(kept), machine or "", on=on)
        if part.state in OUT or (part.state != "here" and part.offers and not _is_line(part.line)):
            yield _own_row(kept, names, machine, part, on)
        elif part.state != "here" and part.offers:
            yield _other_way(kept, names, machine, part)


def _own_row(
    kept: FixKept, names: Mapping[str, str], machine: str | None, part: Part, on: date
) -> BuyRow:
    if not expected(part.money):
        first = next((one for one in part.offers if one.amount is not None), None)
        amount = first.amount if first is not None and first.amount is not None else 0.0
        part = replace(part, money=Three(amount, amount, amount))
    out = part.state in OUT
    return BuyRow(
        machine=machine or "",
        machine_name=names.get(machine or "", ""),
        part=part,
        chance=1.0,
        amount=expected(part.money),
        order_by_on=None if out else on.isoformat(),
        lot=kept.lot,
        lot_name=kept.lot_name,
        why=say("on its way") if out else say("no card names it: from today"),
    )


def _other_way(kept: FixKept, names: Mapping[str, str], machine: str | None, part: Part) -> BuyRow:
    """Offers for a way that is not chosen, or not needed: they are listed and in no sum."""
    return BuyRow(
        machine=machine or "",
        machine_name=names.get(machine or "", ""),
        part=replace(part, what=_what(kept, machine, part) if machine else part.what),
        chance=0.0,
        amount=0.0,
        lot=kept.lot,
        lot_name=kept.lot_name,
        why=say("no open card asks for it: in no sum"),
    )


def _as_lines(kept: FixKept) -> FixKept:
    """What is out without a line of its own goes by its words; what names no machine, by none."""
    return replace(
        kept,
        outs=tuple(
            replace(
                one,
                out=replace(
                    one.out, line=one.out.line or one.out.what, machine=one.out.machine or ""
                ),
            )
            for one in kept.outs
        ),
    )


def _is_line(line: str) -> bool:
    """Whether a line is one of the tables', of which a card tells whether it is still needed."""
    head = line.partition(":")[0]
    return head in ("renew", "upgrade") or (head[:1] in "FJ" and head[1:].isdigit())


def _off_the_shelf(rows: Iterable[BuyRow], lists: Sequence[Lists]) -> Iterator[BuyRow]:
    """Leave out what lies on the shelf: the surest card takes it first."""
    stock = lists[0].kept.stock if lists else ()
    shelf = {one.fact.name.strip().casefold(): one.fact.amount for one in stock}
    for row in sorted(rows, key=lambda one: (one.needed_on or "9", -one.chance)):
        line = row.part.line.casefold()
        if row.part.state not in OUT and shelf.get(line, 0.0) >= row.part.units:
            shelf[line] -= row.part.units
            continue
        yield row


def _pressing(row: BuyRow) -> tuple[Any, ...]:
    out = row.part.state in OUT
    return (not row.late, out, row.order_by_on or "9", -row.amount, row.machine, row.part.line)


def _no_rate(rows: Iterable[BuyRow], lists: Sequence[Lists]) -> Iterator[str]:
    """Orders in a currency that no rate is known for."""
    lots = {one.kept.lot: one.kept for one in lists}
    for row in rows:
        kept = lots[row.lot]
        for one in kept.outs:
            same = (one.out.line or one.out.what, one.out.machine or "")
            if one.ended is not None or same != (row.part.line, row.machine):
                continue
            if one.out.amount and net_of_out(one, change_of(kept.case), kept.quotes) is None:
                yield say(
                    "{what} from {whom}: no rate is known for {currency}, so the table stands for "
                    "it; keep a quote with its rate.",
                    what=one.out.what,
                    whom=one.out.whom,
                    currency=one.out.currency,
                )


def _rates(rows: Iterable[BuyRow]) -> dict[str, float]:
    """The rates that amounts of quotes were changed at, the newest of each currency."""
    found: dict[str, tuple[str, float]] = {}
    for row in rows:
        for offer in row.part.offers:
            quoted = offer.record.fact
            if quoted.rate is not None and offer.amount is not None:
                on = quoted.rate_on or ""
                if on >= found.get(quoted.currency, ("", 0.0))[0]:
                    found[quoted.currency] = on, float(quoted.rate)
    return {currency: rate for currency, (_, rate) in found.items()}
