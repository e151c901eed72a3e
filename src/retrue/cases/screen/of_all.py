"""What was taken for every lot of a catalogue as nobody said it, and what the file says of it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.assume import settle
from retrue.cases.bidding import RIVALS
from retrue.cases.case import LotCase
from retrue.cases.screen.listing import ListedLot, Listing
from retrue.kinds.library import Kind
from retrue.records.facts import Terms

Field = Literal["premium", "tax", "removal"]

SHARE = re.compile(r"(\d{1,2}(?:[.,]\d{1,2})?) ?(?:%|procent|prozent|percent|per cent|pct)")
DAYS = re.compile(r"(\d{1,3}) ?(?:\w+ )?\w*(?:days?|dagen|tagen?|jours|giorni|dias)\b")
CLAUSE = re.compile(r"[,;|]\s|\.\s|\s[-\u2013]\s")
WORDS: tuple[tuple[Field, re.Pattern[str], re.Pattern[str]], ...] = (
    ("premium", re.compile(r"premium|opgeld|veilingkost|aufgeld|aufpreis|frais|diritti|prima\b"),
     SHARE),
    ("tax", re.compile(r"\b(?:tax|vat|btw|mwst|ust|tva|iva|moms)\b|belasting|steuer"), SHARE),
    ("removal", re.compile(r"removal|removed|collect|afhal|ophal|abhol|abbau|enlev|ritiro|retirad"),
     DAYS),
)  # fmt: skip
"""Words of six languages; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenForAll:
    """One thing nobody said, and what was taken.

    Attributes
    ----------
    field, value : str
        In words.
    lots : int
        How many lots it was taken for.
    """

    field: str
    value: str
    lots: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidOfAll:
    """A line of the file that says something of the whole sale, and was not read.

    Attributes
    ----------
    line : int
    text : str
        The whole line.
    field : str
        premium, tax, removal.
    value : float
        As it would be typed: a share, or days.
    """

    line: int
    text: str
    field: Field
    value: float


def taken_for_all(listing: Listing, kinds: Mapping[str, Kind]) -> tuple[TakenForAll, ...]:
    """What was taken as nobody said it, of the sale, the shop and what no lot says.

    Parameters
    ----------
    listing : Listing
    kinds : mapping of kind id to Kind

    Returns
    -------
    tuple of TakenForAll
        In the order of a sheet, the sale first; what each lot leaves open by itself, its age and
        its price, stands with the lot.

    Examples
    --------
    >>> empty = Listing(name="a", currencies=(), columns=(), lots=(), others=())
    >>> taken_for_all(empty, {})
    ()
    """
    counts: Counter[tuple[str, str]] = Counter()
    told: dict[tuple[Terms, str], tuple[tuple[str, str], ...]] = {}
    for case in (lot.case for lot in listing.lots if lot.case is not None):
        terms = _bare(case.terms)
        key = terms, case.lot.currency
        if key not in told:
            told[key] = tuple(_of_terms(case, terms))
        counts.update(told[key])
        counts.update(_of_machines(case))
        counts.update(_of_work(case, kinds))
    return tuple(
        TakenForAll(field=field, value=value, lots=lots) for (field, value), lots in counts.items()
    )


def _bare(terms: Terms) -> Terms:
    """Terms without what is the lot's own."""
    return replace(terms, lot="", asking=Decimal(1), bid_now=None, closes_at=None, removal_by=None)


def _of_terms(case: LotCase, terms: Terms) -> Iterator[tuple[str, str]]:
    sales = {
        "ascending": say("an auction in steps"), "sealed": say("one sealed bid"),
        "offer": say("an offer may be made"), "fixed_price": say("the price asked, or nothing"),
    }  # fmt: skip
    yield say("how it is sold"), sales[terms.sale]
    if terms.rivals is None and terms.sale in ("ascending", "sealed"):
        yield say("others who bid"), say("{count} (judgement)", count=number(RIVALS))
    bare = replace(case, machines=(), terms=terms)
    for row in settle(bare, {}).assumed:
        yield row.field, row.value


def _of_machines(case: LotCase) -> Iterator[tuple[str, str]]:
    """Once a lot: what its line says of none of its machines, but for the age."""
    if any(one.new_price is None for one in case.machines):
        yield say("price of a comparable new one"), say("the range of its type")
    if any(one.tooling is None for one in case.machines):
        yield say("holders, jaws and vices"), say("some")


