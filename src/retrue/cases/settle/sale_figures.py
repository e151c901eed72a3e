"""What a sale is judged by: figures from memory, each editable with a reason."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from retrue.base.say import say
from retrue.cases.settle.sale_lines import FigureRow
from retrue.kinds.judged import Three
from retrue.kinds.library import Kind
from retrue.records.facts import Machine
from retrue.records.settling import SALE_ITEMS, RunFigure

MARK = "from memory, unverified"
ASK_OVER = "E96"  # of the tables

# From memory, unverified: resale factors of used machine tools as the trade tells them.
JUDGED: Mapping[str, Three] = {
    "dealer_share": Three(0.4, 0.55, 0.7),  # who takes everything at once (judgement, no source)
    "film_share": Three(0.15, 0.22, 0.30),
    "record_share": Three(0.05, 0.10, 0.15),
    "record_quicker_share": Three(0.05, 0.15, 0.30),  # "and faster": how much is judgement
    # the tables' "excellent" is one owner with records: a rebuild gives a part of it (judgement)
    "rebuilt_share": Three(0.3, 0.5, 0.7),
    "no_tooling_share": Three(0.10, 0.10, 0.10),
    "orphan_control_share": Three(0.30, 0.45, 0.60),
    "supported_control_share": Three(0.20, 0.30, 0.40),
    "no_chuck_share": Three(0.15, 0.15, 0.15),
    "other_supply_share": Three(0.05, 0.07, 0.10),
}
ALWAYS = (
    "ask_over_share", "dealer_share", "film_share", "record_share", "record_quicker_share",
    "rebuilt_share",
)  # fmt: skip
LOWERS = ("no_tooling_share", "orphan_control_share", "no_chuck_share", "other_supply_share")
RAISES = ("supported_control_share",)


@dataclass(frozen=True, slots=True)
class SaleFigures:
    """All figures of one machine's sale.

    Attributes
    ----------
    rows : mapping of item to FigureRow
    sell_days : Three or None
        As the owner says; None: as the tables have it.
    """

    rows: Mapping[str, FigureRow]
    sell_days: Three | None = None

    def share(self, item: str) -> Three:
        """One share, whether it applies or not."""
        return self.rows[item].value

    def applied(self, items: Iterable[str]) -> tuple[tuple[str, Three], ...]:
        """Those of some that apply to this machine."""
        return tuple((item, self.rows[item].value) for item in items if self.rows[item].applies)


def sale_figures(machine: Machine, kind: Kind, told: Iterable[RunFigure] = ()) -> SaleFigures:
    """The figures of one machine's sale: the owner's, else those from memory.

    Parameters
    ----------
    machine : Machine
    kind : Kind
    told : iterable of RunFigure
        Of this machine, oldest first; the newest of an item counts.

    Returns
    -------
    SaleFigures

    Notes
    -----
    What lowers or raises the price applies where it is known: no tooling where that is noted with
    the machine; an orphan or supported control, a missing chuck, another supply than buyers have,
    only where the owner typed its figure.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> lathe = Machine(lot="a", name="A", kind="turning_centre", tooling="none")
    >>> made = sale_figures(lathe, load()["turning_centre"])
    >>> [item for item, _ in made.applied(LOWERS)], made.share("ask_over_share").likely
    (['no_tooling_share'], 0.22)
    """
    own = {one.item: one for one in told if one.item in SALE_ITEMS}
    rows = {}
    for item in SALE_ITEMS:
        if item == "sell_days":
            continue
        mine = own.get(item)
        value = _three(mine) if mine else _judged(item, kind)
        applies = item in ALWAYS or mine is not None
        if item == "no_tooling_share" and machine.tooling == "none":
            applies = True
        rows[item] = FigureRow(
            item=item,
            words=figure_words(item),
            value=value,
            unit="share",
            applies=applies,
            mark=say("your own figure") if mine else MARK,
            reason=mine.reason if mine else "",
        )
    days = own.get("sell_days")
    return SaleFigures(rows, _three(days) if days else None)


def figure_words(item: str) -> str:
    """What a figure of the sale is.

    Parameters
    ----------
    item : str
        One of ``SALE_ITEMS``.

    Returns
    -------
    str

    Examples
    --------
    >>> figure_words("film_share")
    'what a film under power adds'
    """
    return {
        "sell_days": say("days to sell"),
        "ask_over_share": say("what is asked above what is paid"),
        "dealer_share": say("what who takes everything at once pays, of the price"),
        "film_share": say("what a film under power adds"),
        "record_share": say("what a condition record with measurements adds"),
        "rebuilt_share": say("how much of the way to an excellent one a rebuild brings"),
        "record_quicker_share": say("how much quicker it goes with a record"),
        "no_tooling_share": say("what is lost without tooling"),
        "orphan_control_share": say("what is lost with a control nobody supports"),
        "supported_control_share": say("what a well supported control adds"),
        "no_chuck_share": say("what is lost without chuck or jaws"),
        "other_supply_share": say("what is lost where buyers have other volts or phases"),
    }[item]


def _judged(item: str, kind: Kind) -> Three:
    if item == "ask_over_share":
        line = kind.costs.get(ASK_OVER)
        return line.amount if line is not None else Three(0.15, 0.22, 0.35)
    return JUDGED[item]


def _three(figure: RunFigure) -> Three:
    return Three(float(figure.low), float(figure.likely), float(figure.high))
