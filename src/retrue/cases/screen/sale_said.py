"""What the lines of a file say of the sale as a whole, held against one another. Pure.

It counts for every lot that has none of its own. What the owner typed stands before it; where two
lines contradict one another, neither counts, and the owner is asked.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from retrue.base.say import say
from retrue.cases.screen.cell_ways import Heard, Ways
from retrue.cases.screen.listing import SaidOfSale
from retrue.cases.screen.row import shown
from retrue.cases.screen.sale_asked import Asked
from retrue.cases.screen.sale_currency import THOUSAND
from retrue.cases.screen.sale_lines import SaleLine
from retrue.cases.screen.sale_spoken import Spoken, spoken_in
from retrue.cases.screen.terms import About

REMOVAL = frozenset({"removal_days", "removal_by"})


@dataclass(frozen=True, slots=True)
class _Told:
    """One thing that one line says."""

    line: int
    text: str
    what: Heard | Asked

    @property
    def field(self) -> str:
        return self.what.field

    @property
    def value(self) -> object:
        """What it says; None: it cannot be told."""
        return self.what.value if isinstance(self.what, Heard) else None


def of_the_sale(
    lines: Sequence[SaleLine],
    about: About,
    ways: Ways,
    *,
    heading: str = "",
    closes: bool = False,
) -> tuple[About, tuple[SaidOfSale, ...]]:
    """What lines say of the whole sale.

    Parameters
    ----------
    lines : sequence of SaleLine
    about : About
        As the owner said.
    ways : Ways
        Its year, and which of day and month goes first.
    heading : str
        Currency that a heading of prices names; empty: none does.
    closes : bool
        Whether a column says when lots close.

    Returns
    -------
    About
        With what counts, where the owner said nothing.
    tuple of SaidOfSale
        Every thing that was heard, by line.

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> texts = {1: "Buyer's premium 18 % plus VAT 21 %", 40: "Opgeld 20 %"}
    >>> lines = [SaleLine(number, text, text) for number, text in texts.items()]
    >>> about, said = of_the_sale(lines, About(shop=Shop(), year=2026), Ways(mark=None, year=2026))
    >>> about.premium, about.tax_rate
    (None, 0.21)
    >>> [(one.line, one.field, one.how, one.asks) for one in said]
    ... # doctest: +NORMALIZE_WHITESPACE
    [(1, 'premium', 'ignored', True), (1, 'tax_rate', 'understood', False),
     (40, 'premium', 'ignored', True)]
    """
    told = [
        _Told(one.number, one.text, what)
        for one in lines
        for what in _all(spoken_in(one.words, ways, about.closes_at or ""))
    ]
    said: list[SaidOfSale] = []
    taken: dict[str, Any] = {}
    for field in dict.fromkeys(one.field for one in told):
        mine = [one for one in told if one.field == field]
        before = _typed(field, about)
        if before is None and field == "currency" and heading:
            why = say("a heading says {currency}", currency=heading)
            said += [_left(one, why) for one in mine]
        elif before is not None:
            said += [_left(one, say("you said it yourself")) for one in mine]
        elif why := _against(field, mine, told):
            said += [_asked(one, why) for one in mine]
        else:
            taken[field] = mine[0].value
            since = closes or about.closes_at is not None or field != "removal_by"
            why = (
                "" if since else say("it counts where it is known when the sale closes: type that")
            )
            said += [_taken(one, why) for one in mine]
    order = {(one.line, one.field): place for place, one in enumerate(told)}
    said.sort(key=lambda one: order[one.line, one.field])
    return replace(about, **taken), tuple(said)


def _all(spoken: Spoken) -> Iterator[Heard | Asked]:
    yield from spoken.heard
    yield from spoken.asked


def _typed(field: str, about: About) -> object:
    """What the owner said of it, or of what would say the same."""
    if field == THOUSAND:
        return None
    if field in REMOVAL:
        return about.removal_days if about.removal_by is None else about.removal_by
    if field == "tax_scheme" and about.tax_scheme is None:
        return about.tax_reclaimable
    if field == "tax_reclaimable" and about.tax_reclaimable is None:
        return about.tax_scheme
    value: object = getattr(about, field)
    return value


def _against(field: str, mine: Sequence[_Told], every: Sequence[_Told]) -> str:
    """Why what lines say of one thing does not count; empty: it does."""
    open_one = next((one.what.why for one in mine if isinstance(one.what, Asked)), "")
    lines = sorted({one.line for one in mine})
    if len({one.value for one in mine}) > 1 and len(lines) > 1:
        named = ", ".join(map(str, lines))
        return say("lines {lines} do not say the same", lines=named)
    if len({one.value for one in mine}) > 1:
        return open_one or say("the line says two things of it")
    if field in REMOVAL and {one.field for one in every} >= REMOVAL:
        return say("a day and a number of days are both named")
    if field == "tax_scheme" and any(one.field == "tax_rate" for one in every):
        return say("the file names a rate of tax as well")
    return open_one


def _left(one: _Told, why: str) -> SaidOfSale:
    return SaidOfSale(
        line=one.line, text=one.text, how="ignored", field=one.field, value=_shown(one), why=why
    )


def _asked(one: _Told, why: str) -> SaidOfSale:
    values = one.what.values if isinstance(one.what, Asked) else ()
    if isinstance(one.value, float):
        values = (one.value,)
    return SaidOfSale(
        line=one.line, text=one.text, how="ignored", field=one.field, value=_shown(one), why=why,
        asks=True, values=values,
    )  # fmt: skip


def _taken(one: _Told, more: str) -> SaidOfSale:
    why = "; ".join(filter(None, (one.what.why, more)))
    return SaidOfSale(
        line=one.line, text=one.text, how="guessed" if why else "understood",
        field=one.field, value=_shown(one), why=why,
    )  # fmt: skip


def _shown(one: _Told) -> str:
    if isinstance(one.value, bool):
        return "true" if one.value else "false"
    return "" if one.value is None else shown(one.value)
