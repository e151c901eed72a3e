"""Level and feet: which foot, how far, and what the level then shows."""

from __future__ import annotations

import numpy as np

from retrue.base.formatter import short
from retrue.base.say import later, say
from retrue.cases.prove import level_numbers, level_words
from retrue.cases.prove.deed import Cell, Deed, Option, Options
from retrue.cases.prove.feet import feet_of
from retrue.cases.prove.level_read import levelled, moved, setting_sd, with_rises
from retrue.cases.prove.proof import Conditions, Measured, Proof
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge

MM_PER_M = 1000.0  # µm/m in one mm/m
EDGE = 0.1  # the level stands that share of the length away from the ends
GRIDS = {"1": (1, 1), "4": (2, 2), "6": (3, 2), "9": (3, 3)}


def cells(options: Options) -> tuple[Cell, ...]:
    """The numbers of the form: at each place the level along x and along y, and turned round.

    Parameters
    ----------
    options : mapping
        Length and width that the level reaches, how many places, whether it is turned.

    Returns
    -------
    tuple of Cell

    Examples
    --------
    >>> len(cells({"length_mm": 1000, "width_mm": 500, "stations": "4", "not_turned": False}))
    16
    """
    across, deep = GRIDS[options["stations"]]
    xs = _spread(options["length_mm"], across)
    ys = _spread(options["width_mm"], deep)
    made = []
    for place, (x, y) in enumerate(((x, y) for y in ys for x in xs), 1):
        group = say("Place {number}: x {x} mm, y {y} mm", number=place, x=short(x), y=short(y))
        for along in ("x", "y"):
            row = {"x_mm": f"{x:g}", "y_mm": f"{y:g}", "direction": along}
            ways = ("tilt",) if options["not_turned"] else ("tilt", "turned")
            for way in ways:
                made.append(
                    Cell(
                        id=f"p{place}_{along}_{way}",
                        row=row,
                        column=f"{way}_um_per_m",
                        prompt=level_words.prompt(place, along, way),
                        unit="µm/m",
                        group=group,
                    )
                )
    return tuple(made)


def _spread(length: float, count: int) -> list[float]:
    if count == 1:
        return [length / 2]
    return [length * (EDGE + (1 - 2 * EDGE) * step / (count - 1)) for step in range(count)]


def prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    """Judge the level of a machine and work out its feet.

    Parameters
    ----------
    table : Table
        ``x_mm, y_mm, direction, tilt_um_per_m`` and perhaps ``turned_um_per_m``.
    options : mapping
        ``feet``, ``pitch_mm``, ``response`` and the rest of the deed's.
    conditions : Conditions
        Limit and doubts.

    Returns
    -------
    Proof

    Raises
    ------
    Unusable
        Readings, feet or response cannot be used.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"x_mm,y_mm,direction,tilt_um_per_m\\n0,0,x,60\\n0,0,y,-30\\n", "l.csv")
    >>> proof = prove(table, {"feet": "A:0:0,B:2000:0,C:1000:1000"}, Conditions())
    >>> [foot["raise_um"] for foot in proof.more["feet"]]
    [120.0, 0.0, 90.0]
    """
    level = levelled(table, conditions)
    feet = feet_of(options.get("feet") or "") if options.get("feet") else ()
    move, pitch = moved(level, feet, options), options.get("pitch_mm") or None
    if move is not None:
        feet = with_rises(feet, level, move, pitch)
    quantities = level_numbers.quantities(level)
    worst = int(np.argmax(np.abs(level.tilts)))
    value = float(level.tilts[worst])
    given = quantities[0].uncertainty
    step = setting_sd(pitch, options.get("smallest_turn_deg") or 0.0)
    after = () if move is None else level_numbers.then_read(level, move, step)
    return Proof(
        deed="level",
        title=DEED.title,
        headline=level_words.headline(level, worst, feet if move else ()),
        quantities=quantities,
        more=level_numbers.more(level, feet, move, pitch),
        verdict=judge(quantities, conditions),
        finds=level_words.finds(level, move),
        remedy=level_words.remedies(feet, move, pitch),
        then_read=after,
        cannot_tell=level_words.cannot_tell(level, feet, move, options),
        warnings=level_words.warnings(level, move, after),
        cautions=DEED.cautions,
        assumed=level_words.assumed(level, move, options),
        method=say(
            "One lean along x, one along y and a twist, fitted to all tilts by least squares; "
            "each foot rises to the highest one."
        ),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=level_numbers.tables(level, feet if move else (), move),
        measures=(
            Measured(
                measure="M26",
                value=abs(value) / MM_PER_M,
                uncertainty=None if given is None else given / MM_PER_M,
            ),
        ),
        drawing=level_numbers.Drawing(feet=feet, places=level_numbers.places(level), worst=value),
    )


