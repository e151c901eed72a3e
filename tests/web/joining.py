"""A telephone that has joined the shop, straight in the shop: for what comes after."""

from __future__ import annotations

from itertools import count
from typing import Any

from starlette.applications import Starlette
from tests.web.visitor import Visitor

from retrue.records.joining import DeviceJoined, Role
from retrue.web.security import COOKIE, sign_device

LAN = "192.168.1.20"
AT_THE_PHONE = f"http://{LAN}:8314"
_numbers = count(1)


def joined(
    house: Starlette, role: Role = "owner", *, base: str = AT_THE_PHONE, **more: Any
) -> Visitor:
    """A telephone with its cookie; more: fields of its record."""
    number = next(_numbers)
    device = f"phone-{number}"
    told: dict[str, Any] = {"name": f"telephone {number}", "person": "An"} | more
    fact = DeviceJoined(device=device, role=role, **told)
    house.state.shop.add(fact, by="owner", device=device)
    phone = Visitor(house, f"192.168.1.{50 + number % 100}", base, {"origin": base})
    phone.cookies.set(COOKIE, sign_device(house.state.settings, device))
    return phone
