"""The demo's surplus lathe: its price, its condition record, the sale; then both are closed."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any

from retrue import __version__
from retrue.base.refusals import NotYet, Problem
from retrue.cases.settle.after import AfterSale
from retrue.cases.settle.closing_lines import Closing
from retrue.cases.settle.condition_check import Checked
from retrue.cases.settle.condition_file import file_of
from retrue.cases.settle.sale_lines import Sale
from retrue.cases.spot import Spot
from retrue.cli.demo_days import example, kept_at
from retrue.cli.demo_settle import Story, evening_of
from retrue.cli.demo_wake import Walk
from retrue.paper.edition import print_edition
from retrue.phases import find, settle, worth
from retrue.phases.settle import Terms
from retrue.records.facts import Finding
from retrue.records.seeking import Act
from retrue.records.settling import BuyerAsked, ForSale, Included, Offered, Promised, SoldAs
from retrue.store.derived import shown

CLEARED = "settle/cleared.toml"
LADDER = "wake/lathe.toml"
SOLD_AS: SoldAs = "running"
PICTURE_PX = 900  # longest side of the copies that are given away
CHANGED = b" An "  # who saw it: the last letter is another one in the file that was changed


@dataclass(frozen=True, slots=True)
class Sold:
    """The lathe, from what it may bring to what came after the sale.

    Attributes
    ----------
    refused : tuple of Problem
        What kept its record closed at first.
    content, copies
        The record as it was given away, and its copies of photographs.
    pdf, file : bytes
        The same as paper, and as a file.
    checks : tuple of Checked
        Of the paper, the file, and the file with one byte changed.
    price : Decimal
        What it was sold for.
    """

    sale: Sale
    refused: tuple[Problem, ...]
    content: Mapping[str, Any]
    copies: Mapping[str, bytes]
    pdf: bytes
    file: bytes
    checks: tuple[Checked, Checked, Checked]
    price: Decimal
    offers: Sale
    after: AfterSale


@dataclass(frozen=True, slots=True)
class Closed:
    """Both machines, closed; what would be given away of it without names."""

    closings: tuple[Closing, ...]
    shared: str


def selling(story: Story) -> Sold:
    """Price the lathe, clear what keeps its record closed, give the record, sell.

    Parameters
    ----------
    story : Story
        Its book kept.

    Returns
    -------
    Sold
    """
    shop, kinds, tale = story.shop, story.house.kinds(), story.told["sale"]
    spot = story.spot(tale["machine"])
    made = settle.sale(shop, spot.lot, spot.machine, kinds, on=story.on,
                       worlds=story.worlds)  # fmt: skip
    refused = _refused(story, spot)
    _clear(story, spot)
    _listed(story, spot, tale)
    content, copies = _given(story, spot, tale["record_on"])
    pdf, file = story.house.printer.condition(content, copies), file_of(content, copies)
    offers = _offered(story, spot, tale)
    _sold(story, spot, tale)
    after = settle.after_sale(shop, spot.lot, spot.machine, kinds, on=tale["loaded_on"])
    return Sold(
        made, refused, content, copies, pdf, file, _checked(story, pdf, file),
        Decimal(tale["offers"][-1]["amount"]), offers, after,
    )  # fmt: skip


def _refused(story: Story, spot: Spot) -> tuple[Problem, ...]:
    """What keeps the record closed."""
    try:
        settle.record(story.shop, spot.lot, spot.machine, story.house.kinds(), on=story.on,
                      sold_as=SOLD_AS)  # fmt: skip
    except NotYet as refusal:
        return tuple(refusal.problems)
    raise AssertionError(spot.name)


def _clear(story: Story, spot: Spot) -> None:
    """Look and measure until no stop item and no guard is open; first power up to the spindle."""
    tale = tomllib.loads(example(story.house, CLEARED).decode())
    shop, kinds = story.shop, story.house.kinds()
    here: dict[str, Any] = {"lot": spot.lot, "machine": spot.machine}
    for one in tale["done"]:
        for job in one["jobs"]:
            find.did(shop, spot.lot, spot.machine, Act(sort="clean", job=job, **here), kinds,
                     **story.hand(one["who"], one["at"]))  # fmt: skip
    for one in (*tale["look"], *tale["reading"]):
        worth.keep_findings(shop, spot.lot, _findings(spot, one), kinds, quietly=True,
                            **story.hand(one["who"], one["at"]))  # fmt: skip
    for one in tale["guard"]:
        for guard in one["guards"]:
            fact = Included(what=guard, sort="guard", state=one["state"], grade=one["grade"],
                            text=one["text"], **here)  # fmt: skip
            settle.include(shop, fact, kinds, **story.hand(one["who"], one["at"]))
    for what, text in tale["goes_with"].items():
        settle.include(shop, Included(what=what, grade=3, text=text, **here), kinds,
                       **story.hand())  # fmt: skip
    _powered(story, spot)


def _findings(spot: Spot, one: Mapping[str, Any]) -> list[Finding]:
    """Looks that saw nothing of what they look for, or that tell a reading."""
    assert spot.kind is not None
    here: dict[str, Any] = {
        "lot": spot.lot, "machine": spot.machine, "grade": one["grade"], "channel": "apart",
        "text": one.get("text", ""),
    }  # fmt: skip
    seen = [Finding(check=check, answer="not_seen", **here) for check in one.get("checks", ())]
    read = [
        Finding(check=check, measure=spot.kind.checks[check].measures[0], reading=value, **here)
        for check, value in one.get("values", {}).items()
    ]
    return seen + read


def _powered(story: Story, spot: Spot) -> None:
    """First power, stage by stage, up to the first turn of the spindle."""
    tale = tomllib.loads(example(story.house, LADDER).decode())
    walk = Walk(story.house, story.shop, spot, tale)
    for entry, value in tale["plate"].items():
        worth.keep_plate(story.shop, spot.lot, spot.machine, entry, value, story.house.kinds(),
                         **kept_at(story.house, "plate_lathe"))  # fmt: skip
    for stage in tale["stage"]:
        walk.go(stage)


def _listed(story: Story, spot: Spot, tale: Mapping[str, Any]) -> None:
    listing = ForSale(
        lot=spot.lot, machine=spot.machine, sold_as=SOLD_AS, ask=Decimal(tale["ask"]),
        take=Decimal(tale["take"]), dump=Decimal(tale["let_go"]), dump_on=tale["let_go_on"],
        listed_on=f"{tale['record_on']}",
    )  # fmt: skip
    settle.put_up(story.shop, spot.lot, spot.machine, story.house.kinds(), listing,
                  on=tale["record_on"], **story.hand())  # fmt: skip


def _given(story: Story, spot: Spot, on: date) -> tuple[Mapping[str, Any], Mapping[str, bytes]]:
    """The record, kept as it is given away."""
    kept = settle.give(
        story.shop, spot.lot, spot.machine, story.house.kinds(), on=on, sold_as=SOLD_AS,
        small=partial(shown, longest_px=PICTURE_PX), version=print_edition(__version__),
        **story.hand(),
    )  # fmt: skip
    given, copies = settle.one_given(story.shop, kept.id)
    return json.loads(given.fact.content), copies


def _offered(story: Story, spot: Spot, tale: Mapping[str, Any]) -> Sale:
    """Keep every offer; the sale of the lathe with what is to be answered."""
    kinds = story.house.kinds()
    for one in tale["offers"]:
        fact = Offered(lot=spot.lot, machine=spot.machine, whom=one["whom"],
                       offered_on=f"{one['on']}", amount=Decimal(one["amount"]))  # fmt: skip
        settle.offer(story.shop, spot.lot, spot.machine, kinds, fact, on=one["on"],
                     **story.hand(at=evening_of(one["on"])))  # fmt: skip
    last: date = tale["offers"][-1]["on"]
    return settle.sale(story.shop, spot.lot, spot.machine, kinds, on=last,
                       worlds=story.worlds)  # fmt: skip


def _sold(story: Story, spot: Spot, tale: Mapping[str, Any]) -> None:
    """Take the last offer; the rest of the money, a promise, a buyer's question."""
    taken = story.hand(at=evening_of(tale["taken_on"]))
    loaded = story.hand(at=evening_of(tale["loaded_on"]))
    shop, kinds, last = story.shop, story.house.kinds(), tale["offers"][-1]
    terms = Terms(paid=Decimal(tale["deposit"]), load_by=f"{tale['loaded_on']}")
    settle.answer_offer(shop, last["whom"], "taken", kinds, on=tale["taken_on"], terms=terms,
                        **taken)  # fmt: skip
    made = settle.after_sale(shop, spot.lot, spot.machine, kinds, on=tale["loaded_on"])
    settle.money_in(shop, made.sales[-1].id, made.sales[-1].due, on=tale["loaded_on"],
                    **loaded)  # fmt: skip
    promised = Promised(what=tale["promise"], whom=last["whom"], until_on=tale["promise_until"],
                        promised_on=f"{tale['taken_on']}", lot="", machine="")  # fmt: skip
    settle.promise(shop, spot.lot, spot.machine, kinds, promised, on=tale["taken_on"],
                   **taken)  # fmt: skip
    for one in made.promises:
        settle.promise_kept(shop, one.id, on=tale["loaded_on"], **loaded)
    question = BuyerAsked(whom=last["whom"], asked_on=f"{tale['loaded_on']}", lot="", machine="",
                          question=tale["question"], answer=tale["answer"])  # fmt: skip
    settle.asked(shop, spot.lot, spot.machine, kinds, question, on=tale["loaded_on"],
                 **loaded)  # fmt: skip


