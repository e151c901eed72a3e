"""One mill, frozen, won, worked at for one evening, its spindle opened: ready to be closed."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

from tests.fakes.shop import FakeShop
from tests.library import load

from retrue.phases import find, settle, worth
from retrue.records.facts import Lot, Machine, Shop, Terms
from retrue.records.fixing import Out, OutEnded
from retrue.records.settling import HoursTold, Posting
from retrue.records.shop import RecordShop

ON = date(2026, 11, 26)
NOW = datetime(2026, 11, 26, 22, 30, tzinfo=UTC)
TYPED = "Bearing from the Ghent fair"
FAULT = "F01"
BY = {"by": "owner"}


def opened(shop: RecordShop | None = None) -> tuple[RecordShop, str, str]:
    """The shop, a new one where none is given; ids of the lot and of its mill."""
    shop, kinds = shop or FakeShop(), load()
    worth.keep_shop(shop, Shop(hour_alternative=Decimal(15), hours_a_week=20), **BY)
    terms = Terms(lot="", bid_now=Decimal(2000), bid_step=Decimal(10), premium=0.1)
    mill = Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=23)
    view = worth.new_lot(shop, Lot(name="school"), terms, [mill], **BY)
    lot, key = view.id, view.machines[0][0]
    worth.freeze(shop, lot, kinds, seed=7, worlds=200, **BY)
    worth.outcome(shop, lot, "won", amount=Decimal(2500), **BY)
    for amount, what, bucket, line in (
        (1900, "removal", "removal", "E11"),
        (640, TYPED, "parts", f"{FAULT}:replace"),
        (75, "coffee for the rigger", "other", ""),
    ):
        fact = Posting(
            sort="paid", posted_on="2026-11-20", what=what, amount=Decimal(amount), lot=lot,
            machine=key, bucket=bucket, line=line, whom="Somebody & Sons",
        )  # fmt: skip
        settle.post(shop, fact, on=ON, **BY)
    told = HoursTold(lot=lot, machine=key, worked_on="2026-11-25", hours=3.5, line="J05")
    settle.tell_hours(shop, told, kinds, now=NOW, **BY)
    find.teardown(shop, lot, key, FAULT, True, kinds, **BY)
    sent = Out(
        lot=lot, machine=key, sort="sent_out", line=f"{FAULT}:outside", what="spindle",
        whom="Somebody & Sons", since_on="2026-10-01",
    )  # fmt: skip
    out = shop.add(sent, **BY)
    ended = OutEnded(lot=lot, out=out.id, ended_on="2026-11-10", how="back", judged="good")
    shop.add(ended, **BY)
    return shop, lot, key
