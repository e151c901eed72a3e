"""What the book says: its lines, what stands where, what is still to be placed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

LineState = Literal["posted", "expected"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BookShare:
    """What a line puts on one machine.

    Attributes
    ----------
    machine : str
        Key: id of its first record; empty: nobody's, the shop's.
    machine_name : str
    amount : Decimal
        In the shop's currency, after the tax that comes back; + costs, - brings.
    """

    machine: str
    machine_name: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class BookLine:
    """One line in the book, as it counts.

    Attributes
    ----------
    id : str
        Id of its first record; of an expected line its source.
    currency : str
        Of the paper; ``amount`` (gross), ``net``, ``tax`` and ``tax_back`` (what comes back of
        it) are in it.
    rate : Decimal or None
        Shop's currency for one unit of it; None: it is the shop's own, or no rate is known.
    rate_on : str
        ISO date that rate is of; empty where there is none.
    in_shop : Decimal
        What it costs in the shop's currency; it is the sum of its shares.
    machine : str
        Key of the one it is for alone; empty: it is shared, or the shop's.
    shares : tuple of BookShare
    state : str
        posted; expected: known from an outcome, an order or a hire, and not yet posted.
    tax_rate : Decimal or None
        The share that was said; None: no tax was said, and it counts as paid.
    source : str
        What it was made from: outcome:ID, out:ID, hire:NAME:DAY, bank:HASH.
    of : str
        First id of the line it belongs to: what was returned, whose deposit came back, what was
        owed.
    split_words : str
        How a shared line was split, in a sentence; empty: it is one machine's.
    brings : bool
        It is a sale, or undoes one, and no cost.
    missing_rate : bool
        No rate leads to the shop's currency: it counts with nothing until there is one.
    """

    id: str
    posted_on: str
    sort: str
    what: str
    whom: str = ""
    currency: str
    amount: Decimal
    net: Decimal
    tax: Decimal
    tax_back: Decimal
    rate: Decimal | None = None
    rate_on: str = ""
    in_shop: Decimal
    lot: str = ""
    lot_name: str = ""
    machine: str = ""
    bucket: str = ""
    line: str = ""
    shares: tuple[BookShare, ...] = ()
    state: LineState = "posted"
    receipt: str | None = None
    source: str = ""
    paid_from: str = "bank"
    seq: int = 0
    of: str = ""
    split_words: str = ""
    missing_rate: bool = False
    brings: bool = False
    into_amount: Decimal | None = None
    into_currency: str = ""
    text: str = ""
    tax_rate: Decimal | None = None
    tax_scheme: str = ""

    @property
    def tax_unsaid(self) -> bool:
        """Whether it is expected of an order or a hire, and nobody said the tax in it.

        A seller in private shows no tax; whether his auctioneer's premium holds any is not told.
        """
        premium = self.source.startswith("outcome:") and self.source.endswith(":premium")
        by_order = self.source.startswith(("out:", "hire:")) or (
            premium and self.tax_scheme == "private"
        )
        return (
            self.state == "expected"
            and self.sort == "bought"
            and by_order
            and (self.tax_rate is None)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class AccountRow:
    """What stands in one place, in one currency.

    Attributes
    ----------
    account : str
        bank, cash, card, own_pocket, owed, owed_us, deposits, tax_back, tax_due, exchange,
        cost:KEY of a machine, sales:KEY; an empty key is the shop's.
    words : str
        The same for a reader, so that the amount beside it needs no sign.
    amount : Decimal
        + is there, or was spent on; - went out, or is owed, or was taken for.
    """

    account: str
    words: str
    currency: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Book:
    """The book on a day.

    Attributes
    ----------
    currency : str
        Of the shop.
    lines : tuple of BookLine
        Newest first; expected ones among them.
    accounts : tuple of AccountRow
        Of what is posted, over the whole book, whatever lines are shown.
    balanced : bool
        Whether what stands where sums to nothing in every currency.
    by_bucket : mapping of bucket to Decimal
        Of the lines that are shown, in the shop's currency; an empty key is not yet
        placed, brought is what was sold.
    unplaced : int
        Lines without a bucket.
    closed_until : str
        ISO date; empty: nothing is closed.
    missing_rates : tuple of (currency, ISO date)
    doubts : tuple of str
        Where the book says otherwise than what it was made from, in sentences.
    lot : str
        Id of the one that is shown; empty: every one.
    keys : frozenset of str
        Machines that sums are of; empty: whole lines.
    """

    currency: str
    lines: tuple[BookLine, ...] = ()
    accounts: tuple[AccountRow, ...] = ()
    balanced: bool = True
    by_bucket: Mapping[str, Decimal] = field(default_factory=dict)
    unplaced: int = 0
    closed_until: str = ""
    missing_rates: tuple[tuple[str, str], ...] = ()
    doubts: tuple[str, ...] = ()
    lot: str = ""
    keys: frozenset[str] = frozenset()

    def counted(self, line: BookLine) -> Decimal:
        """What a line counts with in the sums of what is shown, in the shop's currency."""
        if not self.keys:
            return line.in_shop
        nobodys = bool(self.lot) and line.lot == self.lot
        return sum(
            (
                one.amount
                for one in line.shares
                if one.machine in self.keys or (nobodys and not one.machine)
            ),
            Decimal(0),
        )

    @property
    def expected_cost(self) -> Decimal:
        """What the expected lines cost, in the shop's currency: known, and not posted yet."""
        waits = (line for line in self.lines if line.state == "expected" and not line.brings)
        return sum((self.counted(line) for line in waits), Decimal(0))

    def on_machine(self, key: str) -> Decimal:
        """What the lines put on one machine, in the shop's currency."""
        shares = (share for line in self.lines for share in line.shares if share.machine == key)
        return sum((share.amount for share in shares), Decimal(0))
