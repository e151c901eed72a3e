"""Devices that may in, and in what the shop counts: asked on each request, read when changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from retrue.phases import devices
from retrue.records.facts import Lot, Shop
from retrue.records.joining import DeviceJoined
from retrue.records.shop import RecordShop

Marks = tuple[tuple[int, int], ...]


@dataclass(slots=True)
class Known:
    """Who may in, and when each was seen last; a restart forgets the latter.

    Attributes
    ----------
    shop : RecordShop
        Asked for its marks each time, so that a device turned away at the command line is turned
        away at its next request.
    seen : dict of str to datetime
        By the name the cookie carries.
    """

    shop: RecordShop
    seen: dict[str, datetime] = field(default_factory=dict)
    _held: tuple[Marks, Mapping[str, DeviceJoined]] = ((), {})
    _counted: tuple[Marks, frozenset[str]] = ((), frozenset())

    def find(self, device: str, now: datetime) -> DeviceJoined | None:
        """What is kept of a device that may in; None of any other."""
        marks = self.shop.marks((DeviceJoined,))  # before the list, so that it is never newer
        if marks != self._held[0]:
            self._held = marks, devices.joined(self.shop)
        fact = self._held[1].get(device)
        if fact is not None:
            self.seen[device] = now
        return fact

    def currencies(self) -> frozenset[str]:
        """In which letters the shop and its lots count."""
        marks = self.shop.marks((Lot, Shop))
        if marks != self._counted[0]:
            shops = {one.fact.currency for one in self.shop.current(Shop)}
            lots = {one.fact.currency for one in self.shop.current(Lot)}
            self._counted = marks, frozenset(shops | lots)
        return self._counted[1]