DEED = Deed(
    id="level",
    title=later("Level and feet"),
    what=later("Which foot to turn, how far, and what the level then shows."),
    columns=("x_mm", "y_mm", "direction", "tilt_um_per_m", "[turned_um_per_m]"),
    options=(
        Option(
            id="feet",
            name=later("feet"),
            sort="text",
            help=later(
                "Name, x and y in mm of each foot: FL:0:0,FR:2000:0,RR:2000:1000,RL:0:1000."
            ),
        ),
        Option(
            id="pitch_mm",
            name=later("rise of a foot for one turn"),
            unit="mm",
            help=later("The screw's pitch: M16 2, M20 2.5, M24 3; on a wedge, measure it."),
        ),
        Option(
            id="length_mm",
            name=later("length that the level reaches, along x"),
            unit="mm",
            default=1000.0,
            help=later("From end to end of the table or bed, measured from x = 0."),
        ),
        Option(
            id="width_mm",
            name=later("width that the level reaches, along y"),
            unit="mm",
            default=500.0,
            help=later("From front to rear, measured from y = 0."),
        ),
        Option(
            id="stations",
            name=later("places of the level"),
            sort="choice",
            choices=tuple(GRIDS),
            default="4",
            help=later("Four near the corners show tilt and twist; one shows tilt only."),
        ),
        Option(
            id="not_turned",
            name=later("read once only, the level not turned end for end"),
            sort="flag",
            default=False,
            help=later("Half the work; the level's own zero then stays in every reading."),
        ),
        Option(
            id="smallest_turn_deg",
            name=later("smallest turn a hand can set"),
            unit="degrees",
            default=5.0,
            form=False,
            help=later("Goes into the give or take of what is then read."),
        ),
        Option(
            id="response",
            name=later("response of the bed"),
            sort="file",
            form=False,
            help=later(
                "Columns foot, x_mm, y_mm, direction, change_um_per_m: one foot raised at a time."
            ),
        ),
        Option(
            id="raise_um",
            name=later("rise of each foot for the response"),
            unit="µm",
            form=False,
            help=later("The same for each foot."),
        ),
        Option(
            id="most_um",
            name=later("most that a foot may rise"),
            unit="µm",
            form=False,
            help=later("Only with a measured response."),
        ),
    ),
    cells=cells,
    prove=prove,
    judged=(
        "worst_tilt_um_per_m",
        "tilt_x_um_per_m",
        "tilt_y_um_per_m",
        "twist_um_per_m_per_m",
    ),
    steps=level_words.STEPS,
    cautions=level_words.CAUTIONS,
    instrument=later("level 0.02 mm/m"),
    instrument_sorts=("level",),
    reading_unit="µm/m",
    daily=True,
    standard="ISO 230-1",
    edition="2012",
    example="level.csv",
    order=1,
    columns_note={
        "x_mm": later("place of the level, along x"),
        "y_mm": later("place of the level, along y"),
        "direction": later("x or y: along which axis the level lies"),
        "tilt_um_per_m": later("reading; plus where the end of the level that lies to + is high"),
        "turned_um_per_m": later(
            "turned end for end; plus where the same end of the level is high"
        ),
    },
)
