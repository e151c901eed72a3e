"""Ramp: what pulls up, what two holds that do not depend on each other must hold, when it tips."""

from __future__ import annotations

import math

from retrue.base.formatter import number
from retrue.base.say import later, say
from retrue.cases.move.drawings import RampDrawing
from retrue.cases.move.mass_fields import EXTRAS, HEIGHT, MASS, MASS_FROM, mass_of
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.lifting import tip_angle_deg
from retrue.science.rolling import hold_newton, pull_newton
from retrue.science.route import crest_mm

STARTS = 2.0
STEEP_DEG = 10.0  # from here on it is a rigger's with a winch of his own (judgement)
TIP_TIMES = 2.0  # the tip angle is wanted that many times the slope (judgement)

FIELDS = (
    MASS,
    MASS_FROM,
    EXTRAS,
    Field(
        id="slope_deg", zero=True, name="slope of the ramp", unit="deg",
        help="Measure it, or give its rise and its length.", group="the ramp",
    ),
    Field(id="rise_mm", zero=True, name="rise of the ramp", unit="mm", help="From floor to bed.",
          group="the ramp"),
    Field(id="run_mm", name="length of the ramp, along it", unit="mm", help="Along the slope.",
          group="the ramp"),
    Field(
        id="ramp_rated_kg", name="rating of the ramp", unit="kg", help="On the ramp.",
        group="the ramp",
    ),
    Field(
        id="rolling_share", zero=True, name="rolling resistance, share of the weight", default=0.05,
        mark="from memory, unverified", help="0.02 to 0.05 on clean ground.", group="the ramp",
    ),
    Field(
        id="pull_rated_newton", name="rating of the winch", unit="N",
        help="On the winch, on the rope layer it will work on.", group="what pulls and holds",
    ),
    Field(
        id="hold_one_newton", name="rating of the first hold", unit="N",
        help="Winch with brake, chain hoist, ratchet.", group="what pulls and holds",
    ),
    Field(
        id="hold_two_newton", name="rating of the second hold", unit="N",
        help="Another rope to another anchor: not the same one twice.",
        group="what pulls and holds",
    ),
    Field(
        id="base_mm",
        name="between the first and the last skate or axle",
        unit="mm",
        help="Along the way.",
        group="the ramp",
    ),
    Field(
        id="under_mm",
        name="room between its frame and the floor",
        unit="mm",
        help="At its lowest point between the skates.",
        group="the ramp",
    ),
    HEIGHT,
    Field(
        id="half_width_mm", zero=True,
        name="from the centre of gravity to the lowest line of support",
        unit="mm", help="Along the slope, seen from above.", group="the machine",
    ),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """What pulls and what holds.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said.

    Returns
    -------
    Reckoning

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"mass_kg": "5000", "slope_deg": "5"}))
    >>> round(next(f.value for f in made.figures if f.key == "pull_newton"))
    6718
    """
    draft = Draft("ramp", say("Ramp"), FIELDS, values)
    mass, slope = mass_of(draft), _slope(draft)
    if mass is not None and draft.said("ramp_rated_kg") is not None:
        _rated(draft, mass, draft.said("ramp_rated_kg"))
    if mass is None or slope is None:
        return draft.done("")
    source = "statics (by definition); rolling share from memory"
    pull = pull_newton(mass, slope, draft.get("rolling_share"))
    hold = hold_newton(mass, slope)
    draft.figure("pull_newton", say("pull up the ramp, rolling"), pull, "N", 0, source)
    start = _start(draft, mass, slope)
    draft.figure("start_newton", say("pull that starts it"), start, "N", 0)
    draft.figure("hold_newton", say("what each of two holds must hold"), hold, "N", 0,
                 later("statics (by definition), rolling counted as nothing"))  # fmt: skip
    _gear(draft, start, hold)
    _crest(draft, slope)
    _tip(draft, slope)
    draft.drawing = RampDrawing(
        mass_kg=mass, slope_deg=slope, pull_newton=start, hold_newton=hold,
        length_mm=draft.said("run_mm"), rise_mm=draft.said("rise_mm"),
    )  # fmt: skip
    told = say("Plan {start} N to start it and twice {hold} N to hold.", start=number(start),
               hold=number(hold))  # fmt: skip
    return draft.done(told)


def _slope(draft: Draft) -> float | None:
    slope: float | None = draft.said("slope_deg")
    rise, run = draft.said("rise_mm"), draft.said("run_mm")
    if slope is None and rise is not None and run:
        if rise >= run:
            draft.stop(say("a ramp cannot rise more than it is long"),
                       say("Measure rise and length again."), "rise_mm")  # fmt: skip
            return None
        slope = math.degrees(math.asin(rise / run))
        draft.figure("slope_deg", say("slope"), slope, "deg", 1, later("by definition"))
    if slope is None:
        return float(draft.wanted("slope_deg")) if draft.wanted("slope_deg") is not None else None
    if slope > STEEP_DEG:
        draft.stop(
            say("a slope of {slope}° is too steep to plan here", slope=number(slope, 1)),
            say("A longer ramp, a dock, or a rigger with his own gear."),
            "slope_deg",
        )
    return slope


def _start(draft: Draft, mass: float, slope: float) -> float:
    """The slope is pulled once, rolling is twice as hard to start."""
    return pull_newton(mass, slope, STARTS * draft.get("rolling_share"))


def _rated(draft: Draft, mass: float, rated: float) -> None:
    if mass > rated:
        draft.stop(
            say("the ramp is rated {rated} kg", rated=number(rated)),
            say("Get a ramp of {kg} kg or more.", kg=number(mass)),
            "ramp_rated_kg",
        )


def _gear(draft: Draft, start: float, hold: float) -> None:
    winch = draft.wanted("pull_rated_newton")
    if winch is not None and winch < start:
        draft.stop(say("the winch pulls {winch} N", winch=number(winch)),
                   say("Get {start} N or more: it must start what stands.", start=number(start)),
                   "pull_rated_newton")  # fmt: skip
    for id, which in (("hold_one_newton", say("first")), ("hold_two_newton", say("second"))):
        rated = draft.wanted(id)
        if rated is not None and rated < hold:
            draft.stop(
                say("the {which} hold is rated {rated} N", which=which, rated=number(rated)),
                say("Get {hold} N or more, on an anchor of its own.", hold=number(hold)),
                id,
            )


def _crest(draft: Draft, slope: float) -> None:
    """Where the ramp ends its frame may sit on the edge."""
    base, under = draft.said("base_mm"), draft.said("under_mm")
    if not base or slope <= 0:
        return
    needed = crest_mm(base, slope)
    draft.figure(
        "crest_mm", say("room it needs under it where the ramp ends"), needed, "mm", 0,
        later("geometry (by definition)"),
    )  # fmt: skip
    if under is not None and under < needed:
        draft.stop(
            say("its frame sits on the edge: {lack} mm are lacking", lack=number(needed - under)),
            say("Higher skates, a longer and flatter ramp, or plates that round the edge."),
            "under_mm",
        )


def _tip(draft: Draft, slope: float) -> None:
    height, half = draft.wanted(HEIGHT.id), draft.wanted("half_width_mm")
    if not height or half is None:
        return
    tip = tip_angle_deg(half, height)
    draft.figure("tip_angle_deg", say("slope at which it tips by itself"), tip, "deg", 1,
                 later("statics (by definition)"))  # fmt: skip
    if tip < TIP_TIMES * slope:
        draft.stop(
            say("it tips at {tip}° and the ramp has {slope}°", tip=number(tip, 1),
                slope=number(slope, 1)),
            say("Turn it so that its long side lies along the slope, lower it, or lift it."),
            "half_width_mm",
        )  # fmt: skip


METHOD = Method(
    id="ramp",
    title=later("Ramp"),
    what=later("What pulls a machine up a ramp, what two holds must hold, when it tips."),
    fields=FIELDS,
    cautions=("X20", "X50"),
    reckon=reckon,
    standard="statics; ASME B30.1",
    example=("--mass-kg", "5000", "--slope-deg", "5", "--hold-one-newton", "5 kN",
             "--hold-two-newton", "5 kN", "--centre-height-mm", "1100", "--half-width-mm", "600"),
)  # fmt: skip
