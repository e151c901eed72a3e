"""Rows of a bank file or a parts list as movements of money: read whole, or named."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from retrue.base.currencies import known_code, minor_units, step
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.bring_amounts import SYMBOLS, Amount, DecimalMark, amount_of
from retrue.cases.settle.bring_columns import COUNTED, FileKind
from retrue.cases.settle.bring_days import DayOrder, day_of_cell
from retrue.cases.settle.bring_sheet import Line, Sheet
from retrue.cases.settle.bring_tax import tax_share
from retrue.cases.settle.bring_words import (
    IN_WORDS,
    OUT_WORDS,
    TOTALS,
    plain,
)
from retrue.records.settling_rules import LONGEST_NAME, LONGEST_TEXT

Unsigned = Literal["out", "in"]
NOISE = 9  # decimals that a spreadsheet's own sums end in and nobody wrote
MOVING = COUNTED - {"balance"}
CENT_OFF = Decimal("0.02")  # a total may differ so much from quantity times price by rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How the cells of a table are read.

    Attributes
    ----------
    kind : str
        bank, or parts.
    at : mapping of str to int
        Place of each role.
    decimal, dates : str
    unsigned : int
        What an amount without a sign is: -1 out, 1 in.
    home : str
        Currency where a row says none.
    account : str
        Own account, as the owner named it.
    on : str
        ISO date of a row that has none: only a parts list may.
    tax_in : bool
        Whether amounts hold the tax.
    taxes : bool
        Whether the column of tax holds per cent.
    """

    kind: FileKind
    at: Mapping[str, int]
    decimal: DecimalMark
    dates: DayOrder | Literal[""]
    unsigned: int = 1
    home: str = "EUR"
    account: str = ""
    on: str = ""
    tax_in: bool = True
    taxes: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One row, read.

    Attributes
    ----------
    number : int
        Line of the file.
    skipped : str
        Why it is no payment; empty: it is one.
    problems : tuple of Problem
        What was not understood; where there is any, nothing else is to be relied on.
    day : str
        ISO date.
    amount : Decimal
        0 or more.
    sign : int
        -1 out, 1 in.
    key : str
        What the row says, by which it is known in another file.
    """

    number: int
    skipped: str = ""
    problems: tuple[Problem, ...] = ()
    day: str = ""
    amount: Decimal = Decimal(0)
    sign: int = -1
    currency: str = ""
    whom: str = ""
    what: str = ""
    reference: str = ""
    machine: str = ""
    units: float | None = None
    tax_rate: Decimal | None = None
    tax_in: bool = True
    guessed: tuple[str, ...] = ()
    key: str = ""


@dataclass(slots=True)
class _Row:
    """A row while it is read."""

    line: Line
    how: Reading
    problems: list[Problem] = field(default_factory=list)
    guessed: list[str] = field(default_factory=list)

    def text(self, role: str) -> str:
        """A cell; empty where there is no such column."""
        at = self.how.at.get(role)
        return "" if at is None else self.line.cell(at)

    def wrong(self, what: str, remedy: str) -> None:
        """Name the row."""
        self.problems.append(Problem(say("line {number}", number=self.line.number), what, remedy))

    def amount(self, role: str) -> Amount | None:
        """A cell as an amount; None: it is empty, or named."""
        cell = self.text(role)
        if not cell:
            return None
        try:
            return amount_of(cell, self.how.decimal)
        except ValueError as why:
            self.wrong(str(why), say("Correct it in the file, or leave the row out."))
            return None

    def day(self) -> str:
        """The day of the row, or of the list."""
        cell = self.text("date") or self.text("value_date")
        if not cell and self.how.on:
            return self.how.on
        try:
            return day_of_cell(cell, self.how.dates).isoformat()
        except ValueError as why:
            self.wrong(str(why), say("Write it as 2026-11-25."))
            return ""


def moves_of(sheet: Sheet, how: Reading) -> list[Move]:
    """Every row of a table as a movement of money.

    Parameters
    ----------
    sheet : Sheet
    how : Reading

    Returns
    -------
    list of Move
        One for each row, in their order.

    Examples
    --------
    >>> sheet = Sheet("bank.csv", ";", "utf-8", Line(1, ("day", "sum")),
    ...               (Line(2, ("03/11/2026", "-12,50")),))
    >>> how = Reading(kind="bank", at={"date": 0, "amount": 1}, decimal="comma", dates="day")
    >>> (move,) = moves_of(sheet, how)
    >>> move.day, move.amount, move.sign
    ('2026-11-03', Decimal('12.50'), -1)
    """
    return [_move(_Row(line, how)) for line in sheet.rows]


def _move(row: _Row) -> Move:
    skipped = _skipped(row)
    if skipped:
        return Move(number=row.line.number, skipped=skipped)
    day = row.day()
    found = _banked(row) if row.how.kind == "bank" else _listed(row)
    currency = _currency(row, found.currency if found else "")
    if found is not None and not row.problems:
        found = _to_coin(row, found, currency)
    if row.problems or found is None:
        return Move(number=row.line.number, problems=tuple(row.problems))
    return _whole(row, day, found, currency)


def _whole(row: _Row, day: str, found: Amount, currency: str) -> Move:
    whom, what, reference = (_text(row.text(role)) for role in ("whom", "what", "reference"))
    sign = found.sign or row.how.unsigned
    said = (whom, reference) if whom or reference else (what, "")
    if row.how.kind == "parts":
        said = (whom, "\n".join((reference, what, row.text("machine"), row.text("quantity"))))
    dated = day if row.text("date") or row.text("value_date") else ""
    key = (row.how.kind, plain(row.how.account or row.text("account")), dated,
           format((found.value * sign).normalize(), "f"), currency, *map(plain, said))  # fmt: skip
    whom, what, reference = _fitted(whom, what, reference)
    return Move(
        number=row.line.number, day=day, amount=found.value, sign=sign, currency=currency,
        whom=whom, what=what, reference=reference, machine=row.text("machine"),
        units=_units(row), tax_rate=_tax(row), tax_in=row.how.tax_in,
        guessed=tuple(row.guessed), key="\n".join(key),
    )  # fmt: skip


def _fitted(whom: str, what: str, reference: str) -> tuple[str, str, str]:
    """Words no longer than the book keeps them; what is cut stands whole in the last."""
    cut = [part for part in (whom, what) if len(part) > LONGEST_NAME]
    if not whom and not what and len(reference) > LONGEST_NAME:
        what = reference
    rest = " ".join((*cut, reference)).strip()
    return _shown(whom, LONGEST_NAME), _shown(what, LONGEST_NAME), _shown(rest, LONGEST_TEXT)


def _shown(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def _text(cell: str) -> str:
    """A text that can be kept: what is no letter, mark or blank is a blank."""
    if cell.isprintable():
        return cell
    return " ".join("".join(c if c.isprintable() else " " for c in cell).split())


def _skipped(row: _Row) -> str:
    """Why a row is no payment: a line of totals, a line that goes on from the one above."""
    dated = row.text("date") or row.text("value_date")
    if dated[:1].isdigit():
        return ""
    first = plain(next(cell for cell in row.line.cells if cell))
    begins = any(first == word or first.startswith(f"{word} ") for word in TOTALS)
    counted = row.how.kind == "parts" and row.text("quantity")
    if begins and plain(dated) in ("", first) and not counted:
        return say("a line of totals")
    if not dated and not any(row.text(role) for role in MOVING):
        return say("has neither a day nor an amount")
    return ""


def _banked(row: _Row) -> Amount | None:
    """What moved by a row of a bank file, with its sign."""
    if "amount" in row.how.at:
        return _signed(row, row.amount("amount"))
    out, come = row.amount("out"), row.amount("in")
    if row.problems:
        return None
    if out is not None and come is not None and out.value and come.value:
        row.wrong(
            say("money goes out and comes in in one row"), say("Write it as two rows, or one sum.")
        )
        return None
    if out is not None and out.value:
        return Amount(out.value, -1, out.currency)
    if come is not None and come.value:
        return Amount(come.value, -1 if come.sign < 0 else 1, come.currency)
    row.wrong(say("no amount is given"), say("Fill it in, or leave the row out."))
    return None


def _signed(row: _Row, found: Amount | None) -> Amount | None:
    if found is None:
        if not row.problems:
            row.wrong(say("no amount is given"), say("Fill it in, or leave the row out."))
        return None
    if not found.value:
        row.wrong(say("the amount is nothing"), say("Leave the row out."))
        return None
    word = row.text("sign").casefold().strip(" .")
    if not word:
        return found
    said = -1 if word in OUT_WORDS else 1 if word in IN_WORDS else 0
    if not said:
        row.wrong(
            say("{word} is no sign", word=f"“{row.text('sign')[:20]}”"),
            say("Write debit or credit."),
        )
        return None
    if found.sign == -said:
        row.wrong(say("the amount and its sign disagree"), say("Leave one of the two out."))
        return None
    return Amount(found.value, said, found.currency)


def _listed(row: _Row) -> Amount | None:
    """What a row of a parts list costs: its total, else quantity times price."""
    count, price, total = (row.amount(one) for one in ("quantity", "unit_price", "total"))
    if row.problems:
        return None
    if not row.text("what"):
        row.wrong(say("what it is is not said"), say("Fill it in, or leave the row out."))
        return None
    if total is None and price is None:
        row.wrong(say("no amount is given"), say("Fill it in, or leave the row out."))
        return None
    product = None if price is None else price.value * (count.value if count else Decimal(1))
    if total is None:
        assert product is not None
        assert price is not None
        back = price.sign < 0 or (count is not None and count.sign < 0)
        return _costs(row, Amount(product, -1 if back else 0, price.currency), computed=True)
    if product is not None and count is not None and abs(product - total.value) > CENT_OFF:
        row.guessed.append(
            say("the total counts, not {count} times {price}",
                count=row.text("quantity"), price=row.text("unit_price"))
        )  # fmt: skip
    return _costs(row, total)


def _costs(row: _Row, found: Amount, *, computed: bool = False) -> Amount | None:
    """In a list of what was bought a plus goes out and a minus comes back."""
    if not found.value:
        row.wrong(say("the amount is nothing"), say("Leave the row out."))
        return None
    if computed:
        row.guessed.append(say("its amount is quantity times price"))
    return Amount(found.value, 1 if found.sign < 0 else -1, found.currency)


def _to_coin(row: _Row, found: Amount, currency: str) -> Amount:
    """An amount to the smallest coin: sums of a spreadsheet and products are rounded, no other."""
    value = found.value
    coin = step(currency) if currency else Decimal("0.01")
    computed = "total" not in row.how.at or not row.text("total")
    if -int(value.as_tuple().exponent) > NOISE or (row.how.kind == "parts" and computed):
        value = value.quantize(coin, rounding=ROUND_HALF_UP)
    if value != value.quantize(coin, rounding=ROUND_HALF_UP):
        row.wrong(
            say("{amount} has more decimals than {currency} has", amount=value, currency=currency),
            say("Write it with {count} at most.", count=minor_units(currency)),
        )
    elif not value:
        row.wrong(say("the amount is nothing"), say("Leave the row out."))
    if not row.problems:
        value = value.quantize(coin)
    return Amount(value, found.sign, found.currency)


def _currency(row: _Row, beside: str) -> str:
    cell = row.text("currency")
    if not cell:
        return beside or row.how.home
    try:
        code = SYMBOLS.get(cell) or known_code(cell)
    except Unusable as refusal:
        row.wrong(refusal.reason, refusal.remedy)
        return ""
    if beside and beside != code:
        row.wrong(
            say("the amount is in {one}, its column says {two}", one=beside, two=code),
            say("Leave one of the two out."),
        )
    return code


def _units(row: _Row) -> float | None:
    found = row.amount("quantity")
    return float(found.value) if found is not None and found.value else None


def _tax(row: _Row) -> Decimal | None:
    if not row.how.taxes:
        return None
    return tax_share(row.text("tax"), row.how.decimal)
