"""The demo's money: the book from the first euro, own hours, what it cost, was it worth it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from retrue.cases.fix.outs import outs_of
from retrue.cases.settle.bring import Wanted
from retrue.cases.settle.bring_lines import Choices, Preview
from retrue.cases.settle.cost_lines import CostView
from retrue.cases.settle.evening import Evening
from retrue.cases.settle.lines import Book
from retrue.cases.settle.rate_lines import HourRateView
from retrue.cases.settle.versus_lines import VersusView
from retrue.cases.spot import Spot
from retrue.cases.spot import find as spot_of
from retrue.cli.demo_days import SUMMER, example
from retrue.cli.house import House
from retrue.phases import find, fix, settle, worth
from retrue.records.facts import Alternative, Finding
from retrue.records.fixing import OutEnded
from retrue.records.hand import Hand
from retrue.records.seeking import Act
from retrue.records.settling import HoursTold, Posting
from retrue.records.shop import RecordShop

FOLDER = "settle"
FILE = "posts.toml"
TAX = Decimal("0.21")
EVENING = time(20)
TRACE_APART = timedelta(minutes=45)
WEEK = timedelta(days=7)
WORLDS = 1000


@dataclass(frozen=True, slots=True)
class Books:
    """The book of the story and what was read out of it.

    Attributes
    ----------
    walk_away, won_for : Decimal
        The frozen hammer price, and the one it went for.
    added, took, again : int
        Rows of the bank's file that were kept, those of them that pay a line known before, and
        rows that the same file adds when it is read a second time.
    evening : Evening
        The one that was answered, as it was guessed.
    evening_at : str
        The machine it was worked at.
    costs : tuple of CostView
        Of both machines.
    """

    currency: str
    walk_away: Decimal
    won_for: Decimal
    rows: int
    added: int
    took: int
    again: int
    book: Book
    evening: Evening
    evening_at: str
    costs: tuple[CostView, ...]
    rate: HourRateView
    versus: VersusView


@dataclass(frozen=True, slots=True)
class Story:
    """The lot as it was won, and the file that tells what happened to it."""

    house: House
    shop: RecordShop
    lot: str
    told: Mapping[str, Any]
    worlds: int

    @property
    def on(self) -> date:
        """The day on which the bank's file is read and everything is reckoned."""
        day: date = self.told["read_on"]
        return day

    def hand(self, who: str = "An", at: datetime | None = None) -> Hand:
        """Whose hand, and when: the evening on which the bank's file is read, if not told."""
        return {"by": who, "device": "phone", "observed_at": at or evening_of(self.on)}

    def file(self, name: str) -> bytes:
        """A file of the example."""
        return example(self.house, f"{FOLDER}/{name}")

    def spot(self, machine: str) -> Spot:
        """One of the two machines."""
        return spot_of(self.shop, self.lot, machine, self.house.kinds())


def evening_of(day: date | str) -> datetime:
    """The evening of a day of the story.

    Parameters
    ----------
    day : date or str
        As ISO text, or as it is.

    Returns
    -------
    datetime

    Examples
    --------
    >>> evening_of("2027-07-02").isoformat()
    '2027-07-02T20:00:00+02:00'
    """
    on = date.fromisoformat(day) if isinstance(day, str) else day
    return datetime.combine(on, EVENING, SUMMER)


def story_of(house: House, shop: RecordShop, lot: str) -> Story:
    """The story of one lot.

    Parameters
    ----------
    house : House
    shop : RecordShop
        With the lot in it, its number frozen.
    lot : str
        By name.

    Returns
    -------
    Story
    """
    tale = tomllib.loads(example(house, f"{FOLDER}/{FILE}").decode())
    return Story(house, shop, lot, tale, WORLDS)


