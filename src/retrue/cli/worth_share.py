"""Several people at one sale, at the keyboard: catalogues kept, who does what, who bids on what."""

from __future__ import annotations

import shlex
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from pathlib import PurePath
from typing import Any, Literal

import click

from retrue.base import formatter
from retrue.base.refusals import NotYet, Problem, Unusable
from retrue.base.say import ENGLISH, say, speaking
from retrue.cases.screen.parts import PART
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import AMOUNT, content_of, json_option, shop_option
from retrue.cli.worth_screen_shop import said_of
from retrue.cli.worth_screen_source import catalogue_options, told_of
from retrue.phases import worth
from retrue.records.screening import Bidder, Catalogue, Share
from retrue.records.shop import Record
from retrue.store.spreadsheet import as_csv

pass_house = click.make_pass_decorator(House)


@click.command()
@click.argument("path", metavar="[FILE]", required=False)
@click.option("--name", default="", help="Of the sale; else as the file is called.")
@catalogue_options
@json_option
@shop_option
@pass_house
def catalogue(
    house: House, /, path: str | None, name: str, as_json: bool, shop: str | None, **given: Any
) -> None:
    """Keep a catalogue in the shop, so that several people screen it; without FILE list them.

    FILE is CSV, XLSX or TOML. Then, on every computer that opens the shop: retrue worth screen
    NAME.
    """
    told = told_of(given)
    with house.open_shop(shop) as opened:
        if path is not None:
            content = content_of(path, say("Check the path of the catalogue."))
            if not path.lower().endswith(".toml"):
                content = as_csv(content, path, merged=True)
            plain = PurePath(path)
            said = Catalogue(
                name=name.strip() or plain.stem, file_name=plain.name, content_sha256="", year=0,
                **said_of(told, opened.today()),
            )  # fmt: skip
            worth.keep_catalogue(opened, content, said, house.kinds(), **house.hand)
        states = [worth.state_of(opened, one.id) for one in worth.catalogues(opened)]
    if as_json:
        rows = [_flat_catalogue(one) for one in states]
        click.echo(dumps({"catalogues": rows, "schema": "worth.catalogue.1"}))
        return
    none = [say("No catalogue is kept: retrue worth catalogue FILE")]
    put(iter([_catalogue_line(one) for one in states] or none))


@click.command()
@click.argument("name", metavar="CATALOGUE")
@click.option("--stop", is_flag=True, help="Let nobody take another part; what is done is kept.")
@click.option("--go-on", "go_on", is_flag=True, help="Let parts be taken again.")
@json_option
@shop_option
@pass_house
def share(
    house: House, /, name: str, stop: bool, go_on: bool, as_json: bool, shop: str | None
) -> None:
    """Who does what at a sale: parts that are screened, who bids on which lot, what came of it."""
    if stop and go_on:
        raise click.UsageError("Say --stop or --go-on, not both.")
    with house.open_shop(shop) as opened:
        if stop:
            worth.stop_screening(opened, name, **house.hand)
        elif go_on:
            worth.go_on_screening(opened, name, **house.hand)
        state = worth.state_of(opened, name)
        bidders = worth.bidders_of(opened, name)
        taken = worth.taken_of(opened, name)
    if as_json:
        click.echo(dumps(_flat_share(state, bidders, taken)))
        return
    put(_share_lines(state, bidders, taken))


