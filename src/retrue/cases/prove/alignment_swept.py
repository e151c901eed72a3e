"""A tailstock or a turret bore, swept by an indicator that turns with the spindle."""

from __future__ import annotations

import math

import numpy as np

from retrue.base.say import later, say
from retrue.cases.prove.alignment_bar import LEAST_UM, AlignmentDrawing
from retrue.cases.prove.deed import Cell, Options
from retrue.cases.prove.proof import (
    Conditions,
    Grid,
    Measured,
    Proof,
    Quantity,
    Remedy,
    ThenRead,
)
from retrue.cases.prove.said import amount
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge
from retrue.science.alignment import Offset, offset
from retrue.science.give_or_take import doubt_of

PLACES = {
    0: later("to the side, towards you"),
    90: later("on top"),
    180: later("at the far side"),
    270: "below",
}
MEASURES = {"tailstock": "M32", "turret": "M37"}


def swept_cells(options: Options) -> tuple[Cell, ...]:
    """The readings that a form asks for: four places round the turn, the first one twice.

    Parameters
    ----------
    options : mapping
        Of the test.

    Returns
    -------
    tuple of Cell

    Examples
    --------
    >>> [cell.row["angle_deg"] for cell in swept_cells({})]
    ['0', '90', '180', '270', '360']
    """
    names = {
        0: say("Indicator to the side, towards you"),
        90: say("Indicator on top"),
        180: say("Indicator at the far side"),
        270: say("Indicator below"),
        360: say("Back at the first place: read once more"),
    }
    return tuple(
        Cell(
            id=f"at_{angle}",
            row={"angle_deg": str(angle)},
            column="reading_um",
            prompt=name,
            unit="µm",
            group=say("Spindle turned by hand, a quarter at a time"),
        )
        for angle, name in names.items()
    )


def swept_proof(table: Table, options: Options, conditions: Conditions) -> Proof:
    """Work out where a bore or a quill lies, seen from the spindle's axis.

    Parameters
    ----------
    table : Table
        Columns angle_deg and reading_um.
    options : mapping
        Of the test: what the indicator feels, and the droop of its arm.
    conditions : Conditions
        Limit and doubt.

    Returns
    -------
    Proof

    Raises
    ------
    Unusable
        A column is missing or a cell is no number.
    ValueError
        The places do not determine a centre.

    Examples
    --------
    >>> from retrue.cases.prove.deed import deed, options_of
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"angle_deg,reading_um\\n0,-8\\n90,-6\\n180,8\\n270,6\\n", "bore.csv")
    >>> options = options_of(deed("alignment"), {"method": "turret"})
    >>> round(swept_proof(table, options, Conditions()).quantities[0].value, 6)
    10.0
    """
    table.need("angle_deg", "reading_um")
    angles, readings = table.numbers("angle_deg"), table.numbers("reading_um")
    sag = options["sag_um"]
    inside = options["surface"] == "bore"
    found = offset(angles, readings, inside=inside, sag_um=sag or 0.0)
    doubt = doubt_of(
        found.unit_uncertainty, found.scatter_um, found.freedom, conditions.reading_uncertainty
    )
    quantities = _quantities(found, doubt if math.isfinite(doubt) else None)
    most, near = quantities[0].value, quantities[0].uncertainty
    assert most is not None
    method = options["method"]
    return Proof(
        deed="alignment",
        title=say("Alignment"),
        headline=_headline(found, most, method),
        quantities=quantities,
        more={"method": method, "surface": options["surface"]},
        verdict=judge(quantities, conditions),
        remedy=_remedy(found, method),
        then_read=_then_read(found, inside, near),
        cannot_tell=_cannot_tell(sag, method),
        warnings=_warnings(found),
        assumed=() if sag is not None else (say("The indicator’s arm does not droop."),),
        method=say("Centre by least squares from the swept readings; by definition."),
        standard="ISO 13041-1",
        edition="2020, coaxiality (from memory)",
        tables=(_grid(angles, readings, found, inside, sag or 0.0),),
        measures=(
            Measured(
                measure=MEASURES[method],
                value=most / 1000,
                uncertainty=None if near is None else near / 1000,
            ),
        ),
        drawing=AlignmentDrawing(
            method=method, side=found.side_um, height=found.height_um, doubt=near, largest=most
        ),
    )


