"""What was taken for every lot of a catalogue as nobody said it, and what is asked for all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.assume import settle
from retrue.cases.bidding import RIVALS
from retrue.cases.case import LotCase
from retrue.cases.screen.listing import ListedLot, Listing, SaidOfSale
from retrue.kinds.library import Kind
from retrue.records.facts import Terms


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


@dataclass(frozen=True, slots=True)
class AskedOfAll:
    """What has to be typed before it counts, for one reason.

    Attributes
    ----------
    lines : tuple of int
    texts : tuple of str
        Those lines.
    why : str
    asked : tuple of SaidOfSale
    """

    lines: tuple[int, ...]
    texts: tuple[str, ...]
    why: str
    asked: tuple[SaidOfSale, ...]


def together(asked: Sequence[SaidOfSale]) -> tuple[AskedOfAll, ...]:
    """What is asked for the same reason, together: two lines that contradict one another.

    Parameters
    ----------
    asked : sequence of SaidOfSale

    Returns
    -------
    tuple of AskedOfAll
        In the order of the first of each.

    Examples
    --------
    >>> one, two = (SaidOfSale(line=line, text=f"Premium {line} %", how="ignored", field="premium",
    ...                        value="", why="they differ", asks=True) for line in (2, 9))
    >>> [told.lines for told in together([one, two])]
    [(2, 9)]
    """
    found: dict[str, list[SaidOfSale]] = {}
    for one in asked:
        found.setdefault(one.why, []).append(one)
    return tuple(
        AskedOfAll(
            tuple(dict.fromkeys(one.line for one in mine)),
            tuple(dict.fromkeys(one.text for one in mine)),
            why,
            tuple(mine),
        )
        for why, mine in found.items()
    )


def asked_of_all(listing: Listing) -> tuple[SaidOfSale, ...]:
    """What lines of the file say of the whole sale and has to be typed before it counts.

    Parameters
    ----------
    listing : Listing

    Returns
    -------
    tuple of SaidOfSale
        By line; only what at least one lot leaves open.

    Examples
    --------
    >>> asked = SaidOfSale(line=2, text="Premium 18 %, online 21 %", how="ignored", field="premium",
    ...                    value="", why="it may be either", asks=True, values=(0.18, 0.21))
    >>> listing = Listing(name="a", currencies=(), columns=(), lots=(), others=(), sale=(asked,))
    >>> [one.values for one in asked_of_all(listing)]
    [(0.18, 0.21)]
    """
    terms = [lot.case.terms for lot in listing.lots if lot.case is not None]
    settled = {
        "premium": all(one.premium is not None for one in terms),
        "removal_days": all(one.removal_days is not None for one in terms),
        "removal_by": all(one.removal_days is not None for one in terms),
    }
    settled["tax_rate"] = all(one.tax_rate is not None for one in terms)
    return tuple(
        one for one in listing.sale if one.asks and not (terms and settled.get(one.field, False))
    )
