"""Tie down: what must hold a machine on a truck by two rules. The carrier secures, we ask."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.move.mass_fields import EXTRAS, HEIGHT, MASS, MASS_FROM, mass_of
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Listing, Reckoning
from retrue.science.lifting import tip_angle_deg
from retrue.science.securing import (
    blocking_newton,
    corner_tie_downs,
    direct_lashing,
    least_tie_downs,
    tips,
)
from retrue.science.tie_down import lashings_over_the_top, working_load_needed_kg

EN = later("EN 12195-1:2010 (from memory)")
US = later("49 CFR 393.102, 393.106(d) (clauses from memory)")
DIRECTIONS = (
    # direction, the field of its share of gravity, allowance: EN 12195-1 by road (from memory)
    ("forward", "forward_share", 1.25),
    ("sideways", "side_share", 1.1),
    ("rearward", "side_share", 1.1),
)
SHARES = {direction: field for direction, field, _ in DIRECTIONS}
KEYS = {"forward": "forward", "sideways": "side", "rearward": "rear"}
WAYS = {"forward": "forward", "sideways": "to the side", "rearward": "to the rear"}
LEAST_STRAPS = 2  # whatever friction says (common practice)
MOST_STRAPS = 6  # more than that over the top is no plan (judgement)

FIELDS = (
    MASS,
    MASS_FROM,
    EXTRAS,
    Field(id="friction_share", name="friction of machine on bed, share", default=0.3,
          mark="from memory, unverified: painted iron on wood, dry",
          help="Anti-slip mats raise it to 0.6; wet, oily or icy it is almost nothing.",
          group="on the truck"),
    Field(id="forward_share", zero=True, name="forward, share of gravity", default=0.8,
          mark="EN 12195-1, from memory, unverified", help="In your own copy of the standard.",
          group="the rule"),
    Field(id="side_share", zero=True,
          name="to the sides and the rear, share of gravity", default=0.5,
          mark="EN 12195-1, from memory, unverified", help="In your own copy of the standard.",
          group="the rule"),
    Field(id="tension_newton", name="tension that the ratchet gives", unit="N",
          help="Marked STF on its label, in daN.", group="on the truck"),
    Field(id="angle_deg", name="angle of the strap from the bed", unit="deg", default=80.0,
          mark="steep, over the top", help="Measure it.", group="on the truck"),
    Field(id="lashings", name="lashings over the top that are planned", sort="whole",
          help="Each from side to side.", group="on the truck"),
    Field(id="working_load_kg", name="working load limits of all tie-downs together", unit="kg",
          help="Add up their labels.", group="on the truck"),
    Field(id="length_mm", name="length of the machine on the truck", unit="mm",
          help="Along the truck.", group="on the truck"),
    Field(id="direct_way", name="direction that the direct lashings are told for", sort="choice",
          choices=tuple(WAYS.items()), default="forward", mark="it is the hardest",
          help="Of a truck that brakes it is forward; each direction is reckoned alone.",
          group="direct"),
    Field(id="direct", name="direct lashings against that direction", sort="whole",
          help="From its base to the bed, those that pull against it.", group="direct"),
    Field(id="capacity_newton", name="lashing capacity of one of them", unit="N",
          help="Marked LC on its label, in daN.", group="direct"),
    Field(id="direct_angle_deg", name="their angle from the bed", unit="deg", default=35.0,
          mark="common practice: 20 to 65", help="Measure it.", group="direct"),
    Field(id="aside_deg", name="their angle from the direction they hold", unit="deg", default=30.0,
          mark="common practice: 6 to 55", help="Seen from above.", group="direct"),
    Field(id="blocked_newton", name="what blocking takes in that direction", unit="N", default=0.0,
          help="Head board, wedges nailed down: as they are rated.", group="direct"),
    HEIGHT,
    Field(id="half_width_mm", name="from the centre of gravity to the edge of its feet",
          unit="mm", help="To the side it would tip to.", group="the machine"),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """How many lashings, by which rule.

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
    >>> made = reckon(values_of(METHOD, {"mass_kg": "5000", "tension_newton": "4 kN"}))
    >>> [round(f.value, 2) for f in made.figures if f.key == "forward_exact"]
    [12.97]
    """
    draft = Draft("tie", say("Tie down"), FIELDS, values)
    mass = mass_of(draft)
    tension = draft.wanted("tension_newton")
    needed, held = None, None
    if mass is not None and tension is not None:
        needed = _over_the_top(draft, mass, tension)
    if mass is not None:
        held = _direct(draft, mass)
        _working_load(draft, mass)
        _least(draft, mass)
        _tip(draft)
    if needed is not None:
        _straps(draft, needed, held)
    return draft.done(_headline(draft, needed or {}, held))


def _headline(draft: Draft, needed: dict[str, int], held: str | None) -> str:
    if held is None:
        return say(
            "Over the top alone: {count} lashings. Ask the carrier for direct lashing and"
            " blocking.", count=number(max(needed.values(), default=0)),
        )  # fmt: skip
    return say(
        "Plan {direct} direct lashings {way} and {planned} over the top for the rest.",
        direct=number(draft.get("direct")), way=say(WAYS[held]),
        planned=number(draft.said("lashings") or 0),
    )  # fmt: skip


def _over_the_top(draft: Draft, mass: float, tension: float) -> dict[str, int] | None:
    """How many lashings over the top each direction needs."""
    rows = []
    needed = {}
    for direction, field, allowance in DIRECTIONS:
        share = draft.get(field)
        try:
            found = lashings_over_the_top(
                mass, acceleration_share=share, friction_share=draft.get("friction_share"),
                tension_newton=tension, angle_deg=draft.get("angle_deg"), allowance=allowance,
            )  # fmt: skip
        except Unusable as refusal:
            draft.refused(refusal, "tension_newton")
            return None
        way = say(WAYS[direction])
        rows.append((way, share, allowance, found.exact, float(found.needed)))
        needed[direction] = found.needed
    for key, row in zip(KEYS.values(), rows, strict=True):
        name = say("lashings, {direction}", direction=row[0])
        draft.figure(f"{key}_exact", say("{name}, exact", name=name), row[3], "", 2, EN)
        draft.figure(f"{key}_lashings", name, row[4], "", 0, EN)
    draft.listings.append(
        Listing(title=say("Lashings over the top"),
                columns=("direction", "acceleration_share", "allowance", "exact", "needed"),
                rows=tuple(rows))
    )  # fmt: skip
    return needed


def _straps(draft: Draft, needed: dict[str, int], held: str | None) -> None:
    """Whether the straps over the top hold what no direct lashing was reckoned for."""
    others = {way: count for way, count in needed.items() if way != held}
    way, most = max(others.items(), key=lambda one: one[1])
    planned = draft.said("lashings")
    if max(needed.values()) < LEAST_STRAPS:
        draft.notes.append(say("Friction alone is no plan either: two lashings at least."))
    if planned is not None and planned < most:
        draft.stop(
            say("{planned} lashings over the top are planned, {most} are needed",
                planned=number(planned), most=number(most)),
            say("Direct lashing to the base, blocking against the head board, anti-slip mats."),
            "lashings",
        )  # fmt: skip
    elif most > MOST_STRAPS:
        draft.lack(
            say("{most} lashings over the top are no plan {way}", most=number(most),
                way=say(WAYS[way])),
            say("Direct lashing to its base and blocking, told for that direction."),
            "direct",
        )  # fmt: skip
    elif held is not None and planned is None:
        draft.lack(
            say("what holds it in the other directions is not known"),
            say("{most} lashings over the top or more, or direct ones there too.",
                most=number(max(most, LEAST_STRAPS))),
            "lashings",
        )  # fmt: skip


def _direct(draft: Draft, mass: float) -> str | None:
    """Lashings from its base to the bed, against one direction; which one that is."""
    if all(draft.said(id) is None for id in ("direct", "capacity_newton", "blocked_newton")):
        return None
    count, capacity = draft.wanted("direct"), draft.wanted("capacity_newton")
    if count is None or capacity is None:
        return None
    way: str = draft.get("direct_way")
    share, friction = draft.get(SHARES[way]), draft.get("friction_share")
    try:
        found = direct_lashing(
            mass, way, lashings=count, capacity_newton=capacity,
            angle_deg=draft.get("direct_angle_deg"), aside_deg=draft.get("aside_deg"),
            friction_share=friction, blocked_newton=draft.get("blocked_newton"), share=share,
        )  # fmt: skip
    except Unusable as refusal:
        draft.refused(refusal, "direct")
        return None
    name = say("one lashing must hold, {way}", way=say(WAYS[way]))
    draft.figure(f"{way}_needed_newton", name, found.needed_newton, "N", 0, EN)
    if not found.holds:
        block = blocking_newton(mass, way, friction, share=share)
        draft.stop(
            say("{count} direct lashings do not hold it {way}", count=count, way=say(WAYS[way])),
            say("Stronger or more of them, or blocking that takes up to {newton} N.",
                newton=number(block)),
            "direct",
        )  # fmt: skip
    return way


def _least(draft: Draft, mass: float) -> None:
    length = draft.said("length_mm")
    if length is None:
        return
    count = least_tie_downs(length, mass)
    draft.figure("least_tie_downs", say("tie-downs at least, roads of the United States"),
                 float(count), "", 0, later("49 CFR 393.110 (from memory)"))  # fmt: skip
    draft.figure("corner_tie_downs", say("tie-downs at least, heavy equipment"),
                 float(corner_tie_downs(mass)), "", 0,
                 later("49 CFR 393.130 (from memory)"))  # fmt: skip


def _working_load(draft: Draft, mass: float) -> None:
    needed = working_load_needed_kg(mass)
    draft.figure("working_load_needed_kg",
                 say("working load limits together, roads of the United States"),
                 needed, "kg", 0, US)  # fmt: skip
    given = draft.said("working_load_kg")
    if given is not None and given < needed:
        draft.stop(
            say("the tie-downs together are rated {given} kg", given=number(given)),
            say("{needed} kg or more, half of the load.", needed=number(needed)),
            "working_load_kg",
        )


def _tip(draft: Draft) -> None:
    """Whether it tips to the side before anything else; forward is not counted."""
    height, half = draft.said(HEIGHT.id), draft.said("half_width_mm")
    if height is None or half is None:
        draft.notes.append(
            say("Whether it tips on the truck needs its centre of gravity: height and half width.")
        )
        return
    share = half / height
    draft.figure("tip_share", say("sideways share of gravity at which it tips"), share, "", 2,
                 later("statics (by definition)"))  # fmt: skip
    draft.figure("tip_angle_deg", say("slope at which it tips by itself"),
                 tip_angle_deg(half, height), "deg", 1)  # fmt: skip
    draft.notes.append(say("Only tipping to the side is counted here; ask for forward as well."))
    if tips(half, height, "sideways") or share < draft.get("side_share"):
        draft.stop(
            say("it tips to the side at {share} of gravity", share=number(share, 2)),
            say("Tie it high as the carrier reckons it, or carry it lower or wider."),
            "half_width_mm",
        )


METHOD = Method(
    id="tie",
    title=later("Tie down"),
    what=later("What must hold a machine on a truck, by two rules."),
    fields=FIELDS,
    cautions=("X20", "X49"),
    reckon=reckon,
    standard="EN 12195-1; 49 CFR 393",
    example=("--mass-kg", "5000", "--tension-newton", "400 daN"),
)  # fmt: skip