def _checked(story: Story, pdf: bytes, file: bytes) -> tuple[Checked, Checked, Checked]:
    """The paper and the file as they are; the file with one byte changed."""

    def reprint(told: Mapping[str, Any], pictures: Mapping[str, bytes], paper: str) -> bytes:
        return story.house.printer.condition(told, pictures, letter=paper != "a4")

    at = file.index(CHANGED) + len(CHANGED) - 2
    changed = file[:at] + bytes([file[at] ^ 1]) + file[at + 1 :]
    edition = print_edition(__version__)
    return (
        settle.check(pdf, shop=story.shop, reprint=reprint, edition=edition),
        settle.check(file, shop=story.shop, edition=edition),
        settle.check(changed, shop=story.shop, edition=edition),
    )


def closing(story: Story) -> Closed:
    """Close both machines: the mill keeps working, the lathe is sold.

    Parameters
    ----------
    story : Story
        With the lathe sold.

    Returns
    -------
    Closed
    """
    shop, kinds = story.shop, story.house.kinds()
    made = []
    for one in story.told["close"]:
        settle.close(shop, story.lot, one["machine"], one["end"], kinds, on=one["on"],
                     changes=one["changes"], **story.hand(at=evening_of(one["on"])))  # fmt: skip
        made.append(settle.closing(shop, story.lot, one["machine"], kinds, on=one["on"]))
    return Closed(tuple(made), settle.share(shop))
