"""Lift: what hangs in each leg, whether the hook is over the centre of gravity, when it tips."""

from __future__ import annotations

import math

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, say
from retrue.base.units import number as read_number
from retrue.cases.move.drawings import LiftDrawing
from retrue.cases.move.lift_fields import FIELDS
from retrue.cases.move.mass_fields import EXTRAS, HEIGHT, MASS, mass_of
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Method, Values
from retrue.cases.reckon.reckoning import Listing, Reckoning
from retrue.science.hitch import capacity_factor, two_legs_tension
from retrue.science.lifting import (
    LEAST_ANGLE_DEG,
    centre_height_mm,
    centre_of_gravity,
    sling_leg_kg,
    tip_angle_deg,
)

AIM_DEG = 60.0
AGREE_SHARE = 0.05  # what was typed and what cells weigh may differ by (judgement)
OFF_CENTRE_MM = 50.0  # how far the hook may be from the centre of gravity before it is told
TURNS = "The load will turn until its centre of gravity hangs below the hook."
LEG_SOURCE = later("29 CFR 1910.184; ASME B30.9 (from memory)")


def reckon(values: Values) -> Reckoning:
    """The pull in a leg and what it means.

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
    >>> made = reckon(values_of(METHOD, {"mass_kg": "4000", "legs": "2", "angle_deg": "45",
    ...     "centre": "drawing", "leg_rated_kg": "3000", "hook_rated_kg": "5000"}))
    >>> made.answer, round(next(f.value for f in made.figures if f.key == "leg_kg"))
    ('go', 2828)
    """
    draft = Draft("lift", say("Lift"), FIELDS, values)
    mass = mass_of(draft)
    found = _centre(draft)
    if found is not None:
        mass = _heavier(draft, mass, found + draft.get(EXTRAS.id))
    angle = _angle(draft)
    leg = None
    if mass is not None and angle is not None:
        leg = _leg(draft, mass, angle)
    _ratings(draft, mass, leg)
    _height(draft, mass)
    draft.drawing = _drawing(draft, mass, angle, leg)
    told = "" if leg is None else number(leg)
    return draft.done(say("Plan {leg} kg in each leg that carries.", leg=told))


def _heavier(draft: Draft, mass: float | None, weighed: float) -> float:
    """Of what was typed and what the load cells weigh the heavier, with what goes along."""
    if mass is None:
        draft.missing = [one for one in draft.missing if one.field != MASS.id]
        return weighed
    if abs(mass - weighed) > AGREE_SHARE * max(mass, weighed):
        draft.lack(
            say("{mass} kg were told and the load cells weigh {weighed} kg",
                mass=number(mass), weighed=number(weighed)),
            say("Weigh it again, and look up what else stands on the cells."),
            MASS.id,
        )  # fmt: skip
    if abs(mass - weighed) >= 1.0:
        heavier = number(max(mass, weighed))
        draft.notes.append(
            say("What was told and what the cells weigh differ: {kg} kg are taken.", kg=heavier)
        )
    return max(mass, weighed)


def _measured(draft: Draft) -> float | None:
    """The angle as it was told, else from the length of a leg and the spread."""
    angle: float | None = draft.said("angle_deg")
    length, spread = draft.said("leg_mm"), draft.said("spread_mm")
    if angle is None and length and spread is not None:
        half = spread / 2.0
        return math.degrees(math.acos(half / length)) if half < length else 0.0
    return angle


def _angle(draft: Draft) -> float | None:
    single, basket = draft.said("legs") == 1, draft.get("hitch") == "basket"
    if single and not basket:
        return 90.0
    angle = _measured(draft)
    if angle is not None and draft.said("angle_deg") is None:
        draft.figure("angle_deg", say("angle of a leg"), angle, "deg", 1, later("by definition"))
    if angle is None and single:
        draft.assumed.append(say("the basket is counted at 30°: nobody has told its angle"))
        return 90.0
    if angle is None:
        draft.lack(say("the angle of the sling is not known"), _help("angle_deg"), "angle_deg")
        return None
    if angle < LEAST_ANGLE_DEG or angle > 90.0:
        draft.stop(
            say("a leg at {angle}° from the horizontal is not used", angle=number(angle, 1)),
            say("Longer slings or a spreader beam: 30° is the least, 60° the aim."),
            "angle_deg",
        )
        return None
    if angle < AIM_DEG:
        draft.notes.append(say("Under 60° the pull grows fast: longer slings are cheap."))
    return 90.0 if single else angle


