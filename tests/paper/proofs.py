"""Invented tests and results to print: the levels and the runs of a two-machine workshop."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from tests.paper.sheets import AT

from retrue.cases.prove.acceptance import Acceptance, AcceptanceRow
from retrue.cases.prove.deed import Cell, Deed, Option
from retrue.cases.prove.proof import (
    Grid,
    Proof,
    Quantity,
    Remedy,
    Setting,
    ThenRead,
    Verdict,
)
from retrue.paper.blank_sheet import BlankSheet
from retrue.paper.proof_sheet import ProofSheet

CAUTION = "Nobody puts a hand under a raised machine. Local codes and licensed practice come first."
PICTURE = (
    '<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="x" viewBox="0 0 340 120" '
    'width="340" height="120"><rect x="20" y="20" width="300" height="80" fill="none" '
    'stroke="#000000"/></svg>'
)


def runs(count: int, targets: int = 5) -> tuple[Cell, ...]:
    """So many readings of a positioning set, there and back."""
    made = []
    for index in range(count):
        run, place = divmod(index, 2 * targets)
        approach = "forward" if place < targets else "backward"
        target = place % targets if approach == "forward" else 2 * targets - 1 - place
        made.append(
            Cell(
                id=f"r{run}-{place}",
                row={"target_mm": str(100 * target), "approach": approach, "run": str(run + 1)},
                column="deviation_um",
                prompt=f"Run {run + 1}, {approach}, at {100 * target} mm: read the deviation",
                unit="µm",
                group=f"Run {run + 1}, {approach}",
            )
        )
    return tuple(made)


def deed(**changes: object) -> Deed:
    """A test of the length of a sentence or two."""
    base = Deed(
        id="positioning",
        title="Positioning",
        what="How near the axis comes to where it is sent, from both sides.",
        columns=("target_mm", "approach", "run", "deviation_um"),
        options=(
            Option(id="axis", name="axis", sort="text", default="X"),
            Option(id="travel_mm", name="travel", unit="mm", needed=True),
            Option(id="rotary", name="rotary axis", sort="flag", default=False),
        ),
        cells=lambda options: runs(50),
        prove=lambda table, options, conditions: proof(),
        judged=("accuracy_um",),
        steps=(
            "Let the machine and the scale stand side by side until both read the same.",
            "Run over all targets once without reading.",
            "Go to each target from below, then from above; write what the scale shows.",
        ),
        cautions=(CAUTION,),
        instrument="step gauge and indicator 0.001 mm",
        instrument_sorts=("step_gauge",),
        reading_unit="µm",
    )
    return replace(base, **changes)


def blank(count: int = 50, **changes: object) -> BlankSheet:
    """A blank sheet of so many numbers."""
    base = BlankSheet(
        deed=deed(),
        options={"axis": "X", "travel_mm": 400.0, "rotary": False},
        cells=runs(count),
        set_name="school-x",
        lot="school",
        machine="machining centre",
        place="X",
        instrument="step gauge 0.001 mm",
        by="owner",
        version="0.1.0",
    )
    return replace(base, **changes)


def verdict(**changes: object) -> Verdict:
    """Too close to call, against a limit nobody has looked up."""
    base = Verdict(
        key="accuracy_um", value=14.0, unit="µm", ruling="not_proved", limit=15.0,
        uncertainty=2.5, rule="guarded", standard="ISO 230-2", edition="2014",
        limit_mark="from memory, unverified", conformance=0.79,
        why="Nearer to the limit than the reading may be off.",
    )  # fmt: skip
    return replace(base, **changes)


def proof(**changes: object) -> Proof:
    """What a set of readings said."""
    base = Proof(
        deed="positioning",
        title="Positioning",
        headline="The axis comes within 14.0 µm of where it is sent; 6.0 µm of it is lost motion.",
        quantities=(
            Quantity(
                key="accuracy_um", name="accuracy, both ways", value=14.0, unit="µm",
                uncertainty=2.5,
            ),
            Quantity(
                key="mean_reversal_um", name="mean reversal", value=-6.0, unit="µm",
                uncertainty=0.8, signed=True,
            ),
            Quantity(
                key="repeatability_um", name="repeatability", value=None, unit="µm",
                why="three runs are too few",
            ),
        ),
        verdict=verdict(),
        finds=("The further it goes, the longer it reads: 20 µm over the metre.",),
        blames=("The screw of X has worn at its centre.",),
        remedy=(
            Remedy(
                text="Enter 6 µm as reversal of X.",
                setting=Setting(name="reversal X", old="0", new="6", why="lost motion"),
            ),
        ),
        then_read=(
            ThenRead(where="reversal at 200 mm", value=0.0, unit="µm", give_or_take=0.8),
        ),
        cannot_tell=("Whether the screw or the coupling gives way: lock the screw and push.",),
        warnings=("The readings crept by 3 µm from the first run to the last.",),
        cautions=(CAUTION,),
        assumed=("Expansion 11.5 µm/m for each degree.",),
        method="ISO 230-2:2014, 4.1",
        standard="ISO 230-2",
        edition="2014",
        tables=(
            Grid(
                title="Mean deviation by target",
                columns=("target, mm", "forward, µm", "backward, µm"),
                rows=((0.0, 1.0, -5.0), (100.0, 2.5, -3.5), (200.0, 4.0, None)),
            ),
        ),
    )  # fmt: skip
    return replace(base, **changes)


def sheet(one: Proof | None = None, **changes: object) -> ProofSheet:
    """A result with what stood beside its readings."""
    base = ProofSheet(
        proof=one or proof(),
        lot="school",
        machine="machining centre",
        place="X",
        instrument="step gauge 0.001 mm, certificate 118",
        air_c=19.5,
        machine_c=20.5,
        state="cold",
        code="ABCD-EFGH",
        by="owner",
        version="0.1.0",
    )
    return replace(base, **changes)


def row(test: str, title: str, value: float | None, **told: Any) -> AcceptanceRow:
    return AcceptanceRow(test=test, title=title, value=value, **({"unit": "µm"} | told))


def accepted(**changes: object) -> Acceptance:
    """A machine with one result of each ruling, one without a limit, one provisional."""
    common = {
        "when": AT, "by": "owner", "instrument": "level 0.02 mm/m", "uncertainty": 4.0,
        "mark": "from memory, unverified", "standard": "ISO 230-1", "edition": "2012",
    }  # fmt: skip
    rows = (
        row("level", "Level and feet", 18.0, unit="µm/m", limit=40.0, ruling="proved_good",
            why="Inside the limit, doubt counted.", **common),
        row("sweep", "Sweep", 19.0, limit=20.0, ruling="not_proved",
            why="Nearer to the limit than the reading may be off.", **common),
        row("taper", "Taper and test bar", 32.0, limit=10.0, ruling="proved_bad",
            why="Outside the limit, doubt counted.", **common),
        row("backlash", "Backlash", 6.0, when=AT, by="owner"),
    )  # fmt: skip
    base = Acceptance(
        lot="school",
        machine="machining centre",
        rows=rows,
        provisional=("Squareness: provisional, machine not level",),
        cautions=(CAUTION,),
    )
    return replace(base, **changes)
