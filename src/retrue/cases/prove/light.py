"""Light: enough and even enough for the work, and what seems to stand still in it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from retrue.base.formatter import number, short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, say
from retrue.cases.prove.deed import Cell, Deed, Option, Options, options_of
from retrue.cases.prove.proof import Conditions, Grid, Measured, Proof, Quantity, Remedy
from retrue.cases.prove.proof import flat as plain
from retrue.cases.prove.table import Table
from retrue.science.light import (
    NEEDS,
    Lit,
    Need,
    expected_lux,
    lamps_needed,
    lit,
    needed_lm,
)
from retrue.science.light_flicker import (
    NO_SPEED,
    Standing,
    flicker_of_mains_hz,
    standing_still,
    told_standing,
)

SHARE = 0.10  # give or take of a lux meter, k = 2 (common practice, no source)
MOST_LUX = 200_000.0
POINTS = 9
EVEN_SHARE = 0.05  # give or take of least over mean, k = 2 (common practice, no source)
MOST_ROWS = 24
RULINGS = {"enough": later("enough"), "too_little": later("too little"),
           "uneven": later("bright enough in the mean, not even enough"),
           "cannot_tell": later("too close to call")}  # fmt: skip


def prove(table: Table, typed: Mapping[str, Any], conditions: Conditions) -> Proof:
    """What readings of light say.

    Parameters
    ----------
    table : Table
        ``lux``, one point a row, and ``point`` if you like.
    typed : mapping
        Options as typed: ``task``, ``area_m2``, ``lamp_lm``, ``lamps``, ``most_rpm`` ...
    conditions : Conditions
        ``uncertainty`` is that of the mean, in lux.

    Returns
    -------
    Proof
        ``ruling`` among ``more``: enough, too_little, uneven, cannot_tell.

    Raises
    ------
    Unusable
        A reading cannot be, or an option is wrong.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"point,lux\\nleft,600\\nright,800\\n", "table.csv")
    >>> made = prove(table, {"task": "fine"}, Conditions())
    >>> made.quantities[0].value, made.more["ruling"]
    (700.0, 'enough')
    """
    options = options_of(DEED, typed)
    readings = _readings(table)
    found, need = lit(list(readings)), NEEDS[options["task"]]
    doubt = conditions.uncertainty
    doubt = SHARE * found.mean_lux if doubt is None else doubt
    ruling = _ruling(found, doubt, need)
    quantities = _quantities(found, doubt, options, need)
    return Proof(
        deed="light",
        title=DEED.title,
        headline=_headline(found, need, ruling),
        quantities=quantities,
        more=_more(options, need, ruling, found),
        finds=_finds(found, need),
        remedy=_remedy(found, need, ruling, options),
        cannot_tell=(
            say("Whether the lamps flicker: film the turning spindle, or ask their maker."),
            say("Glare, and shadow of your own head: read with yourself at your place."),
        ),
        warnings=(*_warnings(readings), *_left_out(options)),
        cautions=DEED.cautions,
        assumed=(
            say("{task}: {lux} lux wanted, {standard}, {mark}.", task=need.title,
                lux=number(need.mean_lux), standard=need.standard, mark=need.mark),
        ),
        method=say("Mean of the points; least over mean."),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=_tables(table, readings, options),
        measures=(Measured(measure="M29", value=found.mean_lux, uncertainty=doubt),),
    )  # fmt: skip


def flat(proof: Proof) -> dict[str, Any]:
    """The proof as plain values for ``--json``.

    Parameters
    ----------
    proof : Proof
        Of :func:`prove`.

    Returns
    -------
    dict
        ``mean_lux``, ``uniformity`` and more; each null with its ``why``.

    Examples
    --------
    >>> flat(Proof(deed="light", title="", headline="", quantities=()))["schema"]
    'prove.light.1'
    """
    told = plain(proof)
    for key in ("seems_to_stand_rpm", "seems_to_have_faces"):
        if told.setdefault(key, None) is None:
            told["why"][key] = say("Nobody said the highest speed.")
    return told


def _readings(table: Table) -> tuple[float, ...]:
    if not table.has("lux") and table.has("foot_candle"):
        raise Unusable(
            say("{name} is in foot candles", name=table.name),
            remedy=say("Convert it: a foot candle is 10.764 lux."),
            problems=(Problem("foot_candle", say("name the column lux")),),
        )
    table.need("lux")
    values = table.numbers("lux")
    wrong = {
        table.where(at, "lux"): say("{value} lux, which no place has", value=short(value))
        for at, value in enumerate(values)
        if not 0 <= value <= MOST_LUX
    }
    if wrong:
        table.refuse(wrong, say("Read it again."))
    return tuple(values.tolist())


def _ruling(found: Lit, doubt: float, need: Need) -> str:
    """Mean and least over mean both have to reach what is wanted."""
    if found.mean_lux + doubt < need.mean_lux:
        return "too_little"
    even = found.uniformity if found.points > 1 else None
    if even is not None and even * (1 + EVEN_SHARE) < need.uniformity:
        return "uneven" if found.mean_lux - doubt >= need.mean_lux else "cannot_tell"
    if even is not None and even * (1 - EVEN_SHARE) < need.uniformity:
        return "cannot_tell"
    return "enough" if found.mean_lux - doubt >= need.mean_lux else "cannot_tell"


def _quantities(found: Lit, doubt: float, options: Options, need: Need) -> tuple[Quantity, ...]:
    even = found.uniformity if found.points > 1 else None
    made = [
        Quantity(key="mean_lux", name=say("light, mean"), value=found.mean_lux, unit="lux",
                 uncertainty=doubt, digits=0),
        Quantity(key="least_lux", name=say("light, least"), value=found.least_lux, unit="lux",
                 digits=0),
        Quantity(key="most_lux", name=say("light, most"), value=found.most_lux, unit="lux",
                 digits=0),
        Quantity(key="uniformity", name=say("least over mean"), value=even, unit="", digits=2,
                 why=say("needs several points with light on them")),
    ]  # fmt: skip
    return (*made, *_of_lamps(options, need))


def _of_lamps(options: Options, need: Need) -> tuple[Quantity, ...]:
    """How many lamps give what is wanted, where room and lamp are said."""
    area, lamp = options["area_m2"], options["lamp_lm"]
    if area is None:
        return ()
    shares = {"utilisation_share": options["utilisation_share"],
              "upkeep_share": options["upkeep_share"]}  # fmt: skip
    needed = needed_lm(need.mean_lux, area, **shares)
    made = [
        Quantity(key="needed_lm", name=say("light that all lamps must give"), value=needed,
                 unit="lm", digits=0)
    ]  # fmt: skip
    if lamp is not None:
        made.append(
            Quantity(key="lamps_needed", name=say("lamps for that"),
                     value=float(lamps_needed(needed, lamp)), unit="", digits=0)
        )  # fmt: skip
        if options["lamps"] is not None:
            lux = expected_lux(options["lamps"] * lamp, area, **shares)
            made.append(
                Quantity(key="expected_lux", name=say("light that the lamps there should give"),
                         value=lux, unit="lux", digits=0)
            )  # fmt: skip
    return tuple(made)


def _headline(found: Lit, need: Need, ruling: str) -> str:
    told = {"mean": number(found.mean_lux), "ruling": RULINGS[ruling], "task": need.title,
            "wanted": number(need.mean_lux)}  # fmt: skip
    if found.points < 2 or found.uniformity is None:
        return say("{mean} lux: {ruling} for {task} ({wanted} lux wanted).", **told)
    return say(
        "{mean} lux in the mean, {least} at the darkest point: {ruling} for {task} ({wanted} lux "
        "and least over mean {even} wanted).",
        least=number(found.least_lux), even=number(need.uniformity, 2), **told,
    )  # fmt: skip


def _more(options: Options, need: Need, ruling: str, found: Lit) -> dict[str, Any]:
    speeds = _speeds(options)
    return {
        "task": need.task,
        "wanted_lux": need.mean_lux,
        "wanted_uniformity": need.uniformity,
        "ruling": ruling,
        "points": found.points,
        "flicker_hz": _flicker(options),
        "seems_to_stand_rpm": None if speeds is None else [one.speed_rpm for one in speeds],
        "seems_to_have_faces": None if speeds is None else [one.faces for one in speeds],
        "marks": {"wanted_lux": need.mark, "wanted_uniformity": need.uniformity_mark},
    }


def _flicker(options: Options) -> float:
    return float(options["flicker_hz"] or flicker_of_mains_hz(options["mains_hz"]))


def _speeds(options: Options) -> tuple[Standing, ...] | None:
    """None where nobody said how fast it may turn."""
    most = options["most_rpm"]
    return standing_still(_flicker(options), options["alike"], most) if most else None


def _finds(found: Lit, need: Need) -> tuple[str, ...]:
    if found.uniformity is None or found.points < 2:
        return ()
    even = {"seen": number(found.uniformity, 2), "wanted": number(need.uniformity, 2),
            "mark": need.uniformity_mark}  # fmt: skip
    if found.uniformity < need.uniformity:
        return (
            say("Uneven: the darkest point has {seen} of the mean, {wanted} is wanted ({mark}).",
                **even),
        )  # fmt: skip
    return (
        say("Even: the darkest point has {seen} of the mean, {wanted} is wanted ({mark}).", **even),
    )


def _remedy(found: Lit, need: Need, ruling: str, options: Options) -> tuple[Remedy, ...]:
    made = []
    if ruling != "enough":
        made.append(Remedy(text=say(
            "Clean lamps and window first, then read again: dust takes a fifth and more."
        )))  # fmt: skip
    if ruling == "too_little":
        made.append(Remedy(text=_more_lamps(found, need, options)))
    if found.points > 1 and found.uniformity is not None and found.uniformity < need.uniformity:
        made.append(Remedy(text=say("Light the darkest point from its other side.")))
    return tuple(made)


def _more_lamps(found: Lit, need: Need, options: Options) -> str:
    area, lamp = options["area_m2"], options["lamp_lm"]
    lacks = need.mean_lux - found.mean_lux
    if area is None or lamp is None:
        return say("{lux} lux are lacking: a lamp near the work, or more over it.",
                   lux=number(lacks))  # fmt: skip
    more = lamps_needed(
        needed_lm(lacks, area, utilisation_share=options["utilisation_share"],
                  upkeep_share=options["upkeep_share"]),
        lamp,
    )  # fmt: skip
    if more == 1:
        return say("{lux} lux are lacking: one more of these lamps, or one near the work.",
                   lux=number(lacks))  # fmt: skip
    return say("{lux} lux are lacking: {count} more of these lamps, or one near the work.",
               lux=number(lacks), count=number(more))  # fmt: skip


def _warnings(readings: tuple[float, ...]) -> tuple[str, ...]:
    told = []
    if len(readings) < POINTS:
        told.append(say("Fewer than nine points: the mean is of where you read, not of the table."))
    if len(readings) > 2 and max(readings) < 100:
        told.append(say("Was it in foot candles? A foot candle is 10.764 lux."))
    return tuple(told)


def _left_out(options: Options) -> tuple[str, ...]:
    """What the list of speeds does not show; an empty one is no promise."""
    speeds = _speeds(options)
    if speeds is None:
        return ()
    left = told_standing(speeds, MOST_ROWS)[1]
    if not speeds:
        return (NO_SPEED,)
    if left:
        return (say("{left} more speeds, of more faces, are not shown: see the JSON form.",
                    left=number(left)),)  # fmt: skip
    return ()


def _tables(table: Table, readings: tuple[float, ...], options: Options) -> tuple[Grid, ...]:
    names = table.text("point") if table.has("point") else [str(row) for row in table.rows]
    rows = tuple((name, value) for name, value in zip(names, readings, strict=True))
    made = [Grid(title=say("Points"), columns=(say("point"), say("lux")), rows=rows, digits=0)]
    shown, _ = told_standing(_speeds(options) or (), MOST_ROWS)
    if shown:
        made.append(
            Grid(title=say("Speeds at which it would seem to stand in a flicker of {hz} Hz",
                           hz=number(_flicker(options))),
                 columns=(say("rpm"), say("faces it seems to have")),
                 rows=tuple((one.speed_rpm, float(one.faces)) for one in shown), digits=0)
        )  # fmt: skip
    return tuple(made)


def _cells(options: Options) -> tuple[Cell, ...]:
    return tuple(
        Cell(
            id=f"point_{at}", row={"point": str(at)}, column="lux",
            prompt=say("Point {at} of {all}, meter flat on the table", at=at, all=POINTS),
            unit="lux", signed=False,
        )
        for at in range(1, POINTS + 1)
    )  # fmt: skip


DEED = Deed(
    id="light",
    title=later("Light"),
    what=later("Whether the light on the work is enough and even, and what it makes of a chuck."),
    columns=("[point]", "lux"),
    columns_note={"point": later("its name"), "lux": later("as the meter shows it")},
    options=(
        Option(id="task", name=later("what is done there"), sort="choice", choices=tuple(NEEDS),
               default="fine", help=later("rough 300, fine 500, inspection 750, precision 1000.")),
        Option(id="area_m2", name=later("floor that is lit"), unit="m²",
               help=later("To tell how many lamps.")),
        Option(id="lamp_lm", name=later("light of one lamp"), unit="lm", help=later("On its box.")),
        Option(id="lamps", name=later("lamps there are"), sort="whole"),
        Option(id="utilisation_share", name=later("share that reaches the work"), default=0.6),
        Option(id="upkeep_share", name=later("share left when old and dusty"), default=0.8),
        Option(id="mains_hz", name=later("mains"), unit="Hz", default=50.0),
        Option(id="flicker_hz", name=later("flicker of the lamps"), unit="Hz",
               help=later("Where it was measured; else twice the mains.")),
        Option(id="alike", name=later("like faces of what turns"), sort="whole", default=3,
               help=later("Three jaws, six corners.")),
        Option(id="most_rpm", name=later("highest speed"), unit="rpm",
               help=later("To tell at which speeds it seems to stand.")),
    ),
    cells=_cells,
    prove=prove,
    judged=("mean_lux",),
    steps=(
        later("Lamps on for ten minutes, window as on a working day."),
        later("Nine points spread over the table, the meter flat on it, yourself out of its "
              "light."),
    ),
    cautions=(
        later(
            "In light that flickers, a chuck or cutter that turns may seem to stand still or to "
            "turn slowly. Never judge by the eye whether it stands. EN 12464-1 and local code go "
            "first."
        ),
        later("Read only while the spindle stands and cannot start."),
    ),
    instrument=later("lux meter"),
    instrument_sorts=("lux_meter",),
    reading_unit="lux",
    standard="EN 12464-1",
    edition="2021 (secondary source, unverified)",
    order=16,
)  # fmt: skip
