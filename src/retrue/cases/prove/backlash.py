"""Backlash at three places: what a control may make up, and what is wear in the middle."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.backlash_words import (
    Axis,
    cannot_tell,
    finds,
    headline,
    place_name,
    remedy,
    warnings,
    wear_words,
)
from retrue.cases.prove.deed import Cell, Deed, Option, Options
from retrue.cases.prove.proof import Conditions, Grid, Measured, Proof, Quantity, ThenRead
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge
from retrue.science.give_or_take import doubt_of
from retrue.science.lost_motion import (
    LostMotion,
    centre_wear,
    centre_wear_unit,
    left_after,
    lost_motion,
    uniform,
)

PLACES = ("low", "middle", "high")
WAYS = ("forward", "backward")
MOST_SHOWN = 40  # readings at one place from one side
_PLACE_WORDS = {
    "low": "low", "start": "low", "left": "low",
    "middle": "middle", "mid": "middle", "centre": "middle", "center": "middle",
    "high": "high", "end": "high", "right": "high",
}  # fmt: skip
_WAY_WORDS = {"forward": "forward", "+": "forward", "backward": "backward", "-": "backward"}


@dataclass(frozen=True, slots=True)
class BacklashDrawing:
    """What the picture of three places needs, µm; readings about the mean of each place."""

    places: tuple[str, ...]
    forward: tuple[tuple[float, ...], ...]
    backward: tuple[tuple[float, ...], ...]
    reversals: tuple[float, ...]
    left: tuple[float, ...]  # after the control has made up what is uniform
    doubt: float | None
    axis: str


def _cells(options: Options) -> tuple[Cell, ...]:
    cells = []
    for place in PLACES:
        for run in range(1, options["runs"] + 1):
            for way in WAYS:
                cells.append(
                    Cell(
                        id=f"{place}_{run}_{way}",
                        row={"place": place, "approach": way, "run": str(run)},
                        column="reading_um",
                        prompt=_prompt(way, options["axis"]),
                        unit="µm",
                        group=place_name(place),
                    )
                )
    return tuple(cells)


def _prompt(way: str, axis: str) -> str:
    if way == "forward":
        return say(
            "Go a few millimetres below, come up to the place in +{axis}, stop, read.", axis=axis
        )
    return say("Go a few millimetres past, come back to it in −{axis}, stop, read.", axis=axis)


def _prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    read, lonely = _read(table, options)
    if not read:
        raise Unusable(
            say("no place is read from both sides yet"),
            remedy=say("Come to the place once forward and once backward, and read both times."),
            problems=(Problem(table.name, say("one side only: {places}", places=_names(lonely))),),
        )
    found = lost_motion(
        [one["forward"] for one in read.values()], [one["backward"] for one in read.values()]
    )
    axis = _axis(tuple(read), found, options, conditions.reading_uncertainty)
    quantities = _quantities(axis)
    left = left_after(found.reversals, axis.taken)
    return Proof(
        deed="backlash",
        title=DEED.title,
        headline=headline(axis),
        quantities=quantities,
        more={"places": list(axis.places), "made_up_um": axis.taken},
        verdict=judge(quantities, conditions),
        finds=finds(axis),
        blames=wear_words(axis),
        remedy=remedy(axis),
        then_read=_then_read(axis, left),
        cannot_tell=cannot_tell(axis),
        warnings=warnings(axis, lonely),
        cautions=DEED.cautions,
        assumed=(
            say("A reading grows as the slide moves in its plus direction, or was turned so."),
            say("Lost motion is backward less forward: play counts +, too much made up −."),
            say("Read with the control as found: what it makes up so far comes on top of it."),
        ),
        method=say("Means of both sides at each place, scatter pooled."),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=(_grid(axis, read, left),),
        measures=_measures(axis),
        drawing=_drawing(axis, read, left),
    )


def _names(places: tuple[str, ...]) -> str:
    return ", ".join(place_name(one) for one in places) or "-"


Read = dict[str, dict[str, list[float]]]


def _read(table: Table, options: Options) -> tuple[Read, tuple[str, ...]]:
    """Readings by place and side, plus counted in +; places read from one side only."""
    table.need("place", "approach", "reading_um")
    places = table.words("place", _PLACE_WORDS)
    ways = table.words("approach", _WAY_WORDS)
    sign = 1.0 if options["plus_means"] == "towards +" else -1.0
    readings = table.numbers("reading_um") * sign
    made: Read = {place: {way: [] for way in WAYS} for place in PLACES if place in places}
    for place, way, reading in zip(places, ways, readings, strict=True):
        made[place][way].append(float(reading))
    lonely = tuple(place for place, both in made.items() if not all(both.values()))
    return {place: both for place, both in made.items() if place not in lonely}, lonely


def _axis(
    places: tuple[str, ...], found: LostMotion, options: Options, known: float | None
) -> Axis:
    doubts = [
        doubt_of(float(unit), found.scatter, found.freedom, known)
        for unit in found.unit_uncertainties
    ]
    common = uniform(found.reversals) if len(places) == len(PLACES) else None
    step = options["step_um"]
    taken = 0.0
    if common is not None and abs(common) > min(doubts, default=0.0):
        taken = math.copysign(math.floor(abs(common) / step + 1e-9) * step if step else abs(common),
                              common)  # fmt: skip
    return Axis(
        name=options["axis"],
        places=places,
        reversals=tuple(float(one) for one in found.reversals),
        doubts=tuple(one if math.isfinite(one) else None for one in doubts),
        uniform=common,
        wear=_wear(found, known) if common is not None else None,
        taken=taken,
        parameter=options["parameter_um"],
        spread=found.spread,
        known=known,
    )


def _wear(found: LostMotion, known: float | None) -> tuple[float, float | None]:
    low, middle, high = (float(one) for one in found.unit_uncertainties)
    unit = centre_wear_unit(low, middle, high)
    near = doubt_of(unit, found.scatter, found.freedom, known)
    a, b, c = (float(one) for one in found.reversals)
    return centre_wear(a, b, c), near if math.isfinite(near) else None


def _quantities(axis: Axis) -> tuple[Quantity, ...]:
    worst = axis.worst
    made = [
        Quantity(
            key="reversal_um",
            name=say("lost motion, largest of the places"),
            value=axis.reversals[worst],
            unit="µm",
            uncertainty=axis.doubts[worst],
            signed=True,
        )
    ]
    unread = say("not read from both sides there")
    for place in PLACES:
        there = axis.places.index(place) if place in axis.places else None
        made.append(
            Quantity(
                key=f"reversal_{place}_um",
                name=say("lost motion, {place}", place=place_name(place)),
                value=None if there is None else axis.reversals[there],
                unit="µm",
                uncertainty=None if there is None else axis.doubts[there],
                signed=True,
                why=unread if there is None else "",
            )
        )
    return (*made, *_of_three(axis))


def _of_three(axis: Axis) -> tuple[Quantity, ...]:
    why = "" if axis.wear is not None else say("takes all three places")
    return (
        Quantity(
            key="reversal_uniform_um",
            name=say("common to all places"),
            value=axis.uniform,
            unit="µm",
            uncertainty=_common_doubt(axis),
            signed=True,
            why=why,
        ),
        Quantity(
            key="wear_centre_um",
            name=say("middle more than the ends"),
            value=None if axis.wear is None else axis.wear[0],
            unit="µm",
            uncertainty=None if axis.wear is None else axis.wear[1],
            signed=True,
            why=why,
        ),
        Quantity(
            key="repeat_um",
            name=say("readings from one side differ by at most"),
            value=axis.spread,
            unit="µm",
        ),
    )


def _common_doubt(axis: Axis) -> float | None:
    """That of the place it was read at."""
    if axis.uniform is None or axis.uniform not in axis.reversals:
        return None
    return axis.doubts[axis.reversals.index(axis.uniform)]


def _then_read(axis: Axis, left: np.ndarray) -> tuple[ThenRead, ...]:
    if not axis.taken:
        return ()
    return tuple(
        ThenRead(
            where=say("backward less forward, {place}", place=place_name(place)),
            value=float(rest),
            unit="µm",
            give_or_take=near,
        )
        for place, rest, near in zip(axis.places, left, axis.doubts, strict=True)
    )


def _measures(axis: Axis) -> tuple[Measured, ...]:
    """The machine's own lost motion: what the control makes up so far comes on top."""
    made = []
    if "middle" in axis.places:
        there = axis.places.index("middle")
        own = axis.reversals[there] + (axis.parameter or 0.0)
        made.append(_measured("M13", own, axis.doubts[there]))
    if axis.wear is not None:
        made.append(_measured("M14", axis.wear[0], axis.wear[1]))
    return tuple(made)


