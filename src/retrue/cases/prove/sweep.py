"""Sweep: is the spindle square to the table, which way does it lean, and which shim helps."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Cell, Deed, Option, Options
from retrue.cases.prove.proof import (
    Conditions,
    Grid,
    Measured,
    Proof,
    Quantity,
    ThenRead,
)
from retrue.cases.prove.sweep_words import (
    assumed,
    cannot_tell,
    finds,
    headline,
    moves,
    remedy,
    warnings,
)
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge
from retrue.science.give_or_take import doubt_of
from retrue.science.sweep import (
    CIRCLE_MM,
    Swept,
    by_sector,
    difference_um,
    dish_um,
    places,
    predicted_um,
    shim_um,
    sweep,
)

COLUMNS = ("angle_deg", "reading_um")
MOST_SHOWN = 72  # of more readings than that, means over sectors are shown
SECTOR_DEG = 5.0


@dataclass(frozen=True, slots=True)
class SweepDrawing:
    """What the picture of a sweep needs: angles in degrees, readings about their mean in µm."""

    angles: tuple[float, ...]
    readings: tuple[float, ...]
    tilt: float  # µm/m
    nod: float
    radius: float  # mm
    largest: float  # µm on 300 mm
    uncertainty: float | None


def _cells(options: Options) -> tuple[Cell, ...]:
    step = 360 // int(options["points"])
    cells = []
    for turn in range(0, 361, step):
        where = say("Arm at {angle}°: {side}.", angle=turn, side=_side(turn))
        if turn == 360:
            where = say("Arm back at the first place, {side}: read once more.", side=_side(0))
        cells.append(
            Cell(
                id=f"at_{turn}",
                row={"angle_deg": str(turn)},
                column="reading_um",
                prompt=where,
                unit="µm",
                group=say("Readings round the table, plunger in counts +"),
            )
        )
    return tuple(cells)


def _side(angle: float) -> str:
    names = {
        0: say("to +X, right"),
        90: say("to +Y, back"),
        180: say("to −X, left"),
        270: say("to −Y, front"),
    }
    return names.get(round(angle) % 360, say("counted from +X towards +Y"))


def _prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    table.need(*COLUMNS)
    angles, readings = table.numbers("angle_deg"), table.numbers("reading_um")
    if places(angles) < 3:
        raise Unusable(
            say("fewer than three places of the circle are read"),
            remedy=say("Read at three places at least, best at every quarter turn."),
            problems=(Problem(table.name, say("{n} places so far", n=places(angles))),),
        )
    read = _swept(table, options)
    swept = replace(
        read,
        tilt=read.tilt - (options["table_x_um_per_m"] or 0.0),
        nod=read.nod - (options["table_y_um_per_m"] or 0.0),
    )
    known = conditions.reading_uncertainty
    doubt = doubt_of(read.unit_uncertainty, read.scatter, read.freedom, known)
    quantities = _quantities(swept, options, doubt if math.isfinite(doubt) else None)
    move = moves(swept, options)
    shown = (angles, readings)
    if len(readings) > MOST_SHOWN:
        shown = by_sector(angles, readings, SECTOR_DEG)
    return Proof(
        deed="sweep",
        title=DEED.title,
        headline=headline(swept, difference_um(swept)),
        quantities=quantities,
        more={"readings": len(readings), "radius_mm": read.radius},
        verdict=judge(quantities, conditions),
        finds=finds(swept, read, options),
        remedy=remedy(swept, move),
        then_read=_then_read(move.left, read, swept, quantities[1].uncertainty),
        cannot_tell=cannot_tell(options),
        warnings=warnings(angles, readings, read, known),
        cautions=DEED.cautions,
        assumed=assumed(),
        method=say("Least-squares plane through the swept circle; by definition."),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=(_grid(*shown, read),),
        measures=(
            Measured(
                measure="M25",
                value=difference_um(swept) / 1000,
                uncertainty=None
                if quantities[0].uncertainty is None
                else quantities[0].uncertainty / 1000,
            ),
        ),
        drawing=_drawing(*shown, read, swept, quantities[0].uncertainty),
    )


def _swept(table: Table, options: Options) -> Swept:
    radius = options["radius_mm"]
    try:
        return sweep(table.numbers("angle_deg"), table.numbers("reading_um"), radius)
    except ValueError:
        raise Unusable(
            say("these places do not give a plane"),
            remedy=say("Give a radius over zero, and places spread round the whole circle."),
            problems=(Problem("radius_mm", say("{value} mm", value=number(radius, 1))),),
        ) from None


def _quantities(swept: Swept, options: Options, doubt: float | None) -> tuple[Quantity, ...]:
    """``doubt`` is the expanded uncertainty of a lean, in µm/m."""
    share = None if doubt is None else doubt * CIRCLE_MM / 1000
    made = [
        Quantity(
            key="sweep_300_um",
            name=say("largest difference on a 300 mm circle"),
            value=difference_um(swept),
            unit="µm",
            uncertainty=share,
        ),
        Quantity(
            key="tilt_um_per_m",
            name=say("tilt to the side, in the plane of X and Z"),
            value=swept.tilt,
            unit="µm/m",
            uncertainty=doubt,
            signed=True,
        ),
        Quantity(
            key="nod_um_per_m",
            name=say("nod to the back, in the plane of Y and Z"),
            value=swept.nod,
            unit="µm/m",
            uncertainty=doubt,
            signed=True,
        ),
        Quantity(
            key="closure_um",
            name=say("opposite pairs differ by"),
            value=swept.twofold,
            unit="µm",
        ),
    ]
    return (*made, *_by_option(swept, options, doubt))


def _by_option(swept: Swept, options: Options, doubt: float | None) -> list[Quantity]:
    """Shim, swivel and dish: null with the reason where a length is not given."""

    def of(key: str, name: str, needs: tuple[str, ...], value: Any, digits: int) -> Quantity:
        missing = [one for one in needs if not options[one]]
        why = _not_given(missing)
        told = None if missing else float(value(*(options[one] for one in needs)))
        near = None
        if doubt is not None and len(needs) == 1 and not missing:
            near = shim_um(doubt, options[needs[0]])
        return Quantity(
            key=key, name=name, value=told, unit="µm", uncertainty=near, digits=digits, why=why
        )

    cutter = ("cutter_mm", "width_mm")
    return [
        of("shim_um", say("shim in the joint of the head"), ("joint_mm",),
           lambda h: abs(shim_um(swept.nod, h)), 2),
        of("swivel_um", say("move at the swivel's pointer"), ("swivel_mm",),
           lambda h: abs(shim_um(swept.tilt, h)), 2),
        of("dish_um", say("dish of a face cut along X"), cutter,
           lambda d, w: _dish(swept.tilt, d, w), 3),
        of("dish_y_um", say("dish of a face cut along Y"), cutter,
           lambda d, w: _dish(swept.nod, d, w), 3),
    ]  # fmt: skip


def _not_given(missing: list[str]) -> str:
    """Why a length-bound number is not told, by the names a person sees."""
    names = {option.id: option.name for option in DEED.options}
    if not missing:
        return ""
    return say("not given: {what}", what=", ".join(str(names[one]) for one in missing))


def _dish(lean: float, cutter: float, width: float) -> float:
    if width > cutter:
        raise Unusable(
            say("the face is wider than the cutter"),
            remedy=say("Give the width of one pass."),
            problems=(Problem("width_mm", say("over {cutter} mm", cutter=number(cutter, 1))),),
        )
    return dish_um(lean, cutter, width)


def _then_read(left: Swept, read: Swept, swept: Swept, doubt: float | None) -> tuple[ThenRead, ...]:
    """Differences right less left and back less front, on the circle that was swept."""
    again = replace(
        left,
        tilt=left.tilt + read.tilt - swept.tilt,
        nod=left.nod + read.nod - swept.nod,
    )
    right, back, west, front = predicted_um(again, [0, 90, 180, 270]).tolist()
    near = None if doubt is None else doubt * read.radius * 2 / 1000
    return (
        ThenRead(where=say("right less left"), value=right - west, unit="µm", give_or_take=near),
        ThenRead(where=say("back less front"), value=back - front, unit="µm", give_or_take=near),
    )


def _grid(angles: Any, readings: Any, read: Swept) -> Grid:
    fitted = predicted_um(read, angles) + read.offset
    rows = tuple(
        (float(angle), float(reading), float(lean), float(reading - lean))
        for angle, reading, lean in zip(angles, readings, fitted, strict=True)
    )
    return Grid(
        title=say("Round the circle"),
        columns=(
            say("angle, degrees"),
            say("read, µm"),
            say("by the lean alone, µm"),
            say("left over, µm"),
        ),
        rows=rows,
        digits=2,
    )


def _drawing(
    angles: Any, readings: Any, read: Swept, swept: Swept, doubt: float | None
) -> SweepDrawing:
    return SweepDrawing(
        angles=tuple(float(one) for one in angles),
        readings=tuple(float(one - read.offset) for one in readings),
        tilt=read.tilt,
        nod=read.nod,
        radius=read.radius,
        largest=difference_um(swept),
        uncertainty=doubt,
    )


DEED = Deed(
    id="sweep",
    title="Sweep",
    what="Tells whether the spindle stands square to the table, and which shim makes it so.",
    columns=COLUMNS,
    options=(
        Option(
            id="radius_mm",
            name="radius of the swept circle",
            unit="mm",
            needed=True,
            help="From the spindle's axis to the indicator's tip.",
        ),
        Option(
            id="points",
            name="places on the circle",
            sort="choice",
            default="4",
            choices=("4", "8"),
            help="Eight tell the form of the table apart from the lean.",
        ),
        Option(
            id="joint_mm",
            name="height of the head's joint face",
            unit="mm",
            help="Between its upper and its lower bolts; for the shim.",
        ),
        Option(
            id="swivel_mm",
            name="radius of the swivel's pointer",
            unit="mm",
            help="From the pivot of the head to its pointer.",
        ),
        Option(
            id="foil_um",
            name="thinnest foil",
            unit="µm",
            default=5.0,
            help="Shims are told in whole steps of it; 0 tells them as worked out.",
        ),
        Option(
            id="cutter_mm",
            name="cutter diameter",
            unit="mm",
            help="For the dish of a milled face.",
        ),
        Option(
            id="width_mm",
            name="width of one pass",
            unit="mm",
            help="For the dish of a milled face.",
        ),
        Option(
            id="table_x_um_per_m",
            name="table rises along +X",
            unit="µm/m",
            signed=True,
            help="Read along the X motion; taken off the tilt.",
        ),
        Option(
            id="table_y_um_per_m",
            name="table rises along +Y",
            unit="µm/m",
            signed=True,
            help="Read along the Y motion; taken off the nod.",
        ),
    ),
    cells=_cells,
    prove=_prove,
    judged=("sweep_300_um", "tilt_um_per_m", "nod_um_per_m"),
    steps=(
        "Level the machine first. Wipe the table, stone off its burrs.",
        "Clamp a stiff arm in the spindle, the indicator down on the table, half a turn in.",
        "Axes in the middle of travel, clamped where they have clamps.",
        "Turn the spindle by hand; lift the plunger over the slots.",
        "Read at each place as the form asks, and once more at the first.",
    ),
    cautions=(
        "The spindle is turned by hand: machine isolated and locked off as your local rules "
        "and the manual say. The numbers are estimates for planning.",
    ),
    instrument="indicator 0.001 mm on a stiff arm",
    instrument_sorts=("indicator",),
    reading_unit="µm",
    needs_level=True,
    daily=True,
    standard="ISO 10791-2",
    edition="2023, tests of the edition of 2001: G13, G14 (from memory)",
    example="sweep.csv",
    order=2,
    columns_note={
        "angle_deg": "where the arm points, from +X towards +Y",
        "reading_um": "plunger in counts +",
    },
)
