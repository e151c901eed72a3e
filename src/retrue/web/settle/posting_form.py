"""What a person typed about a line, as a line; and a line as what stands in the form."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, cast

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.settle.book_words import PLACES, SCHEMES, SORTS
from retrue.records.settling import BUCKETS, Posting
from retrue.web.forms import Typed

MONEY = ("bank", "cash", "card", "own_pocket")
TAX_WAYS = ("in", "top")
SPLITS = ("", "value", "equal", "mass")
PLAIN = ("whom", "line", "from_stock", "source", "text")


def posting_of(form: Typed, *, home: str, today: str) -> Posting:
    """A line as it was typed; every problem is gathered before anything is refused.

    Parameters
    ----------
    form : Typed
    home : str
        The shop's currency, where none was typed.
    today : str
        ISO date, where no day was picked.

    Returns
    -------
    Posting
        Lot and machine by their ids.

    Raises
    ------
    Unusable
        A field cannot be read; each is named.
    """
    sort, amount = _one(form, "sort", tuple(SORTS)), form.amount("amount")
    what, lot, machine = form.text("what"), *belongs(form)
    if amount is None and not _named(form, "amount"):
        form.problems.append(Problem("amount", say("is empty"), say("Type what is on the paper.")))
    if not what:
        form.problems.append(Problem("what", say("is empty"), say("Say what it was, in a word.")))
    posted_on = form.day("posted_on") or today
    rate = form.amount("rate")
    said: dict[str, Any] = {name: form.text(name) for name in PLAIN} | {
        "currency": form.text("currency").upper() or home,
        "rate": rate,
        "rate_on": None if rate is None else form.day("rate_on") or posted_on,
        "bucket": _one(form, "bucket", BUCKETS) if form.text("bucket") else "",
        "paid_from": _one(form, "paid_from", tuple(PLACES)) if form.text("paid_from") else "bank",
        "tax_rate": _tax(form),
        "tax_in": form.text("tax_way") != "top",
        "tax_scheme": _one(form, "tax_scheme", tuple(SCHEMES)) if form.text("tax_scheme") else "",
        "tax_reclaimable": form.yes_no("tax_reclaimable"),
        "split": _one(form, "split", SPLITS) if form.text("split") else "",
        "from_machine": form.text("from_machine").partition("|")[2] or None,
        "units": form.real("units"),
        "into_amount": form.amount("into_amount"),
        "into_currency": form.text("into_currency").upper(),
        "into_place": _one(form, "into_place", MONEY) if form.text("into_place") else "",
        "of": form.text("of") or None,
        "receipt": form.text("receipt") or None,
    }
    if said["into_place"] and said["into_amount"] is None and not said["into_currency"]:
        said |= {"into_amount": amount, "into_currency": said["currency"]}
    form.check()
    return Posting(
        sort=cast(Any, sort), posted_on=posted_on, what=what, amount=amount or Decimal(0),
        lot=lot, machine=machine, **said,
    )  # fmt: skip


def belongs(form: Typed) -> tuple[str | None, str | None]:
    """Lot and machine of a form; neither: the shop as a whole."""
    lot, _, machine = form.text("for").partition("|")
    return lot or None, machine or None


def in_form(fact: Posting) -> dict[str, Any]:
    """A line as what stands in the fields of its form.

    Examples
    --------
    >>> line = Posting(sort="bought", posted_on="2026-11-25", what="belts", amount=Decimal("9.50"),
    ...                lot="l", machine="m", tax_rate=Decimal("0.21"))
    >>> told = in_form(line)
    >>> told["for"], told["tax"], told["amount"]
    ('l|m', Decimal('21'), Decimal('9.50'))
    """
    names = ("sort", "posted_on", "what", "amount", "currency", "rate", "rate_on", "bucket",
             "paid_from", "tax_scheme", "split", "units", "into_amount", "into_currency",
             "into_place", "of", "receipt", *PLAIN)  # fmt: skip
    told: dict[str, Any] = {name: getattr(fact, name) for name in names}
    tax = None if fact.tax_rate is None else (fact.tax_rate * 100).normalize()
    return {name: value for name, value in told.items() if value is not None} | {
        "for": f"{fact.lot or ''}|{fact.machine}" if fact.machine else fact.lot or "",
        "from_machine": f"|{fact.from_machine}" if fact.from_machine else "",
        "tax": "" if tax is None else Decimal(f"{tax:f}"),
        "tax_way": "in" if fact.tax_in else "top",
        "tax_reclaimable": {None: "", True: "yes", False: "no"}[fact.tax_reclaimable],
    }


def _one(form: Typed, name: str, known: tuple[str, ...]) -> str:
    value = form.text(name)
    if value not in known or not value:
        form.problems.append(Problem(name, say("is not chosen"), say("Pick one of the list.")))
    return value


def _tax(form: Typed) -> Decimal | None:
    value = form.amount("tax")
    if value is not None and value >= 100:
        what = say("is {value} per cent", value=value)
        form.problems.append(Problem("tax", what, say("Type per cent: 21 for 21 %.")))
        return None
    return None if value is None else value / 100


def _named(form: Typed, name: str) -> bool:
    return any(one.where == name for one in form.problems)
