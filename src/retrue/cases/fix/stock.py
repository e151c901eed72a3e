"""What is on the shelf, against its least and against what the open cards use up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from retrue.cases.fix.buying_lines import BuyRow, StockRow
from retrue.cases.fix.lines import Cards
from retrue.records.fixing import Stock
from retrue.records.shop import Record

USED: Mapping[str, tuple[str, Mapping[str, float]]] = {
    "way oil": ("l", {"J11": 20, "J38": 8}),
    "rags": ("", {"J02": 120, "J03": 100, "J04": 100, "J05": 30, "J10": 80, "J11": 40, "J17": 30}),
    "degreaser": ("l", {"J02": 8, "J03": 3, "J04": 3, "J10": 4}),
    "contact cleaner": ("cans", {"J05": 4, "J07": 3, "J14": 1}),
    "solvent": ("l", {"J03": 3, "J04": 3, "J17": 1, "J28": 2}),
    "rust remover": ("l", {"J17": 5}),
    "abrasive pads": ("", {"J17": 25}),
    "preservative": ("l", {"J17": 2}),
    "coolant concentrate": ("l", {"J27": 18}),
    "vacuum filters": ("", {"J06": 2}),
}
"""What a job uses up on a machine of four tonnes: common practice, judgement, from memory."""


def used_up(name: str, unit: str, cards: Iterable[Cards]) -> float | None:
    """What the open cards use up of something.

    Parameters
    ----------
    name : str
        As it stands on the shelf: way oil.
    unit : str
        As counted there.
    cards : iterable of Cards

    Returns
    -------
    float or None
        In that unit, chances counted; None: nothing is known of it, or it is counted otherwise.

    Examples
    --------
    >>> used_up("way oil", "l", []), used_up("blue paint", "l", [])
    (0.0, None)
    """
    known = USED.get(name.strip().casefold())
    if known is None or unit.strip().casefold() != known[0]:
        return None
    return float(
        sum(
            card.chance * known[1].get(card.job, 0.0)
            for machine in cards
            for card in machine.cards
            if card.job and card.state != "done"
        )
    )


def stock_rows(
    stock: Iterable[Record[Stock]], cards: Iterable[Cards], rows: Iterable[BuyRow]
) -> tuple[StockRow, ...]:
    """The shelf: what runs out comes first.

    Parameters
    ----------
    stock : iterable of Record of Stock
        The newest of each name.
    cards : iterable of Cards
        Of every machine.
    rows : iterable of BuyRow
        What is to be bought: a part on the shelf that is named as its line counts against them.

    Returns
    -------
    tuple of StockRow
        Low: less than its least, or than the open cards use up.

    Examples
    --------
    >>> stock_rows([], [], [])
    ()
    """
    every, wanted = tuple(cards), tuple(rows)
    made = [_row(one.fact, every, wanted) for one in stock]
    return tuple(sorted(made, key=lambda row: (not row.low, row.name.casefold())))


def _row(fact: Stock, cards: tuple[Cards, ...], rows: tuple[BuyRow, ...]) -> StockRow:
    lines = [row for row in rows if row.part.line.casefold() == fact.name.strip().casefold()]
    needed = (
        float(sum(row.part.units for row in lines))
        if lines
        else used_up(fact.name, fact.unit, cards)
    )
    short = fact.least is not None and fact.amount < fact.least
    return StockRow(
        name=fact.name,
        amount=fact.amount,
        unit=fact.unit,
        least=fact.least,
        needed=needed,
        low=short or (needed is not None and fact.amount < needed),
    )
