"""Taper: the run-out of the spindle itself, the bar's taken out of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Cell, Deed, Option, Options
from retrue.cases.prove.proof import Conditions, Measured, Proof, Quantity
from retrue.cases.prove.table import MOST_NAMED, Table
from retrue.cases.prove.taper_words import (
    Place,
    as_read,
    assumed,
    cannot_tell,
    few,
    finds,
    headline,
    moves,
)
from retrue.cases.prove.verdicts import judge
from retrue.science.give_or_take import doubt_of
from retrue.science.run_out import (
    Separated,
    high_spot_deg,
    lean_um_per_m,
    run_out_um,
    separate,
    vector_of_readings,
    vector_of_run_out,
)

FAR_MM = 300.0  # where the far run-out of a taper is told
NEAR_FAR_MM = 10.0
_TOGETHER = "the bar was put in one way only: spindle and bar are not told apart"
_WORN = (
    "The taper itself runs out, whatever bar is in it: a bruised or worn seat, or bearings "
    "fitted off."
)
_ONE_PLACE = "read at one distance from the nose only"


@dataclass(frozen=True, slots=True)
class VectorPlace:
    """One distance from the nose; vectors as (x, y) in µm, None where not told apart."""

    z: float  # mm
    read: tuple[tuple[float, float], ...]
    insertions: tuple[float, ...]
    spindle: tuple[float, float] | None
    bar: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class TaperDrawing:
    """What the picture of run-out vectors needs."""

    places: tuple[VectorPlace, ...]
    doubt: float | None  # of a run-out, µm


def _cells(options: Options) -> tuple[Cell, ...]:
    ways = int(options["insertions"])
    places = (("0", say("at the nose")), (f"{options['length_mm']:g}", say("at the far end")))
    cells: list[Cell] = []
    for turn in range(0, 360, 360 // ways):
        group = say("Bar put in at {turn}°", turn=turn)
        for z, where in places:
            row = {"insertion_deg": str(turn), "z_mm": z}
            cells += _of_place(row, where, group, options["read_as"])
    return tuple(cells)


def _of_place(row: dict[str, str], where: str, group: str, read_as: str) -> list[Cell]:
    stem = f"in{row['insertion_deg']}_z{row['z_mm']}"
    if read_as == "readings":
        return [
            Cell(
                id=f"{stem}_at{turn}",
                row={**row, "angle_deg": str(turn)},
                column="reading_um",
                prompt=say("{where}: mark {turn}° faces the indicator.", where=where, turn=turn),
                unit="µm",
                group=group,
            )
            for turn in (0, 90, 180, 270)
        ]
    largest = say("{where}: largest less smallest over one turn.", where=where)
    faces = say("{where}: mark that faces the indicator when it reads most.", where=where)
    return [
        Cell(
            id=f"{stem}_{column}",
            row=row,
            column=column,
            prompt=prompt,
            unit=unit,
            signed=False,
            group=group,
        )
        for column, prompt, unit in (
            ("run_out_um", largest, "µm"),
            ("high_spot_deg", faces, "degrees"),
        )
    ]


def _prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    places = _places(table)
    near = _doubt(places, table, conditions)
    quantities = _quantities(places, near)
    remedy, then_read = moves(places, near)
    verdict = judge(quantities, conditions)
    return Proof(
        deed="taper",
        title=DEED.title,
        headline=headline(places, quantities[0]),
        quantities=quantities,
        more=_more(places),
        verdict=verdict,
        finds=finds(places, near),
        blames=(say(_WORN),) if verdict is not None and verdict.ruling == "proved_bad" else (),
        remedy=remedy,
        then_read=then_read,
        cannot_tell=cannot_tell(places),
        cautions=DEED.cautions,
        assumed=assumed(),
        method=say("Run-outs as vectors, the bar turned in the taper; by definition."),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=(as_read(places),),
        measures=_measures(places, quantities),
        drawing=_drawing(places, near),
    )


def _places(table: Table) -> tuple[Place, ...]:
    """The vectors read at each distance from the nose, nearest first."""
    table.need("insertion_deg", "z_mm")
    insertions, z = table.numbers("insertion_deg"), table.numbers("z_mm")
    if table.has("run_out_um"):
        table.need("high_spot_deg")
        sizes, spots = table.numbers("run_out_um"), table.numbers("high_spot_deg")
        if (sizes < 0).any():
            wrong = np.flatnonzero(sizes < 0)
            table.refuse(
                {table.where(int(i), "run_out_um"): say("is below zero") for i in wrong},
                say("Write largest less smallest."),
            )
        rows = [
            (float(at), float(turn), vector_of_run_out(float(size), float(spot)))
            for at, turn, size, spot in zip(z, insertions, sizes, spots, strict=True)
        ]
    else:
        table.need("angle_deg", "reading_um")
        rows = _from_readings(table, insertions, z)
    made = []
    for at in sorted({row[0] for row in rows}):
        turns = tuple(row[1] for row in rows if row[0] == at)
        vectors = tuple(row[2] for row in rows if row[0] == at)
        made.append(Place(at, turns, vectors, _separated(turns, vectors)))
    return tuple(made)


def _from_readings(
    table: Table, insertions: np.ndarray, z: np.ndarray
) -> list[tuple[float, float, complex]]:
    angles, readings = table.numbers("angle_deg"), table.numbers("reading_um")
    pairs, which = np.unique(np.column_stack([z, insertions]), axis=0, return_inverse=True)
    order = np.argsort(which.ravel(), kind="stable")
    ends = np.cumsum(np.bincount(which.ravel()))[:-1]
    rows, wrong = [], []
    for (at, turn), chosen in zip(pairs.tolist(), np.split(order, ends), strict=True):
        try:
            rows.append((at, turn, vector_of_readings(angles[chosen], readings[chosen])))
        except ValueError:
            where = say("bar at {turn}°, {z} mm", turn=number(turn), z=number(at))
            wrong.append(Problem(where, say("fewer than three marks are read")))
    if wrong:
        raise Unusable(
            say("some turns of the spindle are not read through"),
            remedy=say("Read at three marks at least, best at every quarter turn."),
            problems=tuple(wrong[:MOST_NAMED]),
        )
    return rows


def _separated(turns: tuple[float, ...], vectors: tuple[complex, ...]) -> Separated | None:
    try:
        return separate(turns, vectors)
    except ValueError:
        return None


def _doubt(places: tuple[Place, ...], table: Table, conditions: Conditions) -> float | None:
    """Expanded uncertainty of a run-out of the spindle, µm; scatter pooled over the places."""
    apart = [one.apart for one in places if one.apart is not None]
    if not apart:
        return None
    known = conditions.reading_uncertainty
    if known is not None:  # of one component of a vector
        turns = sum(len(one.vectors) for one in places)
        marks = 4.0 if table.has("run_out_um") else len(table) / turns
        known *= math.sqrt(2.0 / marks)
    freedom = sum(one.freedom for one in apart)
    squares = sum(one.freedom * one.scatter**2 for one in apart)
    scatter = math.sqrt(squares / freedom) if freedom else 0.0
    unit = max(one.unit_uncertainty for one in apart)
    doubt = 2 * doubt_of(unit, scatter, freedom, known)
    return doubt if math.isfinite(doubt) else None


def _quantities(places: tuple[Place, ...], near: float | None) -> tuple[Quantity, ...]:
    ends = (("nose", say("at the nose"), places[0]), ("end", say("at the far end"), places[-1]))
    made = [
        _run_out(f"{what}_run_out_{key}_um", say(name, where=where), place, what, near, places)
        for what, name in (("spindle", "spindle, {where}"), ("bar", "bar, {where}"))
        for key, where, place in ends
    ]
    nose = places[0]
    return (
        *made,
        *_axis(places, near),
        Quantity(
            key="mean_of_run_outs_um",
            name=say("mean of the run-outs at the nose, which is not the spindle's"),
            value=sum(map(run_out_um, nose.vectors)) / len(nose.vectors),
            unit="µm",
        ),
    )


def _run_out(
    key: str, name: str, place: Place, what: str, near: float | None, places: tuple[Place, ...]
) -> Quantity:
    why = ""
    if place.apart is None:
        why = say(_TOGETHER)
    elif key.endswith("end_um") and len(places) == 1:
        why = say(_ONE_PLACE)
    value = None
    if not why and place.apart is not None:
        value = run_out_um(place.apart.spindle if what == "spindle" else place.apart.bar)
    return Quantity(
        key=key,
        name=name,
        value=value,
        unit="µm",
        uncertainty=None if why else near,
        why=why,
    )


def _axis(places: tuple[Place, ...], near: float | None) -> tuple[Quantity, Quantity]:
    """Offset of the bore's axis at the nose, and its lean."""
    nose, end = places[0], places[-1]
    length = end.z - nose.z
    offset = lean = None
    why = say(_TOGETHER)
    if nose.apart is not None and end.apart is not None:
        offset, why = abs(nose.apart.spindle), say(_ONE_PLACE)
        if length:
            lean = lean_um_per_m(nose.apart.spindle, end.apart.spindle, length)
    half = None if near is None else near / 2
    far = None if half is None or lean is None else half * math.sqrt(2) / length * 1000
    return (
        Quantity(
            key="parallel_offset_um",
            name=say("axis of the bore off the axis of turning, at the nose"),
            value=offset,
            unit="µm",
            uncertainty=None if offset is None else half,
            why="" if offset is not None else why,
        ),
        Quantity(
            key="angular_error_um_per_m",
            name=say("axis of the bore leans from the axis of turning"),
            value=lean,
            unit="µm/m",
            uncertainty=far,
            why="" if lean is not None else why,
        ),
    )


