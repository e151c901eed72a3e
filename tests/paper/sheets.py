"""Invented sheets to print: a closing technical school's lot of two machines."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta, timezone
from decimal import Decimal

from retrue.cases.sheet import (
    AssumedRow,
    BidRow,
    ClearRow,
    HourValues,
    PriceSheet,
    Spread,
    WalkAway,
)
from retrue.figures.ink import PAPER
from retrue.figures.rule import rule
from retrue.paper.visit_pack import VisitLook, VisitPack
from retrue.records.facts import Frozen

AT = datetime(2026, 11, 25, 21, 40, tzinfo=timezone(timedelta(hours=1)))
SPREAD = Spread(low=6150, even=9800, high=14200)
PICTURE = rule(SPREAD, 6150, "EUR", theme=PAPER)
CAUTION = (
    "This helps you plan. It does not allow anything and does not say a machine is safe. "
    "Local code and licensed practice come first."
)


def price_sheet(
    times: int = 1, lot: str = "Lot 14: machining centre and turning centre"
) -> PriceSheet:
    """A price sheet with its lists repeated."""
    walk_away = WalkAway(
        amount=6150,
        why="",
        all_in=9400,
        restored=17400,
        option="both",
        odds=0.8,
        error=62,
        prices_third_low=4300,
        tables_wrong=4850,
        by_hour_value=HourValues(zero=7000, alternative=6150, full=5100),
        spread=SPREAD,
        mean=9900,
        sorry=0.2,
        bid_step=50,
    )
    clear = (
        ClearRow(
            what="Title and serial numbers in writing",
            why="A leased machine is not his to sell.",
            machine=None,
            check=None,
        ),
        ClearRow(
            what="Copy of the control's memory, read back",
            why="The cell is dated 2019.",
            machine="machining centre",
            check="C36",
        ),
    )
    assumed = (
        AssumedRow(field="age of the turning centre", value="25 years", why="usual on offer"),
        AssumedRow(field="distance", value="60 km", why=""),
    )
    return PriceSheet(
        lot=lot,
        currency="EUR",
        walk_away=walk_away,
        options=(),
        machines=(),
        questions=(),
        visit=None,
        all_answers=0.0,
        returns=None,
        moves=(),
        moved=(),
        clear_first=clear * times,
        assumed=assumed * times,
        set_aside=(),
        not_used=(),
        bid=BidRow(sale="ascending", bid=None, opening=None, says="", warning=""),
        cautions=(CAUTION,),
        seed=7,
        worlds=20_000,
        kind_hash="3f9c" * 16,
        version="0.1.0",
    )


def frozen(**changes: object) -> Frozen:
    """A frozen price."""
    base = Frozen(
        lot="lot-14",
        hammer=Decimal("6150"),
        all_in=Decimal("9400"),
        sorry=0.2,
        dangers=(
            "Spindle bearings of the machining centre",
            "Drives of the turning centre after six years unpowered",
            "Ways scored under the torn wiper",
        ),
        seed=7,
        worlds=20_000,
        kind_hash="3f9c" * 16,
        version="0.1.0",
        sheet="{}",
    )
    return replace(base, **changes)


def look(index: int, **changes: object) -> VisitLook:
    """One look; every fifth has a caution of its own."""
    answers = ("degree", "yes_no", "measure")[index % 3]
    base = VisitLook(
        check=f"C{index:02}",
        machine="machining centre" if index < 12 else "turning centre",
        place=f"place {index // 4}",
        text=f"Look number {index} at what is worn, cracked, dry or missing",
        answers=answers,
        who=("anyone", "competent", "electrician")[index % 3],
        hazard="pinch",
        cautions=(f"Caution {index // 5}: locked off, key in your pocket (local code).",),
        tools=("torch", f"tool {index % 4}"),
        readings=(("run-out at the nose", "mm"),) if answers == "measure" else (),
        worth=float(index % 7),
    )
    return replace(base, **changes)


def pack(count: int, **changes: object) -> VisitPack:
    """A visit pack of so many looks."""
    base = VisitPack(
        set_name="lot-14",
        lot="Lot 14",
        looks=tuple(look(index) for index in range(count)),
        caution=CAUTION,
        by="owner",
        seed=7,
        worlds=20_000,
        version="0.1.0",
        kind_hash="3f9c" * 16,
    )
    return replace(base, **changes)
