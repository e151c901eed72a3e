"""A line put in the book at the keyboard."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import click

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.lines import BookLine
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_days import day, today
from retrue.cli.house import House
from retrue.cli.options import AMOUNT, AmountsFirst, Between, content_of, json_option, shop_option
from retrue.cli.settle_book_lines import exact
from retrue.phases import settle, worth
from retrue.records.settling import BUCKETS, Posting
from retrue.records.shop import RecordShop

pass_house = click.make_pass_decorator(House)
SORTS = {
    "bought": "bought",
    "paid": "paid",
    "deposit": "deposit",
    "deposit-back": "deposit_back",
    "sold": "sold",
    "received": "received",
    "returned": "returned",
    "moved": "moved",
    "exchanged": "exchanged",
}
FROM = {"bank": "bank", "cash": "cash", "card": "card", "own-pocket": "own_pocket", "owed": "owed"}
PLACES = ("bank", "cash", "card", "own-pocket")
SCHEMES = ("ordinary", "margin", "private", "import")
SPLITS = ("value", "equal", "mass", "weights")
FILE = click.Path(dir_okay=False, path_type=Path)
MOST_DAYS = 3660.0
MOST_TAX = 0.9999


@click.command(cls=AmountsFirst)
@click.argument("sort", type=click.Choice(list(SORTS)), metavar="SORT")
@click.argument("amount", type=AMOUNT, metavar="AMOUNT")
@click.argument("what", metavar="WHAT")
@click.option("--lot", metavar="NAME", help="For which lot; left out, the shop as a whole.")
@click.option("--machine", metavar="NAME", help="For which machine; left out, all of the lot.")
@click.option("--bucket", type=click.Choice(BUCKETS), default=None, help="Where the money went.")
@click.option("--on", "on", metavar="DAY", help="Day of the paper; else today.")
@click.option("--currency", metavar="CODE", help="Of the paper; else the shop's.")
@click.option("--rate", type=AMOUNT, help="Shop's currency for one of it; else the day's rate.")
@click.option("--rate-on", metavar="DAY", help="Day that rate is of; else the day of the paper.")
@click.option("--rate-age", type=Between(0, MOST_DAYS), metavar="DAYS",
              help="How old a kept rate may be; else a week.")  # fmt: skip
@click.option("--tax", type=Between(0, MOST_TAX), metavar="SHARE", help="Tax: 21 per cent is 0.21.")
@click.option("--on-top", is_flag=True, help="The tax comes on top of AMOUNT.")
@click.option("--scheme", type=click.Choice(SCHEMES), default=None, help="Of the tax.")
@click.option("--reclaim/--no-reclaim", "reclaim", default=None,
              help="The tax comes back, or does not; else as its scheme says.")  # fmt: skip
@click.option("--whom", default="", help="At whom, from whom.")
@click.option("--from", "paid_from", type=click.Choice(list(FROM)), default="bank",
              show_default=True, help="Where the money came from or went to.")  # fmt: skip
@click.option("--of", metavar="ID", help="The line that is returned, settled, or whose deposit.")
@click.option("--line", default="", help="What of the forecast it was for: F15:local, E11.")
@click.option("--split", type=click.Choice(SPLITS), default=None,
              help="Rule of a shared line; else by expected value.")  # fmt: skip
@click.option("--share", "shares", metavar="NAME", multiple=True, help="A machine that shares it.")
@click.option("--weight", "weights", type=AMOUNT, multiple=True, help="Weight of each --share.")
@click.option("--from-stock", default="", metavar="NAME", help="Of moved: from the shelf.")
@click.option("--from-machine", metavar="NAME", help="Of moved: the donor.")
@click.option("--units", type=Between(0.000001, 1e9), help="How many.")
@click.option("--into", "into", type=AMOUNT, help="Of exchanged: what came in.")
@click.option("--into-currency", default="", metavar="CODE", help="Of exchanged: its currency.")
@click.option("--into-place", type=click.Choice(PLACES), default=None,
              help="Of exchanged: where it came in, as the bank pays the card.")  # fmt: skip
@click.option("--receipt", type=FILE, help="Photograph or PDF of the paper.")
@click.option("--source", default="", help="The expected line that it takes the place of.")
@click.option("--beside", is_flag=True, help="It is another one, beside the one it looks like.")
@click.option("--sure", is_flag=True, help="Its rate is right, however far from the last one.")
@click.option("--text", default="", help="A sentence.")
@click.option("--correct", metavar="ID", help="Say that line anew.")
@json_option
@shop_option
@pass_house
def post(
    house: House, /, sort: str, amount: Decimal, what: str, receipt: Path | None,
    correct: str | None, rate_age: float | None, beside: bool, sure: bool, as_json: bool,
    shop: str | None, **said: Any,
) -> None:  # fmt: skip
    """Put a line in the book: SORT is what happened, AMOUNT what was on the paper, WHAT its words.

    SORT: bought, paid, deposit, deposit-back, sold, received, returned, moved, exchanged. Tax goes
    by local law and an accountant first.
    """
    on = today(house)
    with house.open_shop(shop) as opened:
        fact = _posting(house, opened, said, sort=sort, amount=amount, what=what)
        if receipt is not None:
            kept = settle.keep_receipt(opened, content_of(str(receipt)), receipt.name,
                                       house.prove, **house.hand)  # fmt: skip
            fact = replace(fact, receipt=kept.fact.sha256)
        if correct is not None:
            record = settle.correct(opened, correct, fact, on=on, kinds=house.kinds(),
                                    **house.hand)  # fmt: skip
        else:
            record = settle.post(
                opened, fact, on=on, most_days_old=None if rate_age is None else int(rate_age),
                beside=beside, sure=sure, kinds=house.kinds(), **house.hand,
            )  # fmt: skip
        view = settle.book(opened, on=on)
    line = next(one for one in view.lines if one.seq == record.seq)
    _told(line, view.currency, as_json)


def _posting(
    house: House, shop: RecordShop, said: dict[str, Any], *, sort: str, amount: Decimal, what: str
) -> Posting:
    at = today(house, said["on"]).isoformat()
    mine = worth.my_shop(shop)
    home = mine.fact.currency if mine is not None else "EUR"
    rate_on = day(said["rate_on"], "rate-on", today(house))
    if said["rate"] is None and rate_on is not None:
        what_is = say("is of a rate that was not said")
        remedy = say("Say the rate too: --rate.")
        raise Unusable(what_is, remedy=remedy, problems=(Problem("rate-on", what_is, remedy),))
    plain = {name: said[name] for name in ("lot", "machine", "whom", "of", "line", "from_stock",
                                           "from_machine", "units", "into_currency", "source",
                                           "text", "weights")}  # fmt: skip
    made: dict[str, Any] = plain | {
        "sort": SORTS[sort],
        "currency": said["currency"] or home,
        "bucket": said["bucket"] or "",
        "rate": said["rate"],
        "rate_on": None if said["rate"] is None else rate_on or at,
        "tax_rate": None if said["tax"] is None else Decimal(repr(said["tax"])),
        "tax_in": not said["on_top"],
        "tax_scheme": said["scheme"] or "",
        "tax_reclaimable": said["reclaim"],
        "paid_from": FROM[said["paid_from"]],
        "split": said["split"] or ("weights" if said["weights"] else ""),
        "shared_by": said["shares"],
        "into_amount": said["into"],
    }
    if said["into_place"] is not None:
        own = said["into"] is None and not said["into_currency"]
        made |= {"into_place": FROM[said["into_place"]]}
        made |= {"into_amount": amount, "into_currency": made["currency"]} if own else {}
    return Posting(posted_on=at, what=what, amount=amount, **made)


def _told(line: BookLine, home: str, as_json: bool) -> None:
    """What was kept, and what it costs whom."""
    if as_json:
        shares = [{"amount": float(one.amount), "machine": one.machine, "name": one.machine_name}
                  for one in line.shares]  # fmt: skip
        told = {"currency": home, "in_shop": float(line.in_shop), "kept": line.id,
                "schema": "settle.kept.1", "shares": shares, "tax": float(line.tax),
                "tax_back": float(line.tax_back), "why": {}}  # fmt: skip
        click.echo(dumps(told))
        return
    click.echo(say("Kept: {id}", id=line.id))
    for one in line.shares:
        name = one.machine_name or say("the shop")
        click.echo(say("{name}: {amount}", name=name, amount=exact(one.amount, home)))
    if line.split_words and len(line.shares) > 1:
        click.echo(say("Shared {how}.", how=line.split_words))
    if line.tax_back:
        click.echo(say("Of it {tax} tax comes back.", tax=exact(line.tax_back, line.currency)))