def _quantities(found: Offset, doubt: float | None) -> tuple[Quantity, ...]:
    return (
        Quantity(
            key="out_of_line_um",
            name=say("off the spindle’s centre"),
            value=float(np.hypot(found.side_um, found.height_um)),
            unit="µm",
            uncertainty=doubt,
        ),
        Quantity(
            key="side_um",
            name=say("towards the side, 0°"),
            value=found.side_um,
            unit="µm",
            uncertainty=doubt,
            signed=True,
        ),
        Quantity(
            key="height_um",
            name=say("upwards"),
            value=found.height_um,
            unit="µm",
            uncertainty=doubt,
            signed=True,
        ),
    )


def _thing(method: str) -> str:
    return say("The tailstock") if method == "tailstock" else say("The turret’s bore")


def _headline(found: Offset, most: float, method: str) -> str:
    thing = _thing(method)
    if most < LEAST_UM:
        return say(
            "{thing} lies on the spindle’s centre as far as the indicator tells.", thing=thing
        )
    parts = []
    if abs(found.height_um) >= LEAST_UM:
        size = amount(abs(found.height_um), "µm")
        up = found.height_um > 0
        parts.append(say("{size} high", size=size) if up else say("{size} low", size=size))
    if abs(found.side_um) >= LEAST_UM:
        size = amount(abs(found.side_um), "µm")
        near = found.side_um > 0
        parts.append(
            say("{size} towards you", size=size) if near else say("{size} away from you", size=size)
        )
    return say("{thing} lies {ways}.", thing=thing, ways=say(" and ").join(parts))


def _remedy(found: Offset, method: str) -> tuple[Remedy, ...]:
    made = []
    if abs(found.height_um) >= LEAST_UM:
        size, high = amount(abs(found.height_um), "µm"), found.height_um > 0
        if method == "tailstock" and high:
            text = say(
                "Leave the height if it is inside the limit: a tailstock wears down. Else scrape "
                "or shim it {size} down.",
                size=size,
            )
        elif high:
            text = say("Bring it {size} down.", size=size)
        else:
            text = say("Bring it {size} up with a shim.", size=size)
        made.append(Remedy(text=text))
    if abs(found.side_um) >= LEAST_UM:
        size, near = amount(abs(found.side_um), "µm"), found.side_um > 0
        made.append(
            Remedy(
                text=say("Nudge it {size} away from you.", size=size)
                if near
                else say("Nudge it {size} towards you.", size=size)
            )
        )
    return tuple(made)


def _then_read(found: Offset, inside: bool, near: float | None) -> tuple[ThenRead, ...]:
    """Opposite places, before and after by the same model: all that is left is their doubt."""
    if max(abs(found.side_um), abs(found.height_um)) < LEAST_UM:
        return ()
    doubt = None if near is None else 2 * near
    return (
        ThenRead(where=say("on top less below"), value=0.0, unit="µm", give_or_take=doubt),
        ThenRead(where=say("towards you less far side"), value=0.0, unit="µm", give_or_take=doubt),
    )


def _cannot_tell(sag: float | None, method: str) -> tuple[str, ...]:
    told = [say("An angle between the two axes: sweep once more at another depth.")]
    if sag is None:
        told.append(
            say(
                "Droop of the indicator’s arm from height: sweep a ring that turns with it, top "
                "against below, and give half of the difference."
            )
        )
    if method == "turret":
        told.append(say("The other stations of the turret: sweep each bore that is used."))
    return tuple(told)


def _warnings(found: Offset) -> tuple[str, ...]:
    size = float(np.hypot(found.side_um, found.height_um))
    if found.twofold_um > max(2.0, size / 2):
        return (
            say(
                "The surface reads oval by {size}: dirt, a burr, or a bore that is tilted.",
                size=amount(2 * found.twofold_um, "µm"),
            ),
        )
    return ()


def _grid(
    angles: np.ndarray, readings: np.ndarray, found: Offset, inside: bool, sag: float
) -> Grid:
    turn = np.radians(angles)
    towards = -1.0 if inside else 1.0
    shape = towards * (found.side_um * np.cos(turn) + found.height_um * np.sin(turn))
    shape = shape + sag * np.sin(turn)
    level = float(np.mean(readings - shape))
    rows = tuple(
        (float(a), float(r), float(s + level))
        for a, r, s in zip(angles, readings, shape, strict=True)
    )
    columns = (say("place, degrees"), say("reading, µm"), say("fitted, µm"))
    return Grid(title=say("Readings round the turn"), columns=columns, rows=rows)
