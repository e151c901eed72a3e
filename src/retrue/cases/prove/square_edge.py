"""A straightedge read, turned over and read again: the motion parted from the ruler."""

from __future__ import annotations

import numpy as np

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.proof import Conditions, Grid, Proof, Quantity
from retrue.cases.prove.said import amount
from retrue.cases.prove.square_read import SETUPS, SquareDrawing, parts
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge
from retrue.science.squareness import Parted, parted


def edge_proof(table: Table, options: Options, conditions: Conditions) -> Proof:
    """Work out the straightness of a motion and of the straightedge it was read on.

    Parameters
    ----------
    table : Table
        Columns setup, position_mm, reading_um; the same positions in both set-ups.
    options : mapping
        Of the test.
    conditions : Conditions
        Limit and doubt.

    Returns
    -------
    Proof

    Raises
    ------
    Unusable
        A set-up is missing, or the positions differ.
    ValueError
        Fewer than three positions.

    Examples
    --------
    >>> from retrue.cases.prove.deed import deed, options_of
    >>> from retrue.cases.prove.table import read_table
    >>> rows = b"setup,position_mm,reading_um\\nfirst,0,0\\nfirst,100,5\\nfirst,200,0\\n"
    >>> rows += b"turned,0,0\\nturned,100,1\\nturned,200,0\\n"
    >>> options = options_of(deed("square"), {"method": "straightedge"})
    >>> made = edge_proof(read_table(rows, "edge.csv"), options, Conditions())
    >>> round(made.quantities[0].value, 6), round(made.quantities[1].value, 6)
    (3.0, 2.0)
    """
    first, turned = parts(table, "setup", SETUPS, ("first", "turned"))
    if sorted(first[0].tolist()) != sorted(turned[0].tolist()):
        raise Unusable(
            say("the two set-ups were not read at the same positions"),
            remedy=say("Read every position in both; those that are there are kept."),
            problems=(Problem("position_mm", say("differs between first and turned")),),
        )
    order = np.argsort(first[0], kind="stable"), np.argsort(turned[0], kind="stable")
    found = parted(first[0][order[0]], first[1][order[0]], turned[1][order[1]])
    quantities = _quantities(found, conditions.reading_uncertainty)
    value = quantities[0].value
    assert value is not None
    return Proof(
        deed="square",
        title=say("Square"),
        headline=say(
            "The motion bends by {machine}, the straightedge itself by {edge}.",
            machine=amount(value, "µm"),
            edge=amount(quantities[1].value or 0.0, "µm"),
        ),
        quantities=quantities,
        more={"method": "straightedge", "axes": options["axes"]},
        verdict=judge(quantities, conditions),
        cannot_tell=(
            say("Level and tilt of either: a line is taken out of each trace."),
            say("Bending under its own weight, if the straightedge lay flat: stand it on edge."),
        ),
        method=say("Straightedge turned over: half the sum is the motion, half the difference it."),
        standard="ISO 230-1",
        edition="2012, straightness by reversal (from memory)",
        tables=(_grid(found),),
        drawing=SquareDrawing(
            method="straightedge",
            axes=options["axes"],
            traces=(
                ("motion", tuple(found.positions_mm.tolist()), tuple(found.machine_um.tolist())),
                ("edge", tuple(found.positions_mm.tolist()), tuple(found.artefact_um.tolist())),
            ),
            largest=value,
        ),
    )


def _quantities(found: Parted, known: float | None) -> tuple[Quantity, ...]:
    """A range of two averaged readings: each half of two, so the doubt of one reading."""
    names = (
        ("machine_straightness_um", say("the motion, about its own line"), found.machine_um),
        ("straightedge_um", say("the straightedge, about its own line"), found.artefact_um),
    )
    return tuple(
        Quantity(key=key, name=name, value=float(np.ptp(trace)), unit="µm", uncertainty=known)
        for key, name, trace in names
    )


def _grid(found: Parted) -> Grid:
    rows = zip(found.positions_mm, found.machine_um, found.artefact_um, strict=True)
    columns = (say("position, mm"), say("motion, µm"), say("straightedge, µm"))
    made = tuple((float(x), float(m), float(s)) for x, m, s in rows)
    return Grid(title=say("Parted"), columns=columns, rows=made, digits=2)