def _more(places: tuple[Place, ...]) -> dict[str, object]:
    """Vectors by place, for programs."""
    told = []
    for one in places:
        row: dict[str, object] = {"z_mm": one.z, "insertions": len(one.vectors)}
        if one.apart is not None:
            for name, vector in (("spindle", one.apart.spindle), ("bar", one.apart.bar)):
                row[f"{name}_high_spot_deg"] = high_spot_deg(vector)
                row[f"{name}_x_um"], row[f"{name}_y_um"] = vector.real, vector.imag
        told.append(row)
    return {"vectors": told}


def _measures(places: tuple[Place, ...], quantities: tuple[Quantity, ...]) -> tuple[Measured, ...]:
    """A kind of machine takes the measures that it has."""
    nose, end = quantities[0], quantities[1]
    far = abs(places[-1].z - FAR_MM) <= NEAR_FAR_MM
    wanted = (("M01", nose), ("M57", nose), *((("M02", end),) if far else ()))
    return tuple(
        Measured(
            measure=id,
            value=one.value / 1000,
            uncertainty=None if one.uncertainty is None else one.uncertainty / 1000,
        )
        for id, one in wanted
        if one.value is not None
    )


def _drawing(places: tuple[Place, ...], near: float | None) -> TaperDrawing:
    def pair(vector: complex) -> tuple[float, float]:
        return vector.real, vector.imag

    return TaperDrawing(
        places=tuple(
            VectorPlace(
                z=one.z,
                read=tuple(pair(vector) for vector in one.vectors),
                insertions=one.insertions,
                spindle=None if one.apart is None else pair(one.apart.spindle),
                bar=None if one.apart is None else pair(one.apart.bar),
            )
            for one in map(few, (places[0], places[-1])[: len(places)])
        ),
        doubt=near,
    )