def _leg(draft: Draft, mass: float, angle: float) -> float | None:
    try:
        leg = sling_leg_kg(mass, draft.get("legs"), angle, equalised=bool(draft.get("equalised")))
    except Unusable as refusal:
        draft.refused(refusal, "legs")
        return None
    if draft.said("off_centre_mm") and draft.get("legs") == 1:
        draft.notes.append(say(TURNS))
    draft.figure("hung_kg", say("what hangs on the hook"), mass, "kg")
    off, spread = draft.said("off_centre_mm"), draft.said("spread_mm")
    if off and draft.get("legs") > 1:
        if not spread:
            draft.lack(
                say("the pull off the centre of gravity cannot be told without the spread"),
                _help("spread_mm"), "spread_mm",
            )  # fmt: skip
            return None
        uneven = _uneven(draft, mass, angle, off, spread)
        if uneven is None:
            return None
        leg = uneven
    draft.figure("leg_kg", say("pull in one leg"), leg, "kg", 0, LEG_SOURCE)
    draft.listings.append(_by_angle(mass, draft))
    return leg


def _uneven(draft: Draft, mass: float, angle: float, off: float, spread: float) -> float | None:
    """The most that the worse leg pulls where the hook is not over the middle of the lift points.

    Whatever the depth of the centre of gravity, it is never more than where the load hangs level.
    """
    try:
        _, far = two_legs_tension(mass, spread, off, min(angle, 89.9))
    except Unusable as refusal:
        draft.refused(refusal, "off_centre_mm")
        return None
    near = mass * (0.5 + abs(off) / spread) / math.sin(math.radians(angle))
    source = later("statics (by definition): the bound that holds at any depth of the centre")
    draft.figure("near_leg_kg", say("most in the leg nearer to the centre of gravity"), near, "kg",
                 0, source)  # fmt: skip
    draft.figure("far_leg_kg", say("pull in the other leg"), far, "kg")
    if off > OFF_CENTRE_MM:
        draft.notes.append(say(TURNS))
    return near


def _by_angle(mass: float, draft: Draft) -> Listing:
    """What the same load pulls at other angles."""
    legs, equalised = draft.get("legs"), bool(draft.get("equalised"))
    rows = tuple(
        (float(angle), sling_leg_kg(mass, legs, angle, equalised=equalised))
        for angle in (90, 75, 60, 45, 30)
    )
    return Listing(
        title=say("The same load at other angles"), columns=("angle_deg", "leg_kg"), rows=rows
    )


def _ratings(draft: Draft, mass: float | None, leg: float | None) -> None:
    rated, hook = draft.said("leg_rated_kg"), draft.said("hook_rated_kg")
    if leg is not None:
        _sling(draft, leg, rated)
    if mass is not None and hook is None:
        draft.lack(
            say("the rating of crane, hoist or beam is not known"),
            say("{kg} kg or more, at the reach it will work at.", kg=number(mass)),
            "hook_rated_kg",
        )
    if mass is not None and hook is not None and mass > hook:
        draft.stop(
            say("{mass} kg hang on a hook of {hook} kg", mass=number(mass), hook=number(hook)),
            say("Hire a crane or a rigger for {mass} kg at its reach.", mass=number(mass)),
            "hook_rated_kg",
        )


def _sling(draft: Draft, leg: float, rated: float | None) -> None:
    factor = capacity_factor(draft.get("hitch"), _steep(draft))
    if rated is None:
        draft.lack(
            say("the rating of the sling is not known"),
            say("It stands on the sling's tag: {kg} kg a leg or more.", kg=number(leg / factor)),
            "leg_rated_kg",
        )
        return
    draft.figure(
        "leg_use_share", say("share of the leg's rating"), leg / (rated * factor), "", 2,
        later("ASME B30.9 (from memory)"),
    )  # fmt: skip
    if leg > rated * factor:
        draft.stop(
            say(
                "a leg pulls {leg} kg and is rated {rated} kg in this hitch",
                leg=number(leg),
                rated=number(rated * factor),
            ),
            say("Take a sling of {kg} kg a leg or more.", kg=number(leg / factor)),
            "leg_rated_kg",
        )


