"""Invented answers of a move."""

from __future__ import annotations

from typing import Any

from retrue.cases.reckon.reckoning import Against, Caution, Figure, Listing, Needed, Reckoning
from retrue.paper.method_sheet import DataRow, MethodSheet, StepRow

CAUTION = "Lift by its drawing, nobody under or beside a load that could tip."


def reckoning(method: str = "lift", **more: Any) -> Reckoning:
    told: dict[str, Any] = {
        "method": method,
        "title": method.capitalize(),
        "answer": "go",
        "headline": "Plan 2 263 kg in each leg that carries.",
        "cautions": (Caution(text=CAUTION, defers_to="the rigger's licence"),),
        "figures": (
            Figure(key="leg_kg", name="pull in one leg", value=2263.4, unit="kg",
                   source="29 CFR 1910.184"),
            Figure(key="tip_deg", name="slope at which it tips", value=None, unit="deg",
                   why="nobody has measured its height"),
        ),
        "needs": (Needed(key="fork", text="a larger fork-lift", cost="E26"),),
        "assumed": ("rolling resistance 0.05 taken",),
        "notes": ("Longer slings are cheap.",),
        "listings": (Listing(title="At other angles", columns=("angle", "leg, kg"),
                             rows=((90.0, 2100.0), (60.0, None))),),
        "sources": ("29 CFR 1910.184",),
    }  # fmt: skip
    return Reckoning(**(told | more))


def against(reason: str = "the truck is rated 3 333 kg") -> Against:
    return Against(reason=reason, remedy="Get a larger one.")


def method_of(*made: Reckoning, **more: Any) -> MethodSheet:
    told: dict[str, Any] = {
        "machine": "bed-type vertical machining centre",
        "lot": "Ghent school lot",
        "reckonings": made,
        "steps": (
            StepRow(1, "Save parameters", "Ann", "Do not take the cell out."),
            StepRow(2, "Lift it", "rigger"),
        ),
        "data": (DataRow("parameters", "serial line", "3fa9 12c0", "yes"),),
        "insurance": "Carrier's liability only.",
        "by": "Ann",
        "version": "0.1.0",
    }
    return MethodSheet(**(told | more))
