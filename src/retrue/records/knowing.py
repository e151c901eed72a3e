"""A shop that remembers what a page showed: nothing unseen is written over."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any, TypeVar

from retrue.base.refusals import Overtaken, Unknown
from retrue.records.facts import Fact, Withdrawn
from retrue.records.shop import Record, RecordShop, ToAdd

F = TypeVar("F", bound=Fact)
Met = tuple[Record[Any], Fact]


class Meanwhile(Exception):
    """Somebody else wrote what this page had not shown; each time what stands, what was wanted."""

    def __init__(self, met: Sequence[Met]) -> None:
        super().__init__(f"{len(met)} met something unseen")
        self.met = tuple(met)


def said_unseen(shop: RecordShop, fact: F, stands: Record[F] | None) -> Record[F] | None:
    """Ask before something new outweighs what its writer had not seen, where both stay kept.

    Parameters
    ----------
    shop : RecordShop
        In the hands of somebody who knows it up to a number; else nothing is asked.
    fact : Fact
        What is to be kept beside it.
    stands : Record or None
        What has counted until now.

    Returns
    -------
    Record or None
        What stands, where somebody else said the very same meanwhile: that is enough.

    Raises
    ------
    Meanwhile
        It says something else, and was written since.
    """
    if isinstance(shop, Knowing) and stands is not None:
        return shop.ask_beside(fact, stands)
    return None


class Knowing:
    """A shop in the hands of somebody who knows its records up to a number, and his own.

    Everything but adding goes to the shop as it is. A record that is to be replaced and was
    written since, by another device, is not: the deed ends with `Meanwhile` and has kept nothing
    of it. Where both say the same there is no question.

    Parameters
    ----------
    shop : RecordShop
        Where everything is kept.
    knows : int
        The number of the newest record when the page was shown.
    device : str
        Which device writes; what it wrote itself it knows.
    waited : datetime or None
        When it was written, if it waited on its device: what that device wrote later it did not
        know then. None: it was written now.
    nameless : bool
        What no device has signed is its own too: of the laptop, where nothing is known.
    """

    def __init__(
        self,
        shop: RecordShop,
        knows: int,
        *,
        device: str,
        waited: datetime | None = None,
        nameless: bool = False,
    ) -> None:
        self._shop = shop
        self._knows = knows
        self._mine = {device, ""} if nameless else {device}
        self._waited = waited
        self._own: set[str] = set()
        self.touched = False  # something was kept, or stood there already
        self.said: list[Record[Any]] = []  # what was kept, or said the same already
        self.gathers = False  # of a form with many things in it: keep all others first
        self.met: list[Met] = []  # gathered

    def __getattr__(self, name: str) -> Any:
        """All that only reads."""
        return getattr(self._shop, name)

    def add(
        self,
        fact: F,
        *,
        by: str,
        device: str = "",
        observed_at: datetime | None = None,
        id: str | None = None,
        replaces: str | None = None,
    ) -> Record[F]:
        """Keep a fact; raises Meanwhile where it would go over something unseen."""
        self.touched = True
        kept = self._added(fact, by, device, observed_at, id, replaces)
        if all(kept is not stands for stands, _ in self.met):
            self.said.append(kept)
        return kept

    def _added(
        self,
        fact: F,
        by: str,
        device: str,
        observed_at: datetime | None,
        id: str | None,
        replaces: str | None,
    ) -> Record[F]:
        if (sent := self._sent(fact, id)) is not None:
            return sent
        if (met := self._met(fact, replaces)) is not None:
            return self._same(met, fact)
        try:
            record = self._shop.add(
                fact, id=id, replaces=replaces, by=by, device=device, observed_at=observed_at
            )
        except Overtaken:  # in the moment between
            if (met := self._met(fact, replaces)) is None:
                raise
            return self._same(met, fact)
        self._own.add(record.id)
        return record

    def add_all(
        self,
        wanted: Sequence[ToAdd],
        *,
        by: str,
        device: str = "",
        observed_at: datetime | None = None,
        newest: int | None = None,
    ) -> list[Record[Any]]:
        """Keep many facts; raises Meanwhile, and keeps none, where one would go over one unseen."""
        self.touched = True
        among = {one.id for one in wanted}
        met = [
            (record, one.fact)
            for one in wanted
            if one.replaces not in among and self._sent(one.fact, one.id) is None
            if (record := self._met(one.fact, one.replaces)) is not None
        ]
        if met:
            raise Meanwhile(met)
        kept = self._shop.add_all(
            wanted, by=by, device=device, observed_at=observed_at, newest=newest
        )
        self._own |= {record.id for record in kept}
        self.said += kept
        return kept

    def ask_beside(self, fact: F, stands: Record[F]) -> Record[F] | None:
        """What stands unseen and says the same; Meanwhile where it says something else."""
        self.touched = True
        if not self._unseen(stands):
            return None
        same = self._same(stands, fact)
        if same.fact == fact:
            self.said.append(same)
        return same

    def _sent(self, fact: F, id: str | None) -> Record[F] | None:
        """What this very sending was kept as."""
        try:
            kept = self._shop.get(type(fact), id) if id is not None else None
        except Unknown:
            return None
        return kept if kept is not None and kept.fact == fact else None

    def _met(self, fact: Fact, replaces: str | None) -> Record[Any] | None:
        """What stands where this is to stand, if its writer has not seen it."""
        if replaces is None:
            return None
        try:
            line = self._shop.history(replaces)
        except Unknown:
            return None
        newest = line[-1]
        if newest.id != replaces and isinstance(fact, Withdrawn):
            return newest if isinstance(newest.fact, Withdrawn) or self._unseen(newest) else None
        return newest if self._unseen(newest) else None

    def _unseen(self, record: Record[Any]) -> bool:
        if record.seq <= self._knows or record.id in self._own:
            return False
        if record.device not in self._mine:
            return True
        return self._waited is not None and record.observed_at > self._waited

    def _same(self, met: Record[Any], fact: F) -> Record[F]:
        """Both say the same; else there is a question."""
        both_gone = isinstance(fact, Withdrawn) and isinstance(met.fact, Withdrawn)
        if met.fact == fact or both_gone:
            return met
        if not self.gathers:
            raise Meanwhile([(met, fact)])
        self.met.append((met, fact))
        return met
