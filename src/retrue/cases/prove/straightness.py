"""Straightness of a way or table from a level's steps or an indicator."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number
from retrue.base.say import later, say
from retrue.cases.prove import straightness_words as words
from retrue.cases.prove.deed import Cell, Deed, Option, Options
from retrue.cases.prove.proof import Conditions, Grid, Proof, Quantity, ThenRead
from retrue.cases.prove.straightness_read import Line, doubts, line_of
from retrue.cases.prove.table import Table, asked_inches
from retrue.cases.prove.verdicts import judge
from retrue.science.bound import Bound
from retrue.science.straightness import REFERENCES, Straight, local, straight, windows

Floats = NDArray[np.float64]
DEFAULT = "minimum-zone"
STRETCHES = 50  # looked at when a better one is sought
BETTER = 0.5  # a stretch of that share of the length is looked for


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """Deviations from the reference line, along the line."""

    positions_mm: tuple[float, ...]
    deviations_um: tuple[float, ...]
    reference: str
    error_um: float
    window_mm: tuple[float, float] | None = None


def cells(options: Options) -> tuple[Cell, ...]:
    """The numbers of the form: step after step with a level, point after point with an indicator.

    Parameters
    ----------
    options : mapping
        ``by``, ``length_mm``, ``steps``.

    Returns
    -------
    tuple of Cell

    Examples
    --------
    >>> [cell.id for cell in cells({"by": "level", "length_mm": 500.0, "steps": 2})]
    ['s1', 's2']
    """
    count, step = max(int(options["steps"]), 1), options["length_mm"] / max(options["steps"], 1)
    by_level = options["by"] == "level"
    return tuple(
        Cell(
            id=f"s{place + 1}",
            row={"position_mm": f"{round(place * step, 3):g}"},
            column="tilt_um_per_m" if by_level else "height_um",
            prompt=words.prompt(place * step, step, by_level=by_level),
            unit="µm/m" if by_level else "µm",
        )
        for place in range(count if by_level else count + 1)
    )


def prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    """Judge how straight a line is.

    Parameters
    ----------
    table : Table
        ``position_mm`` with ``tilt_um_per_m`` or ``height_um``.
    options : mapping
        ``reference``, ``local_mm``, ``base_mm``.
    conditions : Conditions
        Limit and doubts.

    Returns
    -------
    Proof

    Raises
    ------
    Unusable
        Too few points, a step left out, a position twice.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"position_mm,height_um\\n0,0\\n100,3\\n200,0\\n", "line.csv")
    >>> prove(table, {}, Conditions()).quantities[0].value
    3.0
    """
    line = line_of(table, options)
    reference = options.get("reference") or DEFAULT
    made = {name: straight(line.positions_mm, line.heights_um, name) for name in REFERENCES}
    chosen = made[reference]
    bounds = doubts(line, conditions)
    length = options.get("local_mm")
    worst = local(line.positions_mm, line.heights_um, length, reference) if length else None
    quantities = _quantities(line, made, reference, bounds, worst, length)
    verdict = judge(quantities, conditions)
    stretch = _better(line, reference) if verdict and verdict.ruling != "proved_good" else None
    return Proof(
        deed="straightness",
        title=DEED.title,
        headline=words.headline(chosen.error, reference, line),
        quantities=quantities,
        more=_more(line, chosen, reference, worst),
        verdict=verdict,
        finds=words.finds(line, chosen),
        blames=words.blames(line, chosen),
        remedy=words.remedies(verdict, stretch),
        then_read=_then_read(stretch, bounds[reference].expanded if bounds else None),
        cannot_tell=words.cannot_tell(line),
        warnings=(*asked_inches(table.numbers("position_mm")), *words.warnings(line, bounds)),
        cautions=DEED.cautions,
        assumed=words.assumed(line),
        method=words.method(reference),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=(_table(line, chosen, reference),),
        drawing=Drawing(
            positions_mm=tuple(line.positions_mm.tolist()),
            deviations_um=tuple(chosen.deviations.tolist()),
            reference=reference,
            error_um=chosen.error,
            window_mm=None if worst is None else _span(line, worst),
        ),
    )


def _quantities(
    line: Line,
    made: dict[str, Straight],
    reference: str,
    bounds: dict[str, Bound],
    worst: tuple[float, int, int] | None,
    length: float | None,
) -> tuple[Quantity, ...]:
    def one(key: str, name: str, which: str) -> Quantity:
        return Quantity(
            key=key,
            name=name,
            value=round(made[which].error, 9),
            unit="µm",
            uncertainty=bounds[which].expanded if bounds else None,
            digits=2,
        )

    first = one("straightness_um", say("straightness, {line} line", line=reference), reference)
    each = [
        one(
            f"straightness_{which.replace('-', '_')}_um",
            say("by the {line} line", line=which),
            which,
        )
        for which in REFERENCES
    ]
    upper = Quantity(
        key="straightness_upper_um",
        name=say("not above, nineteen times in twenty"),
        value=bounds[reference].upper if bounds else None,
        unit="µm",
        digits=2,
        why="" if bounds else words.no_doubt(),
    )
    stretch = Quantity(
        key="local_um",
        name=say("worst local stretch"),
        value=None if worst is None else round(worst[0], 9),
        unit="µm",
        digits=2,
        why="" if worst is not None else words.no_window(length),
    )
    slope = Quantity(
        key="slope_um_per_m",
        name=say("slope of the reference line"),
        value=round(1000 * made[reference].slope, 9),
        unit="µm/m",
        digits=2,
        signed=True,
    )
    return (first, *each, upper, stretch, slope)


def _key(reference: str) -> str:
    return f"straightness_{reference.replace('-', '_')}_um"


def _more(
    line: Line, chosen: Straight, reference: str, worst: tuple[float, int, int] | None
) -> dict[str, object]:
    return {
        "reference": reference,
        "positions_mm": line.positions_mm.tolist(),
        "heights_um": line.heights_um.tolist(),
        "deviations_um": [round(one, 9) for one in chosen.deviations.tolist()],
        "local_window_mm": None if worst is None else list(_span(line, worst)),
    }


def _span(line: Line, stretch: tuple[float, int, int]) -> tuple[float, float]:
    _, start, end = stretch
    return float(line.positions_mm[start]), float(line.positions_mm[end - 1])


def _better(line: Line, reference: str) -> tuple[float, float, float] | None:
    """The straightest stretch of half the length: error, from, to."""
    x, h = line.positions_mm, line.heights_um
    half = BETTER * float(np.ptp(x))
    found = [
        (straight(x[start:end], h[start:end], reference).error, start, end)
        for start, end in _some(windows(x, half))
        if x[end - 1] - x[start] >= 0.8 * half
    ]
    if not found:
        return None
    best = min(found)
    return (best[0], *_span(line, best))


def _some(stretches: list[tuple[int, int]]) -> list[tuple[int, int]]:
    return stretches[:: max(1, len(stretches) // STRETCHES)]


def _then_read(
    stretch: tuple[float, float, float] | None, doubt: float | None
) -> tuple[ThenRead, ...]:
    if stretch is None:
        return ()
    error, start, end = stretch
    where = say("the same test from {start} to {end} mm", start=number(start), end=number(end))
    return (
        ThenRead(where=where, value=error, unit="µm", give_or_take=doubt, digits=1, signed=False),
    )


def _table(line: Line, chosen: Straight, reference: str) -> Grid:
    return Grid(
        title=say("Deviations from the {line} line", line=reference),
        columns=(say("position, mm"), say("height, µm"), say("deviation, µm")),
        rows=tuple(
            zip(
                [f"{x:g}" for x in line.positions_mm.tolist()],
                line.heights_um.tolist(),
                [round(one, 9) + 0.0 for one in chosen.deviations.tolist()],
                strict=True,
            )
        ),
        digits=2,
    )


DEED = Deed(
    id="straightness",
    title=later("Straightness"),
    what=later("How far a way, table or edge leaves a straight line, and where."),
    columns=("position_mm", "[tilt_um_per_m]", "[height_um]"),
    options=(
        Option(
            id="reference",
            name=later("reference line"),
            sort="choice",
            choices=REFERENCES,
            default=DEFAULT,
            help=later("The minimum-zone line gives the smallest value."),
        ),
        Option(
            id="local_mm",
            name=later("local stretch"),
            unit="mm",
            help=later("For a limit over any stretch of that length; each gets its own line."),
        ),
        Option(
            id="by",
            name=later("measured with"),
            sort="choice",
            choices=("level", "indicator"),
            default="level",
            help=later("A level moved step by step, or an indicator against a straightedge."),
        ),
        Option(
            id="length_mm",
            name=later("length of the line"),
            unit="mm",
            default=1000.0,
            help=later("From the first foot of the level to the last, or from point to point."),
        ),
        Option(
            id="steps",
            name=later("steps along it"),
            sort="whole",
            default=8,
            help=later("Length divided by the base of the level."),
        ),
        Option(
            id="base_mm",
            name=later("base of the level"),
            unit="mm",
            form=False,
            help=later("Taken from the positions where it is not said."),
        ),
    ),
    cells=cells,
    prove=prove,
    judged=("straightness_um", "straightness_upper_um", "local_um"),
    steps=words.STEPS,
    cautions=words.CAUTIONS,
    instrument=later("level 0.02 mm/m on a bridge, or indicator 0.001 and straightedge"),
    instrument_sorts=("level", "indicator", "straightedge"),
    reading_unit="µm/m",
    needs_level=True,
    standard="ISO 230-1",
    edition="2012",
    example="straightness.csv",
    order=6,
    columns_note={
        "position_mm": later("where the near foot of the level stands, or the point"),
        "tilt_um_per_m": later("level reading; plus where the far end is high"),
        "height_um": later("indicator reading; plus is high"),
    },
)