def _measured(id: str, value_um: float, near_um: float | None) -> Measured:
    """Of lost motion and wear the measure knows none below nothing."""
    near = None if near_um is None else near_um / 1000
    return Measured(measure=id, value=max(value_um, 0.0) / 1000, uncertainty=near)


def _grid(axis: Axis, read: Read, left: np.ndarray) -> Grid:
    rows = tuple(
        (
            place_name(place),
            float(np.mean(read[place]["forward"])),
            float(np.mean(read[place]["backward"])),
            axis.reversals[row],
            axis.doubts[row],
            float(left[row]),
        )
        for row, place in enumerate(axis.places)
    )
    return Grid(
        title=say("At each place"),
        columns=(
            say("place"),
            say("forward, mean, µm"),
            say("backward, mean, µm"),
            say("lost motion, µm"),
            say("give or take, µm"),
            say("left after the setting, µm"),
        ),
        rows=rows,
    )


def _few(readings: list[float]) -> list[float]:
    """Of very many readings the outermost and some between."""
    if len(readings) <= MOST_SHOWN:
        return readings
    sizes = np.sort(readings)
    return [float(one) for one in sizes[np.linspace(0, len(sizes) - 1, MOST_SHOWN).astype(int)]]


def _drawing(axis: Axis, read: Read, left: np.ndarray) -> BacklashDrawing:
    def about(place: str, way: str) -> tuple[float, ...]:
        both = read[place]
        middle = (np.mean(both["forward"]) + np.mean(both["backward"])) / 2
        return tuple(float(one - middle) for one in _few(both[way]))

    return BacklashDrawing(
        places=tuple(place_name(one) for one in axis.places),
        forward=tuple(about(one, "forward") for one in axis.places),
        backward=tuple(about(one, "backward") for one in axis.places),
        reversals=axis.reversals,
        left=tuple(float(one) for one in left) if axis.taken else (),
        doubt=axis.doubts[axis.worst],
        axis=axis.name,
    )