def _of_work(case: LotCase, kinds: Mapping[str, Kind]) -> Iterator[tuple[str, str]]:
    for id in dict.fromkeys(machine.kind for machine in case.machines):
        kind = kinds.get(id)
        if kind is None:
            continue
        if not case.needs:
            yield (
                say("what it must do: {kind}", kind=kind.name),
                say("ordinary work, 200 h a year, bought in at 45 an hour now"),
            )
        if not any(one.kind == id for one in case.alternatives):
            yield (
                say("what else would do: {kind}", kind=kind.name),
                say("a proven used one, a new one, or buying the work in"),
            )


def no_work_known(listing: Listing) -> bool:
    """Whether nobody said any work that a machine of this catalogue must do.

    Parameters
    ----------
    listing : Listing

    Returns
    -------
    bool
        False where nothing in it is a machine.

    Examples
    --------
    >>> empty = Listing(name="a", currencies=(), columns=(), lots=(), others=())
    >>> no_work_known(empty)
    False
    """
    cases = [lot.case for lot in listing.lots if lot.case is not None]
    return bool(cases) and not any(case.needs for case in cases)


def starts_above(listed: ListedLot, walk_away: float | None) -> float | None:
    """What has to be bid at least, where that is above the price not to go above.

    Parameters
    ----------
    listed : ListedLot
    walk_away : float or None
        In the lot's currency.

    Returns
    -------
    float or None
        In the lot's currency; None where it is not above, or nobody said it.

    Examples
    --------
    >>> cabinet = ListedLot(number="7", line=8, title="cabinet", case=None, why="is no machine",
    ...     kinds=(), stand_in=False, said=(), gaps=())
    >>> starts_above(cabinet, None) is None
    True
    """
    if listed.case is None or not walk_away:
        return None
    terms = listed.case.terms
    if terms.sale == "offer":  # a seller may give way
        return None
    least = [float(one) for one in (terms.asking, terms.bid_now) if one is not None]
    return max(least) if least and max(least) > walk_away else None


def said_of_all(listing: Listing) -> tuple[SaidOfAll, ...]:
    """Lines of the file that name a premium, a tax or a removal nobody has typed.

    Parameters
    ----------
    listing : Listing

    Returns
    -------
    tuple of SaidOfAll
        By line; the number is the first after the word, else before it, in the same clause.
        A line without one is no such line.

    Examples
    --------
    >>> from retrue.cases.screen.listing import OtherLine
    >>> text = "Premium 16 %, tax 21 % comes back, removal within 15 days"
    >>> above = OtherLine(line=2, text=text, why="it stands above the heading")
    >>> empty = Listing(name="a", currencies=(), columns=(), lots=(), others=(above,))
    >>> [(one.field, one.value) for one in said_of_all(empty)]
    [('premium', 0.16), ('tax', 0.21), ('removal', 15.0)]
    """
    unsaid = _unsaid(listing)
    return tuple(
        SaidOfAll(line=other.line, text=other.text, field=field, value=value)
        for other in listing.others
        for field, value in _told(other.text.casefold())
        if field in unsaid
    )


def _unsaid(listing: Listing) -> frozenset[Field]:
    """What is open for at least one lot; all, where there is none."""
    terms = [lot.case.terms for lot in listing.lots if lot.case is not None]
    if not terms:
        return frozenset({"premium", "tax", "removal"})
    named = {
        "premium": any(one.premium is None for one in terms),
        "tax": any(one.tax_reclaimable is None and one.tax_scheme is None for one in terms),
        "removal": any(one.removal_days is None and one.removal_by is None for one in terms),
    }
    fields: tuple[Field, ...] = ("premium", "tax", "removal")
    return frozenset(field for field in fields if named[field])


def _told(text: str) -> Iterator[tuple[Field, float]]:
    for field, word, figure in WORDS:
        for clause in CLAUSE.split(text):
            found = word.search(clause)
            seen = None if found is None else _nearest(figure, clause, found)
            if seen is not None:
                value = float(seen[1].replace(",", "."))
                yield field, round(value / 100.0, 4) if figure is SHARE else value
                break


def _nearest(figure: re.Pattern[str], clause: str, word: re.Match[str]) -> re.Match[str] | None:
    after = figure.search(clause, word.end())
    before = [*figure.finditer(clause, 0, word.start())]
    return after or (before[-1] if before else None)
