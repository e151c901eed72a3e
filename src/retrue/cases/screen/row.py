"""What one line of a catalogue says, as it is gathered cell by cell."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from retrue.base.say import say
from retrue.cases.screen.cell_ways import Heard
from retrue.cases.screen.kinds_told import NOTHING, Told
from retrue.cases.screen.listing import How, Said
from retrue.cases.screen.money_words import Money
from retrue.cases.settle.bring_sheet import Line


@dataclass(slots=True, kw_only=True)
class Row:
    """What one line says.

    Attributes
    ----------
    line : Line
    said : list of Said
        Every cell, in the order of the columns.
    values : dict of str to object
        Field to what was taken: the first that says it.
    money : dict of str to Money
        By role: asking, start, bid, step, new_price, loader_fee.
    told : Told
        What it is.
    by : str
        Role of the column whose words say so.
    gone : str
        Words that say that it is no longer for sale.
    shared : set of str
        Fields whose cell is merged with that of the line above.
    is_head : bool
        Whether it is a lot whose machines stand in the rows behind it.
    joins : bool
        Whether it is a machine of the lot before.
    """

    line: Line
    said: list[Said] = field(default_factory=list)
    values: dict[str, Any] = field(default_factory=dict)
    money: dict[str, Money] = field(default_factory=dict)
    told: Told = NOTHING
    by: str = ""
    gone: str = ""
    shared: set[str] = field(default_factory=set)
    is_head: bool = False
    joins: bool = False

    def take(self, one: Heard, text: str, heading: str) -> bool:
        """Keep what was heard, unless a cell before says otherwise; whether it is kept."""
        before = self.values.setdefault(one.field, one.value)
        if before != one.value:
            why = say(
                "it says {value}; {other} is taken", value=shown(one.value), other=shown(before)
            )
            self.leave(text, heading, why)
            return False
        self.tell(one.field, shown(one.value), text, heading, one.why)
        return True

    def tell(self, of: str, value: str, text: str, heading: str, why: str = "") -> None:
        """Say what a cell is taken for; a guess where there is a reason."""
        how: How = "guessed" if why else "understood"
        self.said.append(Said(how=how, field=of, value=value, text=text, heading=heading, why=why))

    def leave(self, text: str, heading: str, why: str) -> None:
        """Say why a cell is not read."""
        self.said.append(
            Said(how="ignored", field="", value="", text=text, heading=heading, why=why)
        )


def shown(value: object) -> str:
    """A value in plain figures, for a reader of any language.

    Parameters
    ----------
    value : object

    Returns
    -------
    str

    Examples
    --------
    >>> shown(26.0), shown((760.0, 420.0)), shown("EUR")
    ('26', '760 x 420', 'EUR')
    """
    if isinstance(value, tuple):
        return " x ".join(shown(one) for one in value)
    if isinstance(value, float):
        return f"{value:.10g}"
    return str(value)
