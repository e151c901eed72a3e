"""A bank file or a parts list: read and shown, then kept whole or not at all."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, Unpack

from retrue.base.refusals import NotYet, Problem, Unusable
from retrue.base.say import say
from retrue.cases.fix.known_lines import kinds_of, known_lines, line_words
from retrue.cases.settle.bearers import borne
from retrue.cases.settle.bring import Shelf, Standing, Wanted, kept_of, preview_of
from retrue.cases.settle.bring_bucket_words import MACHINE_WORDS, words_of
from retrue.cases.settle.bring_choices import Chosen, chosen
from retrue.cases.settle.bring_guess import Known, earlier_of
from retrue.cases.settle.bring_lines import BroughtRow, Choices, Preview
from retrue.cases.settle.bring_orders import ahead_lines, paid_ahead
from retrue.cases.settle.derived_lines import expected
from retrue.cases.settle.kept import BookKept, book_kept, closed_until
from retrue.cases.settle.lines import BookLine
from retrue.cases.settle.posting_rules import Grounds, grounds, lot_id, machine_key, refuse_closed
from retrue.cases.settle.sale_kept import is_sale
from retrue.kinds.library import Kind
from retrue.phases.settle.book import book
from retrue.phases.settle.may_sell import refuse_sold_line
from retrue.records.facts import Machine, Withdrawn
from retrue.records.hand import Hand
from retrue.records.settling import Offered, Posting
from retrue.records.shop import Record, RecordShop, ToAdd

FROM_FILE = ("bank", "parts")
MOST_NAMED = 20  # problems that a refusal lists
COSTS = ("bought", "paid")
LEFT_OUT = "left out when its file was read"  # reason of the withdrawal that says so


def read_import(
    shop: RecordShop,
    content: bytes,
    name: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    wanted: Wanted | None = None,
) -> Preview:
    """Read a bank file or a parts list, and say what keeping it would do; nothing is kept.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    content : bytes
        CSV; a spreadsheet is made CSV at the door.
    name : str
        Of the file, for refusals.
    kinds : mapping of str to Kind
        The library: words of machines and of what is renewed.
    on : date
        Today: nothing was paid later.
    wanted : Wanted or None
        What the owner says of the file; lot and machine by name or id.

    Returns
    -------
    Preview

    Raises
    ------
    Unreadable, Unusable
        It cannot be read as a whole; lines that disagree are named.
    Unknown
        No such lot or machine.
    """
    kept = book_kept(shop)
    about = grounds(kept)
    asked = _placed(wanted or Wanted(), about)
    lines = book(shop, on=on).lines
    ahead = {one.source: one for one in paid_ahead(kept)}
    known, left, brought = _from_files(shop)
    shelf = Shelf(
        on=about,
        lines=(*lines, *ahead_lines(kept, ahead)),
        expected={one.source: one for one in expected(kept, on=on)} | ahead,
        known=known,
        left=left,
        brought=brought,
        guesses=_guesses(shop, kept, lines, kinds),
    )
    return preview_of(content, name, shelf, asked, on=on)


def keep_import(
    shop: RecordShop,
    preview: Preview,
    choices: Choices,
    *,
    on: date,
    kinds: Mapping[str, Kind] | None = None,
    **hand: Unpack[Hand],
) -> tuple[Record[Posting], ...]:
    """Keep what a file tells, as the owner chose: all of it or nothing.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    preview : Preview
        As :func:`read_import` gave it.
    choices : Choices
        What the owner says of single rows.
    on : date
        Today.
    kinds : mapping of str to Kind, or None
        By which it is told whether a machine may be sold; None: the library as it is shipped.
    **hand : Hand
        Who keeps it; each row brings the id it is known by.

    Returns
    -------
    tuple of Record of Posting
        In the order of the file; empty where every row was there already or is left out. What
        the owner left out himself is not new the next time.

    Raises
    ------
    Unusable
        A row was not understood and neither left out nor passed over; a choice cannot be.
    NotYet
        The book was closed meanwhile on a day of the file; a row sells a machine that may not be
        sold, or is sold already.
    Unknown
        A choice names a row, machine or bucket that is not there.
    Overtaken
        Somebody corrected meanwhile what a row takes the place of.
    """
    _refuse_bad_rows(preview, choices)
    about = grounds(book_kept(shop))
    rows = chosen(preview, choices, about, on=on)
    _refuse_sales(shop, preview.name, rows, kinds)
    wanted = [one for row, deed, fact in rows for one in kept_of(row, deed, fact)]
    refuse_closed(closed_until(shop), [one.fact.posted_on for one in wanted])
    told = [
        ToAdd(
            fact=borne(one.fact, about.kept.machines, about.kept.worth), id=one.id,
            replaces=one.replaces,
        )
        for one in wanted
    ]  # fmt: skip
    left = [row for row, deed, _ in rows if deed == "leave" and row.number in choices.deeds]
    made = shop.add_all(
        [*told, *(one for row in left for one in _left_out(row))],
        by=hand["by"],
        device=hand.get("device", ""),
        observed_at=hand.get("observed_at"),
    )
    return tuple(made[: len(told)])


def _refuse_sales(
    shop: RecordShop, name: str, rows: Sequence[Chosen], kinds: Mapping[str, Kind] | None
) -> None:
    """NotYet, with its line, where a row sells what may not be sold, or two sell one machine."""
    seen: set[str] = set()
    kept = [(row, one) for row, deed, fact in rows for one in kept_of(row, deed, fact)]
    for row, one in (pair for pair in kept if is_sale(pair[1].fact)):
        first = shop.history(one.replaces)[0].id if one.replaces else one.id
        try:
            refuse_sold_line(shop, one.fact, kinds, instead=first)
            if (one.fact.machine or "") in seen:
                raise NotYet(
                    say("another line of the file sells the same machine"),
                    remedy=say("Leave one out, or say of it that it is for parts: bucket parts."),
                )
        except NotYet as refusal:
            raise NotYet(
                say("line {number} of {name}: {reason}", number=row.number, name=name,
                    reason=refusal.reason),
                remedy=refusal.remedy, problems=refusal.problems,
            ) from refusal  # fmt: skip
        seen.add(one.fact.machine or "")


def _left_out(row: BroughtRow) -> Iterator[ToAdd]:
    """A row that the owner leaves out: kept and taken back at once, so that it is not new again."""
    if row.fact is not None and row.state in ("new", "probable"):
        yield ToAdd(fact=row.fact, id=row.id)
        yield ToAdd(fact=Withdrawn(of_kind=Posting.KIND, reason=LEFT_OUT), replaces=row.id)


def _refuse_bad_rows(preview: Preview, choices: Choices) -> None:
    """All or nothing: what was not understood is left out by the owner, or holds the rest up."""
    bad = [
        row for row in preview.rows
        if row.state == "refused" and choices.deeds.get(row.number) != "leave"
    ]  # fmt: skip
    if not bad or choices.good_rows:
        return
    told = [problem for row in bad for problem in row.problems]
    left = len(told) - MOST_NAMED
    more = (
        [Problem(preview.name, say("and {count} more like them", count=left))] if left > 0 else []
    )
    raise Unusable(
        say("{count} lines of {name} are not understood", count=len(bad), name=preview.name),
        remedy=say("Mend them, leave them out, or keep what was understood: --good-rows."),
        problems=(*told[:MOST_NAMED], *more),
    )


def _placed(wanted: Wanted, about: Grounds) -> Wanted:
    """Lot and machine by their ids; a machine brings its lot."""
    lot = None if wanted.lot is None else lot_id(wanted.lot, about)
    if wanted.machine is None:
        return replace(wanted, lot=lot)
    key = machine_key(wanted.machine, lot, about)
    return replace(wanted, lot=about.kept.machines[key].lot, machine=key)


def _from_files(
    shop: RecordShop,
) -> tuple[dict[str, Standing], dict[str, str], dict[str, frozenset[str]]]:
    """Every row that ever came from a file, those left out, and the lines of the book that did."""
    known: dict[str, Standing] = {}
    left: dict[str, str] = {}
    brought: dict[str, set[str]] = {kind: set() for kind in FROM_FILE}
    for gone in shop.current(Withdrawn, of_kind=Posting.KIND):
        if gone.fact.reason == LEFT_OUT and gone.replaces and _is_row(gone.replaces):
            left[gone.replaces] = gone.id
            continue
        for one in shop.history(gone.id):
            known |= {one.id: "taken_back"} if _is_row(one.id) else {}
    for record in shop.current(Posting):
        line = shop.history(record.id) if record.replaces else [record]
        for one in line:
            if _is_row(one.id):
                known[one.id] = "kept"
                brought[one.id.partition(":")[0]].add(line[0].id)
    return known, left, {kind: frozenset(ids) for kind, ids in brought.items()}


def _is_row(id: str) -> bool:
    return id.partition(":")[0] in FROM_FILE


def _guesses(
    shop: RecordShop, kept: BookKept, lines: tuple[BookLine, ...], kinds: Mapping[str, Kind]
) -> Known:
    """What guesses are made from: earlier lines, names, words of the tables, offers taken."""
    posted = [line for line in lines if line.state == "posted"]
    undone = {line.of for line in posted if line.of}
    paid: dict[Any, tuple[BookLine, ...]] = {}
    deposits: dict[Any, tuple[BookLine, ...]] = {}
    for line in posted:
        where = paid if line.sort in COSTS else deposits if line.sort == "deposit" else None
        if where is not None and line.id not in undone:
            at = (line.currency, line.amount)
            where[at] = (*where.get(at, ()), line)
    records = [one.fact for one in shop.current(Machine)]
    mine = kinds_of(records, kinds)
    return Known(
        machines=kept.machines,
        machine_words=_machine_words(shop, kept),
        lines=dict(_named_lines(mine)),
        codes=frozenset(known_lines(mine)),
        earlier=earlier_of(posted),
        paid=paid,
        deposits=deposits,
        asks={
            (one.fact.currency, one.fact.amount): (one.fact.machine, one.fact.whom)
            for one in shop.current(Offered)
            if one.fact.answer == "taken" and one.fact.machine in kept.machines
        },
    )


def _machine_words(shop: RecordShop, kept: BookKept) -> dict[str, str]:
    """Words that tell one machine from all the others."""
    told: dict[str, set[str]] = {}
    for record in shop.current(Machine):
        key = shop.history(record.id)[0].id if record.replaces else record.id
        words = words_of(record.fact.name, *MACHINE_WORDS.get(record.fact.kind, ()))
        for word in words if key in kept.machines else ():
            told.setdefault(word, set()).add(key)
    return {word: keys.pop() for word, keys in told.items() if len(keys) == 1}


def _named_lines(mine: Collection[Kind]) -> Iterator[tuple[str, frozenset[str]]]:
    """Renewals and upgrades by all the words of their names; one word alone tells too little."""
    for line in known_lines(mine):
        if line.startswith(("renew:", "upgrade:")):
            words = words_of(line_words(line, mine))
            if len(words) > 1:
                yield line, words
