"""A lot to work on, whether it stands in a file or in the shop; one manner for both."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path
from typing import Protocol

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.lot_file import read_lot
from retrue.cases.sheet import PriceSheet
from retrue.cli.file_notes import add_finding, written
from retrue.cli.house import House
from retrue.cli.options import content_of, is_file
from retrue.phases import worth
from retrue.phases.worth import Judged, VisitPack
from retrue.records.facts import Finding, Frozen
from retrue.records.shop import RecordShop


class Source(Protocol):
    """A lot, and what can be asked of it."""

    is_file: bool

    def case(self) -> LotCase:
        """As it stands."""
        ...

    def price(self, *, seed: int, worlds: int, processes: int = 1) -> PriceSheet:
        """What it is worth."""
        ...

    def freeze(self, reason: str, *, seed: int, worlds: int) -> tuple[Frozen, PriceSheet]:
        """The number, fixed."""
        ...

    def visit_pack(self, *, seed: int, worlds: int) -> tuple[VisitPack, PriceSheet]:
        """The looks that decide the price."""
        ...

    def keep(self, finding: Finding, *, seed: int, worlds: int) -> Judged:
        """Keep a finding; the price answers."""
        ...


class InShop:
    """A lot kept in the shop."""

    is_file = False

    def __init__(self, house: House, shop: RecordShop, lot: str) -> None:
        self.house, self.shop, self.lot = house, shop, lot

    def case(self) -> LotCase:
        """As it stands."""
        return worth.case_of(self.shop, self.lot)

    def price(self, *, seed: int, worlds: int, processes: int = 1) -> PriceSheet:
        """What it is worth; remembered."""
        kinds = self.house.kinds()
        return worth.price(
            self.shop, self.lot, kinds, seed=seed, worlds=worlds, processes=processes
        )

    def freeze(self, reason: str, *, seed: int, worlds: int) -> tuple[Frozen, PriceSheet]:
        """The number, fixed and kept."""
        kinds, hand = self.house.kinds(), self.house.hand
        record = worth.freeze(
            self.shop, self.lot, kinds, reason=reason, seed=seed, worlds=worlds, **hand
        )
        return record.fact, self.price(seed=seed, worlds=worlds)

    def visit_pack(self, *, seed: int, worlds: int) -> tuple[VisitPack, PriceSheet]:
        """The looks that decide the price, kept under their code."""
        kinds, hand = self.house.kinds(), self.house.hand
        pack = worth.visit_pack(self.shop, self.lot, kinds, seed=seed, worlds=worlds, **hand)
        return pack, self.price(seed=seed, worlds=worlds)

    def keep(self, finding: Finding, *, seed: int, worlds: int) -> Judged:
        """Keep a finding; the price answers."""
        kinds, hand = self.house.kinds(), self.house.hand
        return worth.keep_findings(
            self.shop, self.lot, [finding], kinds, seed=seed, worlds=worlds, **hand
        )


class InFile:
    """A lot that stands in a file of its owner's."""

    is_file = True

    def __init__(self, house: House, path: str) -> None:
        self.house, self.path = house, path
        self.content = content_of(path)

    def case(self) -> LotCase:
        """As the file says."""
        return read_lot(self.content, self.path, self.house.kinds())

    def price(self, *, seed: int, worlds: int, processes: int = 1) -> PriceSheet:
        """What it is worth."""
        kinds = self.house.kinds()
        return worth.price_case(self.case(), kinds, seed=seed, worlds=worlds, processes=processes)

    def freeze(self, reason: str, *, seed: int, worlds: int) -> tuple[Frozen, PriceSheet]:
        """The number, for paper only: a file does not remember what was frozen before."""
        sheet = self.price(seed=seed, worlds=worlds)
        return worth.frozen_number(sheet.lot, sheet, reason), sheet

    def visit_pack(self, *, seed: int, worlds: int) -> tuple[VisitPack, PriceSheet]:
        """Refused: what is ticked on paper must find its list again."""
        raise NotYet(
            say("a visit needs a lot in the shop, so that its code can be typed in afterwards"),
            remedy=say("Keep it first: retrue lot new --from {path}", path=self.path),
        )

    def keep(self, finding: Finding, *, seed: int, worlds: int) -> Judged:
        """Write the finding below what the owner wrote; then the price answers."""
        kinds = self.house.kinds()
        before = self.case()
        text, id = add_finding(self.content, before, finding, self.path)
        after = read_lot(text, self.path, kinds)
        written(Path(self.path), text)
        self.content = text
        return worth.judge_case(before, after, id, kinds, seed=seed, worlds=worlds)


@contextlib.contextmanager
def open_lot(house: House, lot: str, shop: str | None) -> Iterator[Source]:
    """The lot in a file, or the lot of that name in the shop.

    Parameters
    ----------
    house : House
        What the wiring gave.
    lot : str
        A path that ends in .toml or exists, else a name.
    shop : str or None
        --shop.

    Yields
    ------
    Source
    """
    if is_file(lot):
        yield InFile(house, lot)
        return
    with house.open_shop(shop) as opened:
        yield InShop(house, opened, worth.find_lot(opened, lot).fact.name)