def keeping(story: Story) -> Books:
    """Win the lot, keep its book and its hours, reckon.

    Parameters
    ----------
    story : Story

    Returns
    -------
    Books
    """
    shop, told, kinds = story.shop, story.told, story.house.kinds()
    frozen = worth.frozen(shop, story.lot)
    assert frozen is not None
    won = Decimal(told["won_for"])
    worth.outcome(shop, story.lot, "won", amount=won, **story.hand(at=told["won_at"]))
    settle.import_rates(shop, story.file("rates.csv"), "rates.csv", on=story.on, **story.hand())
    _cylinder(story)
    _invoices(story, _ordered(story))
    _typed(story)
    first, kept = _bank(story)
    _, again = _bank(story)
    _worked(story)
    evening = _evening(story)
    _hours(story)
    _other(story)
    asked: dict[str, Any] = {"on": story.on, "worlds": story.worlds}
    took = sum(bool(row.taking) for row in first.rows)
    return Books(
        first.currency, frozen.fact.hammer, won, len(first.rows), kept, took, again,
        settle.book(shop, on=story.on), evening, told["evening"]["machine"],
        tuple(settle.cost(shop, story.lot, name, kinds, **asked) for name in ("mill", "lathe")),
        settle.rate(shop, story.lot, "mill", kinds, **asked),
        settle.versus(shop, story.lot, "mill", kinds, **asked),
    )  # fmt: skip


def _cylinder(story: Story) -> None:
    """The deposit for what was sent out goes into the book; then it comes back."""
    told = dict(story.told["came_back"])
    lot = story.spot("lathe").lot
    one = next(one for one in outs_of(story.shop, lot) if one.out.what == told["what"])
    paid = settle.expected_posting(story.shop, f"out:{one.first.id}:deposit", on=story.on)
    settle.post(story.shop, replace(paid, paid_from="bank"), on=story.on,
                **story.hand(at=evening_of(paid.posted_on)))  # fmt: skip
    ended = OutEnded(lot=lot, out=one.first.id, how="back", judged="good",
                     ended_on=told["ended_on"], paid=Decimal(told["paid"]),
                     deposit_back=told["deposit_back"])  # fmt: skip
    fix.back(story.shop, one.first.id, ended, story.house.kinds(),
             **story.hand(at=evening_of(told["ended_on"])))  # fmt: skip


def _ordered(story: Story) -> Mapping[str, str]:
    """What was ordered is here; by its line what its invoice stands for."""
    told, lot = story.told["arrived"], story.spot("lathe").lot
    one = next(one for one in outs_of(story.shop, lot) if one.out.line == told["line"])
    ended = OutEnded(lot=lot, out=one.first.id, how="back", judged="good",
                     ended_on=told["ended_on"])  # fmt: skip
    fix.back(story.shop, one.first.id, ended, story.house.kinds(),
             **story.hand(at=evening_of(told["ended_on"])))  # fmt: skip
    return {one.out.line: f"out:{one.first.id}"}


def _invoices(story: Story, sources: Mapping[str, str]) -> None:
    """Invoices as they came: what is owed until the bank's file pays it."""
    for day, whom, what, amount, machine, bucket, line in story.told["invoices"]:
        invoice = Posting(
            sort="bought", posted_on=day, what=what, whom=whom, amount=Decimal(amount),
            tax_rate=TAX, tax_in=False, lot=story.lot, machine=machine or None, bucket=bucket,
            line=line, paid_from="owed", source=sources.get(line, ""),
        )  # fmt: skip
        settle.post(story.shop, invoice, on=story.on,
                    **story.hand(at=evening_of(day)))  # fmt: skip


def _typed(story: Story) -> None:
    """Lines typed by hand: with its receipt, bought of somebody private, moved, a deposit."""
    for row in story.told["typed"]:
        fields = {**row, "amount": Decimal(row["amount"])}
        hand = story.hand(at=evening_of(row["posted_on"]))
        back_on, receipt = fields.pop("back_on", None), fields.pop("receipt", None)
        if "tax_rate" in fields:
            fields["tax_rate"] = Decimal(fields["tax_rate"])
        if receipt is not None:
            kept = settle.keep_receipt(story.shop, story.file(receipt), receipt,
                                       story.house.prove, **hand)  # fmt: skip
            fields["receipt"] = kept.fact.sha256
        line = Posting(lot=story.lot, **fields)
        made = settle.post(story.shop, line, on=story.on, **hand)
        if back_on is not None:
            back = replace(made.fact, sort="deposit_back", posted_on=back_on, of=made.id)
            settle.post(story.shop, back, on=story.on,
                        **story.hand(at=evening_of(back_on)))  # fmt: skip