@click.command()
@click.argument("name", metavar="CATALOGUE")
@click.argument("number", metavar="LOT")
@click.option("--limit", type=AMOUNT, help="Hammer price up to which you go, in the lot's money.")
@click.option("--for", "who", default="", metavar="WHO", help="Who bids; else you.")
@click.option("--why", "text", default="", metavar="WORDS", help="Why it rises, or is given up.")
@click.option("--give-up", "give_up", is_flag=True, help="Let somebody else bid on it.")
@click.option("--won", type=AMOUNT, metavar="AMOUNT", help="It is yours, at this hammer price.")
@click.option("--lost", is_flag=True, help="It went to another.")
@json_option
@shop_option
@pass_house
def bidder(
    house: House, /, name: str, number: str, limit: Decimal | None, who: str, text: str,
    give_up: bool, won: Decimal | None, lost: bool, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Say that you bid on LOT of CATALOGUE, so that nobody of your shop bids against you."""
    _refuse_two(limit is not None or bool(who), give_up, won is not None, lost)
    with _by_option(), house.open_shop(shop) as opened:
        if give_up:
            worth.give_up_bid(opened, name, number, text=text, **house.hand)
        elif won is not None or lost:
            result: Literal["won", "lost"] = "won" if won is not None else "lost"
            worth.bid_ended(opened, name, number, result, won, text=text, **house.hand)
        else:
            worth.who_bids(opened, name, number, limit, house.kinds(), text=text, who=who,
                           **house.hand)  # fmt: skip
        stands = worth.bidders_of(opened, name).get(number)
        came = worth.came_of_lots(opened, name).get(number)
    if as_json:
        click.echo(dumps(_flat_bidder(number, stands, came) | {"schema": "worth.bidder.1"}))
        return
    click.echo(_bidder_line(number, stands, came))


@click.command()
@click.argument("name", metavar="CATALOGUE")
@click.argument("number", metavar="LOT")
@json_option
@shop_option
@pass_house
def take(house: House, /, name: str, number: str, as_json: bool, shop: str | None) -> None:
    """Take LOT of CATALOGUE into your lots; taken before, you are led to it."""
    with speaking(ENGLISH):
        kinds = house.kinds()
    with house.open_shop(shop) as opened:
        lot = worth.take_lot(opened, name, number, kinds, **house.hand)
        called = worth.view_lot(opened, lot).name
    if as_json:
        told = {"id": lot, "lot": called, "number": number, "schema": "worth.take.1"}
        click.echo(dumps(told))
        return
    click.echo(
        say(
            "{lot} is among your lots. Its price: {command}",
            lot=called,
            command=f"retrue worth price {shlex.quote(called)}",
        )
    )


@contextmanager
def _by_option() -> Iterator[None]:
    """Where a word is wanted, the option that takes it is named."""
    try:
        yield
    except NotYet as refusal:
        told = tuple(
            Problem("--why", one.what, one.remedy) if one.where == "text" else one
            for one in refusal.problems
        )
        raise NotYet(refusal.reason, remedy=refusal.remedy, problems=told) from None


def _refuse_two(claims: bool, give_up: bool, won: bool, lost: bool) -> None:
    if claims + give_up + won + lost > 1:
        what = say("two things are said at once")
        remedy = say("Say one: a limit, --give-up, --won or --lost.")
        raise Unusable(what, remedy=remedy, problems=(Problem("limit", what, remedy),))


def _flat_catalogue(state: worth.ScreenState) -> dict[str, Any]:
    return {
        "closes_at": state.record.fact.closes_at, "done": state.done, "id": state.id,
        "lots": state.lots, "name": state.record.fact.name, "parts": state.parts,
        "stopped": state.stopped,
        "why": {} if state.record.fact.closes_at else {"closes_at": say("nobody said")},
    }  # fmt: skip


def _catalogue_line(state: worth.ScreenState) -> str:
    name = state.record.fact.name
    if state.begun is None:
        return say("{name}: not screened yet", name=name)
    return say("{name}: {done} of {of} lots screened", name=name, done=len(state.rows),
               of=state.lots)  # fmt: skip


def _flat_share(state: worth.ScreenState, bidders: Any, taken: Any) -> dict[str, Any]:
    return {
        "bidders": [_flat_bidder(number, one, None) for number, one in sorted(bidders.items())],
        "catalogue": state.record.fact.name,
        "done": state.done,
        "lots": state.lots,
        "parts": state.parts,
        "schema": "worth.share.1",
        "shares": [
            {"part": one.fact.part + 1, "since": one.noted_at.isoformat(),
             "state": one.fact.state, "who": one.fact.who}
            for one in state.every_share
        ],
        "stopped": state.stopped,
        "taken": [{"lot": lot, "number": number} for number, lot in sorted(taken.items())],
    }  # fmt: skip


def _share_lines(state: worth.ScreenState, bidders: Any, taken: Any) -> Iterator[str]:
    yield _catalogue_line(state)
    if state.stopped:
        yield say("Stopped: nobody takes another part. Go on: --go-on")
    for who, count in _done_by(state).items():
        yield "  " + say("{who} has done {count} lots", who=who, count=count)
    for one in state.shares:
        yield "  " + say(
            "{who} has part {number} since {since}", who=one.fact.who, number=one.fact.part + 1,
            since=formatter.minute(one.noted_at.astimezone()),
        )  # fmt: skip
    for number, stands in sorted(bidders.items()):
        yield _bidder_line(number, stands, None)
    if taken:
        yield say("Among your lots: {numbers}", numbers=", ".join(sorted(taken)))


def _done_by(state: worth.ScreenState) -> dict[str, int]:
    """Lots that each person has done, in the order they began."""
    counted: dict[str, int] = {}
    for one in state.every_share:
        if one.fact.state == "done":
            counted[one.fact.who] = counted.get(one.fact.who, 0) + _lots_in(state, one.fact)
    return counted


def _lots_in(state: worth.ScreenState, fact: Share) -> int:
    return min(PART, state.lots - fact.part * PART)


def _flat_bidder(
    number: str, stands: Record[Bidder] | None, came: worth.Came | None
) -> dict[str, Any]:
    fact = stands.fact if stands else None
    result = came.result if came else fact.result if fact else ""
    amount = came.amount if came else fact.amount if fact else None
    told: dict[str, Any] = {
        "amount": None if amount is None else float(amount),
        "currency": fact.currency if fact else None,
        "limit": None if fact is None or fact.limit is None else float(fact.limit),
        "number": number,
        "result": result or None,
        "who": fact.who if fact else None,
    }
    why = {name: say("nobody said") for name, value in told.items() if value is None}
    return told | {"why": why}


def _bidder_line(number: str, stands: Record[Bidder] | None, came: worth.Came | None) -> str:
    fact = stands.fact if stands else None
    result = came.result if came else fact.result if fact else ""
    amount = came.amount if came else fact.amount if fact else None
    if result == "won" and amount is not None:
        price = formatter.money(amount, fact.currency) if fact else formatter.number(amount)
        return say("Lot {number}: yours, at {price}", number=number, price=price)
    if result == "lost":
        return say("Lot {number}: it went to another", number=number)
    if fact is None:
        return say("Lot {number}: nobody bids", number=number)
    if fact.limit is None:
        return say("Lot {number}: {who} bids", number=number, who=fact.who)
    return say("Lot {number}: {who} bids, up to {limit}", number=number, who=fact.who,
               limit=formatter.money(fact.limit, fact.currency))  # fmt: skip
