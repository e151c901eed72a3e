"""Skates: what each one and the slab under it takes, what pulls it, when it tips."""

from __future__ import annotations

import math

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.move.drawings import TipDrawing
from retrue.cases.move.mass_fields import EXTRAS, HEIGHT, MASS, MASS_FROM, mass_of
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.lifting import tip_angle_deg
from retrue.science.rolling import GRAVITY, pull_newton, skate_load_newton, slab_stress_mpa

RUPTURE = 0.62  # of the root of the cube strength, both in MPa
EDGE_TIMES = 3.0
MOST_SHARE = 0.5  # of the strength that is planned with
STARTS = 2.0  # times the pull that keeps it rolling
LEAST_TIP_DEG = 10.0
LOW_PULL_SHARE = 0.1  # of the weight, at skate height
MEMORY = "from memory, unverified"

FIELDS = (
    MASS,
    MASS_FROM,
    EXTRAS,
    Field(
        id="skates", name="skates", sort="whole", default=3,
        mark="common practice: a rigid machine stands on three",
        help="Three or four, all of one height.", group="the skates",
    ),
    Field(
        id="skate_rated_kg", name="rating of one skate", unit="kg",
        help="On the skate.", group="the skates",
    ),
    Field(
        id="plate_width_mm", name="plate or wheels on the floor, width", unit="mm",
        help="Of what touches the floor.", group="the skates",
    ),
    Field(
        id="plate_length_mm", name="plate or wheels on the floor, length", unit="mm",
        help="Of what touches the floor.", group="the skates",
    ),
    Field(
        id="floor", name="what is below the floor", sort="choice",
        choices=(("ground", "ground"), ("suspended", "a room, cellar or duct"),
                 ("unknown", "not known")),
        help="Ask the owner of the building.", group="the floor",
    ),
    Field(
        id="slab_mm", name="thickness of the slab", unit="mm",
        help="From the drawing, or a small hole where it does no harm.", group="the floor",
    ),
    Field(
        id="near_edge", name="an edge, joint or crack within a metre of the way", sort="flag",
        default=False, mark="not looked", help="Look at the whole way.", group="the floor",
    ),
    Field(
        id="concrete_mpa", name="strength of the concrete", unit="MPa", default=25.0, mark=MEMORY,
        help="From the drawing of the building.", group="the floor",
    ),
    Field(
        id="most_share", name="share of its cracking strength that is planned with",
        default=MOST_SHARE, mark="common practice, judgement",
        help="Half; an engineer may say more.", group="the floor",
    ),
    Field(
        id="stiffness_mpa", name="stiffness of the concrete", unit="MPa", default=27000.0,
        mark=MEMORY, help="Leave it unless an engineer has told it.", group="the floor",
    ),
    Field(
        id="bedding_mpa_per_mm", name="bedding of the ground", default=0.054, mark=MEMORY,
        help="Leave it unless an engineer has told it; MPa a millimetre.", group="the floor",
    ),
    Field(
        id="rolling_share", zero=True, name="rolling resistance, share of the weight", default=0.05,
        mark=MEMORY, help="0.02 to 0.05 on clean concrete.", group="the way",
    ),
    HEIGHT,
    Field(
        id="half_width_mm", zero=True,
        name="from the centre of gravity to the line between two skates",
        unit="mm", help="Seen from above, to the nearest line.", group="the way",
    ),
    Field(
        id="least_tip_deg", name="least slope at which it may tip by itself", unit="deg",
        default=LEAST_TIP_DEG, mark="judgement, no source",
        help="More where the way is uneven; less only by a rigger's word.", group="the way",
    ),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """What a skate and the slab take.

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
    >>> made = reckon(values_of(METHOD, {"mass_kg": "5000", "skates": "4", "floor": "ground",
    ...     "slab_mm": "150", "plate_width_mm": "100", "plate_length_mm": "150",
    ...     "centre_height_mm": "1100", "half_width_mm": "350"}))
    >>> made.answer, round(next(f.value for f in made.figures if f.key == "skate_newton"))
    ('go', 15328)
    """
    draft = Draft("skates", say("Skates and floor"), FIELDS, values)
    mass = mass_of(draft)
    load = _skates(draft, mass)
    _floor(draft, load)
    if mass is not None:
        _pull(draft, mass)
    _tip(draft)
    told = "" if load is None else number(load / GRAVITY)
    return draft.done(say("Plan {kg} kg on each skate and on the floor under it.", kg=told))


def _skates(draft: Draft, mass: float | None) -> float | None:
    if mass is None:
        return None
    try:
        load = skate_load_newton(mass, draft.get("skates"))
    except Unusable as refusal:
        draft.refused(refusal, "skates")
        return None
    source = say("a rigid load finds three of its supports (common practice, no source)")
    draft.figure("skate_newton", say("load on each skate"), load, "N", 0, source)
    draft.figure("skate_kg", say("the same as a mass"), load / GRAVITY, "kg")
    rated = draft.said("skate_rated_kg")
    if rated is not None and load / GRAVITY > rated:
        draft.stop(
            say("a skate is rated {rated} kg", rated=number(rated)),
            say("Get skates of {kg} kg or more each.", kg=number(load / GRAVITY)),
            "skate_rated_kg",
        )
    return load


def _floor(draft: Draft, load: float | None) -> None:
    floor = draft.said("floor")
    if floor == "suspended":
        draft.stop(
            say("a floor with a room below is not for this formula"),
            say("A structural engineer must say in writing what it carries, and along which way."),
            "floor",
        )
        return
    if floor in (None, "unknown"):
        draft.lack(say("what is below the floor is not known"), _help("floor"), "floor")
    thick = draft.wanted("slab_mm")
    width, length = draft.wanted("plate_width_mm"), draft.wanted("plate_length_mm")
    if load is None or not (width and length):
        return
    draft.figure("pressure_kpa", say("pressure under it"), load / (width * length) * 1000.0,
                 "kPa", 0, later("by definition"))  # fmt: skip
    if thick:
        _slab(draft, load, thick, math.sqrt(width * length / math.pi))


def _slab(draft: Draft, load: float, thick: float, radius: float) -> None:
    stress = slab_stress_mpa(
        load,
        thick_mm=thick,
        radius_mm=radius,
        stiffness_mpa=draft.get("stiffness_mpa"),
        bedding_mpa_per_mm=draft.get("bedding_mpa_per_mm"),
    )
    times = EDGE_TIMES if draft.get("near_edge") else 1.0
    rupture = RUPTURE * math.sqrt(draft.get("concrete_mpa"))
    source = later("Westergaard 1926, interior loading (from memory)")
    draft.figure("slab_stress_mpa", say("bending stress in the slab"), stress, "MPa", 2, source)
    draft.figure("slab_worst_mpa", say("with the edge or joint counted"), stress * times, "MPa", 2)
    draft.figure("rupture_mpa", say("where plain concrete cracks"), rupture, "MPa", 2,
                 later("ACI 318, modulus of rupture (from memory)"))  # fmt: skip
    share = stress * times / rupture
    draft.figure("slab_use_share", say("share of that"), share, "", 2)
    if share > draft.get("most_share"):
        draft.stop(
            say("the slab would be used to {share} of its cracking strength",
                share=number(share, 2)),
            say("Spread the load on steel plates or go another way; ask a structural engineer."),
            "slab_mm",
        )  # fmt: skip


def _pull(draft: Draft, mass: float) -> None:
    share = draft.get("rolling_share")
    rolls = pull_newton(mass, 0.0, share)
    source = say("statics (by definition); rolling share from memory")
    draft.figure("pull_newton", say("pull that keeps it rolling"), rolls, "N", 0, source)
    draft.figure("start_newton", say("pull that starts it"), STARTS * rolls, "N", 0, source)
    draft.figure("most_side_newton", say("most pull to the side, at skate height"),
                 LOW_PULL_SHARE * mass * GRAVITY, "N", 0,
                 say("common practice, no source"))  # fmt: skip
    draft.notes.append(say("Pull low, at skate height, never at its top."))


def _tip(draft: Draft) -> None:
    height, half = draft.said(HEIGHT.id), draft.said("half_width_mm")
    if height and half is not None:
        tip = tip_angle_deg(half, height)
        draft.figure("tip_angle_deg", say("slope at which it tips by itself"), tip, "deg", 1,
                     later("statics (by definition)"))  # fmt: skip
        draft.drawing = TipDrawing(half_width_mm=half, height_mm=height, tip_deg=tip)
        if tip < draft.get("least_tip_deg"):
            draft.stop(
                say("it tips by itself at {tip}°", tip=number(tip, 1)),
                say("Set the skates wider, carry it lower, or lift it."),
                "half_width_mm",
            )
        return
    for id in (HEIGHT.id, "half_width_mm"):
        if draft.said(id) is None:
            name = next(one.name for one in FIELDS if one.id == id)
            draft.lack(say("{name} is not known", name=name), _help(id), id)


def _help(id: str) -> str:
    return next(one.help for one in FIELDS if one.id == id)


METHOD = Method(
    id="skates",
    title=later("Skates and floor"),
    what=later("What each skate and the slab under it takes, what pulls it, when it tips."),
    fields=FIELDS,
    cautions=("X20", "X50", "X51"),
    reckon=reckon,
    standard="Westergaard 1926; ASME B30.1",
    example=("--mass-kg", "5000", "--skates", "4", "--floor", "ground", "--slab-mm", "150",
             "--plate-width-mm", "100", "--plate-length-mm", "150", "--centre-height-mm", "1100",
             "--half-width-mm", "350"),
)  # fmt: skip
