"""How far a catalogue is screened: what is done, who has what, and the rows so far."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from retrue.cases.screen.done_text import done_of
from retrue.cases.screen.screened import ScreenedLot
from retrue.kinds.library import Kind
from retrue.phases.worth.screen_work import begun_of, planned
from retrue.phases.worth.screening import catalogue_id, find_catalogue
from retrue.records.screening import Catalogue, PartScreened, Screening, Share
from retrue.records.shop import Record, RecordShop


@dataclass(frozen=True, slots=True, kw_only=True)
class ScreenState:
    """A catalogue as far as it is screened.

    Attributes
    ----------
    id : str
        Of the first record of the catalogue.
    record : Record of Catalogue
        The newest.
    begun : Record of Screening or None
        None: nobody has begun.
    changed : bool or None
        Whether something it rests on has changed since it was begun; None: nobody looked.
    rows : tuple of ScreenedLot
        Of the parts that are done, in the order of the catalogue; not ranked.
    every_share : tuple of Record of Share
        Who has, had, or has done which part.
    """

    id: str
    record: Record[Catalogue]
    begun: Record[Screening] | None
    changed: bool | None
    rows: tuple[ScreenedLot, ...]
    every_share: tuple[Record[Share], ...]

    @property
    def parts(self) -> int:
        """Parts there are; 0 where nobody has begun."""
        return self.begun.fact.part_count if self.begun else 0

    @property
    def lots(self) -> int:
        """Lots there are; 0 where nobody has begun."""
        return self.begun.fact.lot_count if self.begun else 0

    @property
    def done(self) -> int:
        """Parts that are done."""
        return sum(one.fact.state == "done" for one in self.every_share)

    @property
    def left(self) -> int:
        """Parts that are not done."""
        return self.parts - self.done

    @property
    def shares(self) -> tuple[Record[Share], ...]:
        """Parts that somebody has in hand."""
        return tuple(one for one in self.every_share if one.fact.state == "taken")

    @property
    def stopped(self) -> bool:
        """Whether nobody is to take another part."""
        return self.begun is not None and self.begun.fact.state == "stopped"

    @property
    def ready(self) -> bool:
        """Whether every part is done."""
        return self.begun is not None and self.left == 0


def state_of(
    shop: RecordShop, catalogue: str, kinds: Mapping[str, Kind] | None = None
) -> ScreenState:
    """How far a catalogue is screened.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    catalogue : str
        Name or id.
    kinds : mapping of str to Kind, optional
        With it is looked whether anything has changed since it was begun.

    Returns
    -------
    ScreenState
        What was done before it was begun anew is not in it.

    Raises
    ------
    Unknown
        No such catalogue.
    """
    record = find_catalogue(shop, catalogue)
    home = catalogue_id(shop, record.id)
    begun = begun_of(shop, home)
    if begun is None:
        return ScreenState(id=home, record=record, begun=None, changed=None, rows=(),
                           every_share=())  # fmt: skip
    mine = {"catalogue": home, "key": begun.fact.key}
    shares = sorted(shop.current(Share, **mine), key=lambda one: one.fact.part)
    done = sorted(shop.current(PartScreened, **mine), key=lambda one: one.fact.part)
    rows = tuple(row for one in done for row in _rows(one.fact.content))
    return ScreenState(id=home, record=record, begun=begun, rows=rows, every_share=tuple(shares),
                       changed=_changed(shop, begun, kinds))  # fmt: skip


def row_of(shop: RecordShop, catalogue: str, number: str) -> ScreenedLot | None:
    """The row of one lot; None where its part is not done.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    catalogue, number : str

    Returns
    -------
    ScreenedLot or None
    """
    rows = state_of(shop, catalogue).rows
    return next((row for row in rows if row.number == number), None)


@lru_cache(maxsize=512)  # parts of twenty-five lots each
def _rows(content: str) -> tuple[ScreenedLot, ...]:
    return done_of(content).rows


def _changed(
    shop: RecordShop, begun: Record[Screening], kinds: Mapping[str, Kind] | None
) -> bool | None:
    if kinds is None:
        return None
    fact = begun.fact
    now, _ = planned(shop, fact.catalogue, kinds, seed=fact.seed, worlds=fact.worlds)
    return now.key != fact.key