DEED = Deed(
    id="taper",
    title="Taper and test bar",
    what="Tells how far the spindle's own taper runs out, the bar's run-out taken out.",
    columns=("insertion_deg", "z_mm", "run_out_um", "high_spot_deg"),
    options=(
        Option(
            id="insertions",
            name="ways the bar is put in",
            sort="choice",
            default="4",
            choices=("4", "2", "1"),
            help="Two tell spindle and bar apart, four tell how well.",
        ),
        Option(
            id="length_mm",
            name="far place from the nose",
            unit="mm",
            default=FAR_MM,
            help="Where the bar is read a second time.",
        ),
        Option(
            id="read_as",
            name="how a turn is read",
            sort="choice",
            default="run-out",
            choices=("run-out", "readings"),
            help="Largest less smallest with its high spot, or readings at four marks.",
        ),
    ),
    cells=_cells,
    prove=_prove,
    judged=("spindle_run_out_nose_um", "spindle_run_out_end_um"),
    steps=(
        "Clean taper and bar. Mark the nose at every quarter turn, 0 to 270°, and the bar at 0°.",
        "Put the bar in with its mark at 0° and draw it home.",
        "Set the indicator square to the bar at the nose; turn the spindle by hand one turn.",
        "Write largest less smallest, and the mark that faces the indicator at the largest.",
        "Read again at the far place; then turn the bar in the taper and repeat.",
    ),
    cautions=(
        "The spindle is turned by hand: machine isolated and locked off as your local rules "
        "and the manual say. Hold the bar when it is let go. The numbers are estimates for "
        "planning.",
    ),
    instrument="test bar and indicator 0.001 mm",
    instrument_sorts=("indicator", "test_bar"),
    reading_unit="µm",
    daily=True,
    standard="ISO 10791-2 or ISO 13041-1",
    edition="2023, test of the edition of 2001: G11; 2020, G2 (from memory)",
    example="taper.csv",
    order=3,
    columns_note={
        "insertion_deg": "how far the bar is turned in the taper",
        "z_mm": "distance from the nose",
        "run_out_um": "largest less smallest; or angle_deg,reading_um at three marks or more",
        "high_spot_deg": "mark on the nose that faces the indicator when it reads most",
    },
)