DEED = Deed(
    id="backlash",
    title="Backlash at three places",
    what="Tells how much motion is lost at reversal, how much of it a control may make up, and "
    "whether the screw is worn in the middle.",
    columns=("place", "approach", "[run]", "reading_um", "[position_mm]"),
    options=(
        Option(id="axis", name="axis", sort="text", default="X", help="Its letter."),
        Option(
            id="runs", name="times from each side", sort="whole", default=3,
            help="Three tell how well it repeats.",
        ),
        Option(
            id="plus_means", name="a reading grows as the slide moves", sort="choice",
            default="towards +", choices=("towards +", "towards -"),
            help="Try it before the first reading.",
        ),
        Option(
            id="parameter_um", name="made up by the control so far", unit="µm", signed=True,
            help="The reversal compensation as found, for the setting to enter.",
        ),
        Option(
            id="step_um", name="smallest step of that setting", unit="µm", default=1.0,
            help="What is entered is rounded down to it.",
        ),
    ),
    cells=_cells,
    prove=_prove,
    judged=("reversal_um", "reversal_middle_um", "reversal_uniform_um", "wear_centre_um"),
    steps=(
        "Rigid base on the table, indicator against the spindle head, or the other way round.",
        "Write down what the control makes up so far; leave it as it is.",
        "At each place come to it forward, stop, read; go past, come back, stop, read.",
        "Same feed each time, a few millimetres of run-up, no hand on the machine.",
        "Low end, middle and high end of travel.",
    ),
    cautions=(
        "The axis moves under power: follow the manual and your local rules, keep out of its "
        "way, low feed. The numbers are estimates for planning.",
    ),
    instrument="indicator 0.001 mm on a rigid base",
    instrument_sorts=("indicator",),
    reading_unit="µm",
    needs_level=True,
    daily=True,
    standard="ISO 230-2",
    edition="2014, clause 3: reversal at a position; sign turned (from memory)",
    example="backlash.csv",
    order=4,
    columns_note={
        "place": "low, middle or high",
        "approach": "forward: come to it in +; backward: in -",
        "reading_um": "grows as the slide moves in +",
    },
)  # fmt: skip