def _bank(story: Story) -> tuple[Preview, int]:
    """Read the bank's file and keep it; how many lines the book had more afterwards."""
    kinds, name = story.house.kinds(), "bank.csv"
    preview = settle.read_import(story.shop, story.file(name), name, kinds, on=story.on,
                                 wanted=Wanted(lot=story.lot))  # fmt: skip
    choices = Choices(
        deeds={row.number: "take" for row in preview.rows if row.taking},
        buckets={int(row): bucket for row, bucket in story.told["buckets"].items()},
    )
    kept = settle.keep_import(story.shop, preview, choices, on=story.on, **story.hand())
    return preview, len(kept)


def _worked(story: Story) -> None:
    """Jobs that were done, faults that were put right, faults that were not there."""
    shop, kinds = story.shop, story.house.kinds()
    for row in story.told["worked"]:
        spot, hand = story.spot(row["machine"]), story.hand(at=row["at"])
        here: dict[str, Any] = {"lot": spot.lot, "machine": spot.machine}
        opened = [(fault, "present") for fault, _ in row["cured"]]
        opened += [(fault, "absent") for fault in row["absent"]]
        seen = [
            Finding(fault=fault, answer=answer, grade=3, channel="apart", **here)
            for fault, answer in opened
        ]
        worth.keep_findings(shop, spot.lot, seen, kinds, quietly=True, **hand)
        for job in row["jobs"]:
            find.did(shop, spot.lot, spot.machine, Act(sort="clean", job=job, **here), kinds,
                     **hand)  # fmt: skip
        for fault, way in row["cured"]:
            put_right = Act(sort="repair", fault=fault, way=way, **here)
            find.did(shop, spot.lot, spot.machine, put_right, kinds, **hand)


def _evening(story: Story) -> Evening:
    """Work through an evening, then say yes to the guess."""
    told, shop, kinds = story.told["evening"], story.shop, story.house.kinds()
    spot, at = story.spot(told["machine"]), told["begins"]
    for job in told["jobs"]:
        done = Act(lot=spot.lot, machine=spot.machine, sort="clean", job=job)
        find.did(shop, spot.lot, spot.machine, done, kinds, **story.hand(told["who"], at))
        at += TRACE_APART
    day = story.told["answered_on"]
    view = settle.hours(shop, kinds, on=day, lot=spot.lot, wall=_wall)
    evening = next(one for one in view.guesses if one.worked_on == f"{told['begins']:%Y-%m-%d}")
    now = datetime(day.year, day.month, day.day, 8, tzinfo=SUMMER)
    settle.answer(shop, evening.key, "yes", now=now, wall=_wall,
                  **story.hand(told["who"], now))  # fmt: skip
    return evening


def _wall(moment: datetime) -> datetime:
    return moment.astimezone(SUMMER)


def _hours(story: Story) -> None:
    """Own hours typed once a week."""
    now = datetime(story.on.year, story.on.month, story.on.day, 8, tzinfo=SUMMER)
    for row in story.told["hours"]:
        for week in range(row["weeks"]):
            told = HoursTold(
                lot=story.lot, machine=row["machine"], hours=row["hours"], worker=row["who"],
                worked_on=(row["first"] + week * WEEK).isoformat(),
            )  # fmt: skip
            settle.tell_hours(story.shop, told, story.house.kinds(), now=now, wall=_wall,
                              **story.hand(row["who"], evening_of(told.worked_on)))  # fmt: skip


def _other(story: Story) -> None:
    """What a new one would be: held against beside the others."""
    row = story.told["new"]
    prices = tuple(Decimal(one) for one in row["price"])
    assert len(prices) == 3
    other = Alternative(**(row | {"price": prices}))
    worth.keep_alternative(story.shop, other, **story.hand())
