"""Rows of an invented catalogue, written down: for tables, pictures and paper."""

from __future__ import annotations

from typing import Any

from retrue.cases.screen.screened import AskFirst, ScreenedLot
from retrue.cases.sheet import Band

ASK = (
    AskFirst(check="C12", text="Ask for a film of the spindle from cold", worth=430.0),
    AskFirst(check="C31", text="Ask since when it stands", worth=120.0),
)


def row(number: str, *, gain: float = 1000.0, at_risk: float = 8000.0, **more: Any) -> ScreenedLot:
    """A lot as it is worked out; what is not said is plain."""
    told: dict[str, Any] = {
        "line": 2, "title": f"lathe {number}", "kinds": ("turning_centre",), "stand_in": False,
        "why": "", "walk_away": 5200.0, "currency": "EUR", "option": "keep", "pays": 3900.0,
        "wins": 0.4, "hours": 80.0, "floor_m2": 9.5, "days": Band(p10=40.0, p50=70.0, p90=120.0),
        "sorry": 0.2, "error": 25.0, "ask": (), "assumed": (),
    }  # fmt: skip
    told |= more
    told.setdefault("gain_per_risk", gain / at_risk if at_risk else 0.0)
    told.setdefault("gain_per_hour", gain / told["hours"] if told["hours"] else None)
    return ScreenedLot(number=number, gain=gain, at_risk=at_risk, **told)
