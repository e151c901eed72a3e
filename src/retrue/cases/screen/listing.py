"""A catalogue as it was read: every line of the file, and what was made of each of its cells."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from retrue.cases.case import LotCase

How = Literal["understood", "guessed", "ignored"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One thing a cell says, and what was made of it.

    Attributes
    ----------
    how : str
        understood, guessed (a reason stands in ``why``), or ignored (with its reason).
    field : str
        What it is taken for (``kind``, ``age_years``, ``asking`` ...); empty where it is ignored.
    value : str
        As it is taken, in the unit of the field; empty where it is ignored.
    text : str
        As it stands in the catalogue.
    heading : str
        Of its column, as written; empty where the file as a whole says it.
    why : str
        In one sentence; empty where it is understood.
    """

    how: How
    field: str
    value: str
    text: str
    heading: str
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedColumn:
    """One column of the catalogue and what it is read as.

    Attributes
    ----------
    at : int
        Its place, counted from 0.
    heading : str
        As written.
    role : str
        What it is read as; empty: it is shown, and not read.
    said : bool
        Whether the owner said so.
    """

    at: int
    heading: str
    role: str
    said: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedLot:
    """One line of the catalogue.

    Attributes
    ----------
    number : str
        Of the lot, as the catalogue calls it; else ``line 17``. Two lots never have the same.
    line : int
        Of the file, counted from 1 as a spreadsheet counts.
    title : str
        The line in the catalogue's words.
    case : LotCase or None
        What can be priced; None where the line is no machine that this house knows.
    why : str
        Why there is nothing to price; empty where there is.
    kinds : tuple of str
        Ids of the kinds of its machines.
    stand_in : bool
        Whether a kind stands in for one this house does not know: the belief is widened.
    said : tuple of Said
        Every cell of the line, in the order of the columns.
    gaps : tuple of str
        Fields nobody said, which are taken wide.
    wrong : tuple of str
        Words of the catalogue that say that something is wrong with it, or lacks.
    """

    number: str
    line: int
    title: str
    case: LotCase | None
    why: str
    kinds: tuple[str, ...]
    stand_in: bool
    said: tuple[Said, ...]
    gaps: tuple[str, ...]
    wrong: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherLine:
    """A line that is no lot: empty, a heading said again, a sum, a remark."""

    line: int
    text: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidOfSale:
    """One thing a line says of the whole sale, and what was made of it.

    Attributes
    ----------
    line : int
        Of the file.
    text : str
        The whole line.
    how : str
        As of :class:`Said`: it counts for every lot that has none of its own, unless it is ignored.
    field : str
        premium, tax_rate, tax_reclaimable, tax_scheme, prices_hold_tax, currency, removal_days,
        removal_by; of a file in TOML any key of the sale.
    value : str
        As it is taken, or as it would be, in the unit of the field; empty where it cannot be told.
    why : str
        Why it is a guess, or is ignored; empty where it is understood.
    asks : bool
        Whether it has to be typed before it counts.
    values : tuple of float
        What it may be, where it is asked for and figures stand there.
    """

    line: int
    text: str
    how: How
    field: str
    value: str
    why: str = ""
    asks: bool = False
    values: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """A whole catalogue.

    Attributes
    ----------
    name : str
        Of the sale, else of the file.
    currencies : tuple of str
        Every currency that stands in it.
    columns : tuple of ListedColumn
    lots : tuple of ListedLot
        In the order of the file; every line is here or in ``others``.
    others : tuple of OtherLine
    sale : tuple of SaidOfSale
        What the file says of the sale as a whole, by line.
    """

    name: str
    currencies: tuple[str, ...]
    columns: tuple[ListedColumn, ...]
    lots: tuple[ListedLot, ...]
    others: tuple[OtherLine, ...]
    sale: tuple[SaidOfSale, ...] = ()
