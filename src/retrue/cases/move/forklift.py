"""Forklift: what a truck may lift where this load really stands on its forks."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.move.mass_fields import EXTRAS, MASS, MASS_FROM, mass_of
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.forklift import allowed_kg

SOURCE = "OSHA eTool, Powered Industrial Trucks, load composition; 29 CFR 1910.178"

FIELDS = (
    MASS,
    MASS_FROM,
    EXTRAS,
    Field(
        id="rated_kg", name="rating on the truck's plate", unit="kg",
        help="Read it on the truck, for the mast and attachment that are fitted.",
        group="the truck",
    ),
    Field(
        id="rated_centre_mm", name="load centre of that rating", unit="mm",
        help="Beside the rating on the truck's plate, from the fork face.",
        group="the truck",
    ),
    Field(
        id="to_axle_mm", name="from front axle to fork face", unit="mm", default=0.0,
        mark="the lower estimate",
        help="Measure it on the truck; left empty the answer is the lower one.",
        group="the truck",
    ),
    Field(
        id="attachment", name="something is fitted to the forks", sort="flag", default=False,
        help="Extensions, jib, clamp: the plate must name it.", group="the truck",
    ),
    Field(
        id="centre_mm", name="from fork face to the centre of gravity", unit="mm",
        help="Find the centre of gravity by its drawing or on load cells, then measure.",
        group="the load",
    ),
    Field(
        id="under", name="what the forks go under", sort="choice",
        choices=(("casting", "casting"), ("sheet", "sheet metal"), ("packing", "packing beam")),
        help="Look below: forks carry castings or a beam across it.", group="the load",
    ),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """What the truck may be planned for.

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
    >>> made = reckon(values_of(METHOD, {"mass_kg": "2600 lb", "rated_kg": "4000 lb",
    ...     "rated_centre_mm": "24 in", "centre_mm": "36 in"}))
    >>> round(next(f.value for f in made.figures if f.key == "allowed_kg") / 0.45359237)
    2667
    """
    draft = Draft("forklift", say("Fork-lift"), FIELDS, values)
    mass = mass_of(draft)
    rated, rated_centre = draft.wanted("rated_kg"), draft.wanted("rated_centre_mm")
    centre = draft.wanted("centre_mm")
    if draft.said("attachment"):
        draft.lack(
            say("the plate does not hold with something on the forks"),
            say("Get the maker's written rating for that attachment at this load centre."),
            "attachment",
        )
    if draft.said("under") == "sheet":
        draft.stop(
            say("the forks would go under sheet metal"),
            say("Under the casting, or on a beam across the forks and below the casting."),
            "under",
        )
    allowed = None
    if None not in (rated, rated_centre, centre):
        allowed = _allowed(draft, rated, rated_centre, centre, mass)
    told = "" if allowed is None else number(allowed)
    return draft.done(say("Plan the truck for {allowed} kg at this load centre.", allowed=told))


def _allowed(
    draft: Draft, rated: float, rated_centre: float, centre: float, mass: float | None
) -> float | None:
    to_axle = draft.get("to_axle_mm")
    try:
        allowed = allowed_kg(rated, rated_centre, centre, to_axle_mm=to_axle)
    except Unusable as refusal:
        draft.lack(refusal.reason, refusal.remedy, "rated_kg")
        return None
    draft.figure("allowed_kg", say("what the truck may be planned for"), allowed, "kg", 0, SOURCE)
    if mass is not None:
        draft.figure("load_kg", say("load"), mass, "kg")
        draft.figure("use_share", say("share of that"), mass / allowed, "", 2)
    if mass is not None and mass > allowed:
        wanted = mass / allowed * rated
        draft.stop(
            say(
                "{mass} kg at {centre} mm, and the truck may be planned for {allowed} kg there",
                mass=number(mass),
                centre=number(centre),
                allowed=number(allowed),
            ),
            say(
                "Get a truck rated {wanted} kg or more at {centre} mm, or a rigger.",
                wanted=number(max(wanted, mass)),
                centre=number(rated_centre),
            ),
            "rated_kg",
        )
        draft.need("larger_truck", say("a larger fork-lift for a day"), "E26")
    return allowed


METHOD = Method(
    id="forklift",
    title=later("Fork-lift"),
    what=later("What a fork-lift may be planned for at the load's own centre of gravity."),
    fields=FIELDS,
    cautions=("X20", "X21"),
    reckon=reckon,
    standard=SOURCE,
    example=("--mass-kg", "2600 lb", "--rated-kg", "4000 lb", "--rated-centre-mm", "24 in",
             "--centre-mm", "36 in"),
)  # fmt: skip