def _steep(draft: Draft) -> float:
    """The angle that a basket is rated by; where it is not known the least that is used."""
    angle = _measured(draft)
    return angle if angle is not None and LEAST_ANGLE_DEG <= angle <= 90.0 else LEAST_ANGLE_DEG


def _centre(draft: Draft) -> float | None:
    """Where the centre of gravity is; the mass, where cells have weighed it."""
    how, cells = draft.said("centre"), draft.said("cells")
    if cells:
        try:
            found = centre_of_gravity(_cells(cells))
        except Unusable as refusal:
            draft.lack(refusal.reason, refusal.remedy, "cells")
            return None
        source = later("moments about two axes (by definition)")
        draft.figure("centre_x_mm", say("centre of gravity, x"), found.x_mm, "mm", 1, source)
        draft.figure("centre_y_mm", say("centre of gravity, y"), found.y_mm, "mm", 1, source)
        draft.figure("weighed_kg", say("weighed"), found.mass_kg, "kg", 0, source)
        return found.mass_kg
    if how in (None, "unknown"):
        draft.lack(say("the centre of gravity is not known"), _help("centre"), "centre")
    return None


def _cells(text: str) -> list[tuple[float, float, float]]:
    rows = []
    for place, row in enumerate((one for one in text.split(";") if one.strip()), 1):
        parts = [part.strip() for part in row.split(",")]
        if len(parts) != 3:
            what = say("cell {place} has {count} numbers", place=place, count=len(parts))
            raise Unusable(
                what,
                remedy=say("Write x, y and kg of each cell, cells parted by a semicolon."),
                problems=(Problem("cells", what),),
            )
        x, y, kg = (float(read_number(part, field="cells")) for part in parts)
        rows.append((x, y, kg))
    return rows


def _height(draft: Draft, mass: float | None) -> None:
    height: float | None = draft.said(HEIGHT.id)
    span, moved, tilt = (draft.said(id) for id in ("span_mm", "moved_kg", "tilt_deg"))
    if height is None and mass is not None and None not in (span, moved, tilt):
        try:
            height = centre_height_mm(span, mass, moved, tilt)
        except Unusable as refusal:
            draft.lack(refusal.reason, refusal.remedy, "tilt_deg")
            return
        draft.figure(
            "centre_height_mm", say("height of the centre of gravity"), height, "mm", 0,
            later("moments about the lower support (by definition)"),
        )  # fmt: skip
    half = draft.said("half_width_mm")
    if height and half is not None:
        draft.figure(
            "tip_angle_deg", say("slope at which it tips by itself"),
            tip_angle_deg(half, height), "deg", 1, later("statics (by definition)"),
        )  # fmt: skip


def _drawing(
    draft: Draft, mass: float | None, angle: float | None, leg: float | None
) -> LiftDrawing | None:
    if mass is None or angle is None or leg is None:
        return None
    return LiftDrawing(
        mass_kg=mass,
        legs=draft.get("legs"),
        angle_deg=angle,
        leg_kg=leg,
        span_mm=draft.said("spread_mm"),
        leg_mm=draft.said("leg_mm"),
        rated_kg=draft.said("leg_rated_kg"),
    )


def _help(id: str) -> str:
    return next(one.help for one in FIELDS if one.id == id)


METHOD = Method(
    id="lift",
    title=later("Lift"),
    what=later("What each sling leg pulls, where the centre of gravity is, when it tips."),
    fields=FIELDS,
    cautions=("X20", "X53"),
    reckon=reckon,
    standard="29 CFR 1910.184; ASME B30.9",
    example=("--mass-kg", "4000", "--legs", "2", "--angle-deg", "45", "--centre", "drawing",
             "--leg-rated-kg", "3000", "--hook-rated-kg", "5000"),
)  # fmt: skip
