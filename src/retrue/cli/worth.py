"""What to pay, at the keyboard: each command works on a file or on the shop."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Literal

import click

from retrue.base import formatter
from retrue.base.say import reader, say
from retrue.cases.sheet import PriceSheet
from retrue.cases.sheet_json import dumps, flat, to_json
from retrue.cli.deeds import ByDeed
from retrue.cli.house import House
from retrue.cli.lines import frozen_line, price_lines, put, question_lines
from retrue.cli.options import AMOUNT, file_word, json_option, shop_option, sum_options
from retrue.cli.source import open_lot
from retrue.phases import worth as phase
from retrue.records.facts import Terms

pass_house = click.make_pass_decorator(House)


@click.group(
    cls=ByDeed,
    deeds={
        "price": ("worth:price", "Say what not to go above, and why."),
        "questions": ("worth:questions", "Open questions, by what their answer is worth."),
        "text": ("worth:text", "Write the best questions as a message to the seller."),
        "visit-pack": ("worth:visit_pack", "Print the looks that decide the price."),
        "freeze": ("worth:freeze", "Fix the number before the bidding."),
        "outcome": ("worth:outcome", "Keep what came of it: won at, lost at, walked away."),
        "screen": ("worth_screen:screen", "Price every lot of a sale: which are worth a call."),
        "bids": ("worth_bids:bids", "Which lots of a sale to bid on, and how high."),
        "catalogue": ("worth_share:catalogue", "Keep a catalogue for several people; list them."),
        "share": ("worth_share:share", "Who screens what, and who bids, at a kept catalogue."),
        "bidder": ("worth_share:bidder", "Say that you bid on a lot, and what came of it."),
        "take": ("worth_share:take", "Take a lot of a kept catalogue into your lots."),
    },
)
def worth() -> None:
    """What to pay: price, questions, text for the seller, visit, freeze; a whole catalogue."""


@click.command()
@click.argument("lot", metavar="LOT.toml|NAME")
@click.option("--gate", is_flag=True, help="Exit 1 unless the bid or asking price is proved good.")
@click.option(
    "--processes",
    type=click.IntRange(1, 64),
    default=1,
    show_default=True,
    help="Share the sum out; it changes no digit.",
)
@sum_options
@json_option
@shop_option
@pass_house
@click.pass_context
def price(
    ctx: click.Context,
    house: House,
    lot: str,
    gate: bool,
    processes: int,
    seed: int,
    worlds: int,
    as_json: bool,
    shop: str | None,
) -> None:
    """Say what not to go above, and why."""
    with open_lot(house, lot, shop) as source:
        sheet = source.price(seed=seed, worlds=worlds, processes=processes)
        terms = source.case().terms
    if as_json:
        click.echo(to_json(sheet))
    else:
        put(price_lines(sheet, house.kinds()))
    ctx.exit(1 if gate and ruling(sheet, terms) != "proved_good" else 0)


@click.command()
@click.argument("lot", metavar="LOT.toml|NAME")
@click.option(
    "--count",
    type=click.IntRange(1, 100),
    default=10,
    show_default=True,
    help="How many, best first.",
)
@sum_options
@json_option
@shop_option
@pass_house
def questions(
    house: House, lot: str, count: int, seed: int, worlds: int, as_json: bool, shop: str | None
) -> None:
    """List the open questions by what their answer is worth less what asking costs."""
    with open_lot(house, lot, shop) as source:
        sheet = source.price(seed=seed, worlds=worlds)
    if as_json:
        whole = flat(sheet)
        kept = ("currency", "lot", "schema", "seed", "version", "visit", "worlds")
        told = {name: whole[name] for name in kept} | {"questions": whole["questions"][:count]}
        told["why"] = {k: v for k, v in whole["why"].items() if k == "visit"}
        click.echo(dumps(told))
    else:
        put(question_lines(sheet, house.kinds(), count))


@click.command()
@click.argument("lot", metavar="LOT.toml|NAME")
@click.option(
    "--language",
    type=click.Choice(phase.LANGUAGES),
    help="The seller's language; else yours.",
)
@sum_options
@json_option
@shop_option
@pass_house
def text(
    house: House, lot: str, language: str | None, seed: int, worlds: int, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """Write the five best questions as a message to the seller."""
    with open_lot(house, lot, shop) as source:
        sheet = source.price(seed=seed, worlds=worlds)
        case = source.case()
    language = language or reader()
    message = phase.questions_for_seller(sheet, case, house.kinds(), language=language)
    if as_json:
        told = {"language": language, "lot": case.lot.name, "schema": 1, "text": message}
        click.echo(dumps(told))
    else:
        click.echo(message)


@click.command()
@click.argument("lot", metavar="LOT.toml|NAME")
@click.option("--reason", default="", help="Why the frozen number may rise.")
@click.option(
    "--to",
    "target",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the sheet to this PDF.",
)
@sum_options
@json_option
@shop_option
@pass_house
def freeze(
    house: House,
    lot: str,
    reason: str,
    target: Path | None,
    seed: int,
    worlds: int,
    as_json: bool,
    shop: str | None,
) -> None:
    """Fix the number before the bidding; it rises only with a typed reason."""
    with open_lot(house, lot, shop) as source:
        fact, sheet = source.freeze(reason, seed=seed, worlds=worlds)
    path = target or Path(f"{file_word(sheet.lot)}-frozen.pdf")
    path.write_bytes(house.printer.frozen(fact, sheet, house.by))
    if as_json:
        names = ("dangers", "kind_hash", "reason", "seed", "sorry", "version", "worlds")
        told = {name: getattr(fact, name) for name in names}
        told |= {"all_in": float(fact.all_in), "hammer": float(fact.hammer), "schema": 1}
        told |= {"currency": sheet.currency, "file": str(path), "lot": sheet.lot}
        click.echo(dumps(told))
        return
    click.echo(frozen_line(fact, sheet))
    for danger in fact.dangers:
        click.echo(f"  {danger}")
    if source.is_file:
        click.echo(say("From a file: keep the lot in the shop, and the number cannot rise unseen."))
    click.echo(str(path))


@click.command("visit-pack")
@click.argument("lot", metavar="NAME")
@click.option(
    "--to",
    "target",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the pack to this PDF.",
)
@sum_options
@json_option
@shop_option
@pass_house
def visit_pack(
    house: House,
    lot: str,
    target: Path | None,
    seed: int,
    worlds: int,
    as_json: bool,
    shop: str | None,
) -> None:
    """Print the looks that decide the price, to be ticked in pencil and typed in afterwards."""
    with open_lot(house, lot, shop) as source:
        pack, sheet = source.visit_pack(seed=seed, worlds=worlds)
    path = target or Path(f"visit-{pack.code}.pdf")
    path.write_bytes(house.printer.visit(pack, sheet, house.by))
    if as_json:
        looks = [
            {"box": line.number, "check": line.check.id, "machine": line.machine,
             "text": line.check.text}
            for line in pack.lines
        ]  # fmt: skip
        told: dict[str, object] = {
            "code": pack.code,
            "file": str(path),
            "looks": looks,
            "lot": pack.name,
        }
        told |= {"minutes": pack.minutes, "schema": 1, "tools": list(pack.tools)}
        click.echo(dumps(told))
        return
    for caution in pack.cautions:
        click.echo(say("Caution: {caution}", caution=caution))
    click.echo(
        say(
            "{count} looks, {minutes} minutes there. Code {code}.",
            count=len(pack.lines),
            minutes=formatter.number(pack.minutes),
            code=f"{pack.code[:4]}-{pack.code[4:]}",
        )
    )
    click.echo(say("Bring: {tools}.", tools=", ".join(map(str, pack.tools)) or say("nothing")))
    click.echo(str(path))


@click.command()
@click.argument("lot", metavar="NAME")
@click.argument("result", type=click.Choice(("won", "lost", "walked")))
@click.option("--at", "amount", type=AMOUNT, help="The hammer price at which it went.")
@click.option("--text", default="", help="One sentence about it.")
@json_option
@shop_option
@pass_house
def outcome(
    house: House,
    lot: str,
    result: Literal["won", "lost", "walked"],
    amount: Decimal | None,
    text: str,
    as_json: bool,
    shop: str | None,
) -> None:
    """Keep what came of it: won at, lost at, or walked away."""
    with house.open_shop(shop) as opened:
        came = phase.outcome(opened, lot, result, amount=amount, text=text, **house.hand)
        view = phase.view_lot(opened, lot)
    told = float(amount) if amount is not None else None
    if as_json:
        why = {} if amount is not None else {"amount": say("nobody said at what price")}
        answer = {"amount": told, "currency": view.record.fact.currency, "lot": view.name}
        click.echo(dumps(answer | {"outcome": came.fact.result, "schema": 1, "why": why}))
        return
    price = formatter.money(told, view.record.fact.currency) if told is not None else ""
    at = say(" at {price}", price=price) if price else ""
    click.echo(f"{view.name}: {say(result)}{at}")


def ruling(sheet: PriceSheet, terms: Terms) -> str:
    """Whether the bid now, else the asking price, is proved to be below the number.

    Examples
    --------
    A bid within two errors of the sum is not proved either way.
    """
    bid = terms.bid_now if terms.bid_now is not None else terms.asking
    walk = sheet.walk_away
    if bid is None or walk.amount is None:
        return "not_proved" if walk.amount is not None else "proved_bad"
    room = walk.amount - float(bid)
    if abs(room) <= 2 * walk.error:
        return "not_proved"
    return "proved_good" if room > 0 else "proved_bad"
