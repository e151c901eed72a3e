"""The facts of who may in: a device joins the shop, for a person, with a role."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

Role = Literal["owner", "helper", "buyer"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceJoined:
    """A telephone or another computer may speak to the shop; withdrawn, it may no more."""

    KIND: ClassVar[str] = "device_joined"
    SCHEMA: ClassVar[int] = 1
    device: str  # as its cookie carries it: phone-1a2b3c4d
    name: str  # as people call it: Ann's phone
    person: str  # whose name stands on what it writes
    role: Role = "owner"
    given: str | None = None  # of a buyer: id of the one condition record that may be read
    until_on: str | None = None  # of a buyer: ISO date of the last day
    text: str = ""


Joining = DeviceJoined
"""Every fact of this room."""
