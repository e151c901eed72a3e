"""An invented machine half taken apart."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from retrue.base.codes import code_of
from retrue.cases.strip.lines import (
    CleaningStands,
    EntryLine,
    FirstNight,
    PlaceStands,
    ReadingLine,
    TakenLine,
    TickLine,
)
from retrue.kinds.stripping import AsFoundEntry
from retrue.paper.strip_sheet import EveningRow, StripSheet

WHEN = datetime(2026, 11, 25, 20, 2, tzinfo=UTC)
LOCK = "Main switch off, locked with your own key. (lockout rules)"


def tick(id: str, done: bool = False, caution: str = "") -> TickLine:
    return TickLine(id, f"tick {id}", caution, done, WHEN if done else None)


def entry(id: str, what: str = "shot", **more: Any) -> EntryLine:
    told: dict[str, Any] = {"place": "cabinet", "what": what, "needed": "needed"}
    asked = AsFoundEntry(id=id, text=f"line {id}", **told)
    return EntryLine(asked, **({"state": "open"} | more))


def place(name: str = "Electrical cabinet", *entries: EntryLine) -> PlaceStands:
    return PlaceStands(
        id="cabinet", name=name, needs="proved dead", cautions=(LOCK,), entries=entries, shots=3,
        wipes=1, wanted_shots=4, wanted_wipes=1, before_clean=(), before_apart=(), may_clean=False,
        may_take_apart=False, cleaned=(), next=None, files=(),
    )  # fmt: skip


def night(*places: PlaceStands) -> FirstNight:
    return FirstNight(
        ticks=tuple(tick(f"T{n}", done=n < 3, caution=LOCK if n == 0 else "") for n in range(6)),
        dies_first=(tick("D1", caution="Do not take the cell out. (manual)"), tick("D2")),
        allowed=tuple(tick(f"A{n}") for n in range(5)), places=places, shots=12, wanted_shots=25,
        wipes=6, wanted_wipes=10, may_clean=(), not_yet=(),
    )  # fmt: skip


def taken(number: int, **more: Any) -> TakenLine:
    told: dict[str, Any] = {
        "id": f"r{number}", "record": f"r{number}",
        "code": code_of("strip", str(number)).replace("-", ""),
        "sort": ("wire", "hose", "connector", "bag", "part")[number % 5], "place": "cabinet",
        "place_name": "Electrical cabinet", "what": f"thing {number}", "from_end": f"K3:{number}",
        "to_end": f"X12.{number}", "count": None, "torque_nm": None, "shim_mm": None,
        "state": "whole", "step": number, "text": "", "files": (), "when": WHEN, "by": "Ann",
        "back": False,
    }  # fmt: skip
    return TakenLine(**(told | more))


def reading(point: str, ruling: Any, **more: Any) -> ReadingLine:
    told: dict[str, Any] = {"before": 0.8, "after": 420.0, "after_running": None, "unit": "MΩ",
                            "sort": "insulation", "why": f"because of {point}"}  # fmt: skip
    return ReadingLine(point=point, ruling=ruling, **(told | more))


def stripped(*off: TakenLine, **more: Any) -> StripSheet:
    told: dict[str, Any] = {
        "machine": "bed-type vertical machining centre", "lot": "Ghent school lot",
        "night": night(place("Electrical cabinet", entry("A10"))), "taken": off,
        "cleaning": CleaningStands((), (reading("U1", "proved_good"),), True, "all proved good"),
        "evenings": (EveningRow("2026-11-26", tuple(tick(f"E{n}", n < 2) for n in range(5))),),
        "by": "Ann", "version": "0.1.0",
    }  # fmt: skip
    return StripSheet(**(told | more))
