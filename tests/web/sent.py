"""A mill with worn spindle bearings, and its spindle at the spindle shop, late."""

from __future__ import annotations

from collections.abc import Mapping

from tests.web.visitor import Visitor, text_of

from retrue.kinds.library import Kind
from retrue.phases import find
from retrue.records.fixing import Out
from retrue.records.shop import RecordShop

FAULT = "F01"  # spindle bearings of the mill
SENT = {
    "sort": "sent_out", "line": f"{FAULT}:local", "what": "spindle cartridge",
    "whom": "the spindle shop", "reach": "053 12 34 56", "since_on": "2026-11-02",
    "promised_on": "2026-11-20", "deposit": "400", "currency": "EUR",
}  # fmt: skip


def ids(path: str) -> tuple[str, str]:
    """Of the lot and of the machine, from the path of its page."""
    return path.split("/")[2], path.split("/")[4]


def opened(shop: RecordShop, machine: str, kinds: Mapping[str, Kind]) -> str:
    """The mill was opened, and its spindle bearings are worn; its path."""
    find.teardown(shop, *ids(machine), FAULT, True, kinds, by="owner")
    return machine


def sent(owner: Visitor, shop: RecordShop, machine: str) -> str:
    """The spindle is sent out; the path of its page."""
    answer = owner.post("/fix/send", SENT | {"of": "|".join(ids(machine))})
    assert answer.status_code == 200, text_of(answer)
    (record,) = shop.current(Out)
    return f"/fix/waiting/{record.id}"
