"""Money and sale: the front page. What stands at each machine, and the one thing to do next."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.say import say
from retrue.cases.settle.after import DueLine
from retrue.cases.settle.hour_lines import HoursRow
from retrue.cases.settle.lines import Book
from retrue.phases import fix, settle, worth
from retrue.records.shop import RecordShop
from retrue.web.door import deed
from retrue.web.settle.hours import hour_words, open_question, told_by
from retrue.web.settle.where import machine_money, show, today


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineMoney:
    """One machine: what the book puts on it, own hours, and how it stands."""

    here: str
    name: str
    lot_name: str
    amount: float
    hours: float
    closed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class NextAct:
    """The one thing to do next."""

    act: str
    why: str
    path: str
    key: str


async def show_home(request: Request, /, **more: Any) -> Response:
    """What stands at each machine, what waits for an answer, and the ways on."""
    on = today(request)
    book: Book = await deed(settle.book, request, on=on)
    rows: tuple[HoursRow, ...] = await deed(settle.counted, request, on=on)
    due: tuple[DueLine, ...] = await deed(settle.due_after_sale, request, on)
    question = await open_question(request)
    machines = await deed(_machines, request, book, rows)
    return show(
        request,
        "home.html",
        book=book,
        machines=machines,
        due=due,
        question=question,
        told=await told_by(request),
        **hour_words(request),
        next=next_of(book, due),
        spent=sum(one.amount for one in machines),
        worked=sum(one.hours for one in machines),
        **more,
    )


def next_of(book: Book, due: Iterable[DueLine]) -> NextAct:
    """The most pressing of what is open; with nothing open, the next line of the book."""
    for one in due:
        return NextAct(act=one.words, why=_due_why(one), path=_due_path(one), key=say("Open it"))
    for currency, day in book.missing_rates:
        return NextAct(
            act=say("Say what {currency} was worth on {day}", currency=currency, day=day),
            why=say("Until then that line counts with nothing."),
            path="/settle/rates",
            key=say("Rates"),
        )
    expected = sum(line.state == "expected" for line in book.lines)
    if expected:
        return NextAct(
            act=say("Put in what is known: {count}", count=expected),
            why=say("It is known from a bid, an order or a hire, and not in the book yet."),
            path="/settle/book",
            key=say("The book"),
        )
    if book.unplaced:
        return NextAct(
            act=say("Say where the money went: {count}", count=book.unplaced),
            why=say("These lines have no place yet."),
            path="/settle/book?bucket=none",
            key=say("The book"),
        )
    return NextAct(
        act=say("Put the next receipt in the book"),
        why=say("A photograph, an amount, a machine."),
        path="/settle/post",
        key=say("Put in the book"),
    )


def _due_why(one: DueLine) -> str:
    if one.days_left is not None and one.days_left < 0:
        return say("{machine}: {days} days late.", machine=one.machine_name, days=-one.days_left)
    return say("{machine}: by {day}.", machine=one.machine_name, day=one.on or say("no day named"))


def _due_path(one: DueLine) -> str:
    return f"{machine_money(one.lot, one.machine)}/after"


def _machines(shop: RecordShop, book: Book, rows: Iterable[HoursRow]) -> list[MachineMoney]:
    """Machines of lots in hand, with what is put on them; the last lot first."""
    amounts: dict[str, float] = defaultdict(float)
    for line in book.lines:
        for share in line.shares:
            amounts[share.machine] += float(share.amount)
    hours: dict[str, float] = defaultdict(float)
    for row in rows:
        hours[row.machine] += row.hours
    closed = {one.fact.machine for one in settle.closed(shop)}
    mine, found = fix.in_hand(shop), []
    for record in reversed(worth.lots(shop)):
        view = worth.view_lot(shop, record.id)
        if view.id not in mine:
            continue
        for key, machine in view.machines:
            found.append(
                MachineMoney(
                    here=machine_money(view.id, key),
                    name=machine.fact.name,
                    lot_name=view.name,
                    amount=amounts[key],
                    hours=hours[key],
                    closed=key in closed,
                )
            )
    return found
