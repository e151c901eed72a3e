"""Two small tests of measuring, so that the flow is tried whatever the real ones say."""

from __future__ import annotations

from dataclasses import replace
from types import ModuleType
from typing import Any

import numpy as np

from retrue.base.refusals import Unusable
from retrue.cases.prove.deed import Cell, Deed, Option
from retrue.cases.prove.proof import (
    Conditions,
    Measured,
    Proof,
    Quantity,
    Remedy,
    Setting,
    ThenRead,
)
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge


def level_cells(options: Any) -> tuple[Cell, ...]:
    return tuple(
        Cell(
            id=f"{way}_{corner}",
            row={"corner": str(corner), "way": way},
            column="tilt_um_per_m",
            prompt=f"corner {corner}, {way}",
            unit="µm/m",
        )
        for corner in range(1, options["corners"] + 1)
        for way in ("along", "across")
    )


def prove_level(table: Table, options: Any, conditions: Conditions) -> Proof:
    tilt = table.numbers("tilt_um_per_m")
    if len(tilt) < 2 * options["corners"]:
        raise Unusable("corners are missing", remedy="Read them too.")
    worst = float(tilt[np.argmax(np.abs(tilt))])
    quantities = (
        Quantity(
            key="worst_tilt_um_per_m",
            name="worst tilt",
            value=worst,
            unit="µm/m",
            uncertainty=conditions.reading_uncertainty,
        ),
    )
    return Proof(
        deed="level",
        title="Level",
        headline=f"worst {worst:g}",
        quantities=quantities,
        verdict=judge(quantities, conditions),
        measures=(
            Measured(measure="M26", value=abs(worst) / 1000, uncertainty=_in_mm(conditions)),
        ),
    )


def backlash_cells(options: Any) -> tuple[Cell, ...]:
    return tuple(
        Cell(
            id=f"{place}_{run}",
            row={"place": place, "run": str(run)},
            column="lost_um",
            prompt=f"{place}, time {run}",
            unit="µm",
            signed=False,
            group=place,
        )
        for place in ("left", "middle", "right")
        for run in range(1, options["runs"] + 1)
    )


def prove_backlash(table: Table, options: Any, conditions: Conditions) -> Proof:
    lost = table.numbers("lost_um")
    places = table.text("place")
    means = {
        place: [v for v, at in zip(lost, places, strict=True) if at == place]
        for place in ("left", "middle", "right")
    }
    if not all(means.values()):
        raise Unusable("a place is missing", remedy="Read all three.")
    left, middle, right = (float(np.mean(values)) for values in means.values())
    quantities: tuple[Quantity, ...] = (
        Quantity(
            key="reversal_um",
            name="lost motion",
            value=middle,
            unit="µm",
            uncertainty=conditions.reading_uncertainty,
        ),
        Quantity(
            key="wear_centre_um", name="middle over ends", value=middle - (left + right) / 2,
            unit="µm", signed=True,
        ),
    )  # fmt: skip
    if table.has("one_way"):  # gives another quantity, as a circle driven one way does
        quantities = (replace(quantities[0], key="reversal_once_um"), quantities[1])
    new = options["entered_um"] + round(min(left, middle, right))
    setting = Setting(
        name="backlash X", old=f"{options['entered_um']:g}", new=f"{new:g}", why="uniform part"
    )
    return Proof(
        deed="backlash",
        title="Backlash",
        headline=f"{middle:g} µm",
        quantities=quantities,
        verdict=judge(quantities, conditions),
        blames=("the nut is worn in the middle",),
        remedy=(
            Remedy(text="Enter the new value.", setting=setting),
            Remedy(text="Move the machine over its travel."),
        ),
        then_read=(ThenRead(where="middle", value=0.0, unit="µm"),),
        measures=(
            Measured(measure="M13", value=middle / 1000, uncertainty=_in_mm(conditions)),
            Measured(measure="M51", value=1.0, uncertainty=None),  # a knee: this kind has none
        ),
    )


def _in_mm(conditions: Conditions) -> float | None:
    doubt = conditions.reading_uncertainty
    return None if doubt is None else doubt / 1000


LEVEL = Deed(
    id="level",
    title="Level",
    what="Whether it stands level.",
    columns=("corner", "way", "tilt_um_per_m"),
    options=(Option(id="corners", name="corners", sort="whole", default=4),),
    cells=level_cells,
    prove=prove_level,
    judged=("worst_tilt_um_per_m",),
    steps=(),
    cautions=("Nobody under a raised machine.",),
    instrument="level 0.02 mm/m",
    instrument_sorts=("level",),
    reading_unit="µm/m",
    daily=True,
    standard="ISO 230-1",
    edition="2012",
)
BACKLASH = Deed(
    id="backlash",
    title="Backlash",
    what="What is lost at a reversal.",
    columns=("place", "run", "lost_um"),
    options=(
        Option(id="runs", name="runs", sort="whole", default=2),
        Option(id="entered_um", name="entered", unit="µm", default=0.0),
        Option(id="map", name="map of the screw", sort="file", form=False),
    ),
    cells=backlash_cells,
    prove=prove_backlash,
    judged=("reversal_um", "wear_centre_um"),
    steps=(),
    cautions=("Keep hands out of the travel.",),
    instrument="indicator 0.001",
    instrument_sorts=("indicator",),
    reading_unit="µm",
    needs_level=True,
    daily=True,
)


def modules() -> dict[str, ModuleType]:
    """The modules that stand in for the real ones, by their names."""
    made = {}
    for name, deed in (("small_level", LEVEL), ("small_backlash", BACKLASH)):
        module = ModuleType(f"retrue.cases.prove.{name}")
        module.__dict__["DEED"] = deed
        made[module.__name__] = module
    return made


NAMES = {"level": "small_level", "backlash": "small_backlash"}
