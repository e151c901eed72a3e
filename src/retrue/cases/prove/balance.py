"""Balance: what unbalance a spindle with its holder or wheel may keep, and what it pulls at."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.balance import (
    GRADES,
    MARK,
    eccentricity_um,
    grade_kept_mm_s,
    pull_newton,
    two_planes_g_mm,
    unbalance_g_mm,
)

SOURCE = later("ISO 21940-11:2016 (clauses from memory)")
WEIGHS, PLANES = "what turns", "in two planes"

FIELDS = (
    Field(id="grade", name="grade", sort="choice", default="G2.5", mark=MARK,
          choices=tuple((one.name, f"{one.name}: {one.usual_for}") for one in GRADES),
          help="The maker of spindle or wheel says; 2.5 is usual for machine tool drives.",
          group=WEIGHS),
    Field(id="mass_kg", name="mass of all that turns", unit="kg",
          help="Rotor with holder, wheel or pulley.", group=WEIGHS),
    Field(id="speed_rpm", name="highest speed it is used at", unit="rpm", help="On its plate.",
          group=WEIGHS),
    Field(id="measured_g_mm", name="unbalance as measured", unit="g mm", zero=True,
          help="From the balancing machine; all planes together.", group=WEIGHS),
    Field(id="doubt_g_mm", name="give or take of that", unit="g mm", zero=True,
          help="k = 2, from the balancing machine's certificate; else it is taken as exact.",
          group=WEIGHS),
    Field(id="first_mm", name="from the centre of mass to the first plane", unit="mm", zero=True,
          help="Between the planes; else it is balanced in one plane.", group=PLANES),
    Field(id="second_mm", name="from the centre of mass to the second plane", unit="mm", zero=True,
          help="On the other side of it.", group=PLANES),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """What a rotor may keep.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said.

    Returns
    -------
    Reckoning
        No-go where the measured unbalance is over the grade, with its doubt counted; within it
        get_first.

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"mass_kg": "10", "speed_rpm": "8000"}))
    >>> [round(f.value, 2) for f in made.figures if f.key == "unbalance_g_mm"]
    [29.84]
    """
    draft = Draft("balance", say("Balance"), FIELDS, values)
    grade = next(one for one in GRADES if one.name == draft.get("grade"))
    mass, speed = draft.wanted("mass_kg"), draft.wanted("speed_rpm")
    if mass is None or speed is None:
        return draft.done("")
    allowed = unbalance_g_mm(grade.grade_mm_s, mass, speed)
    draft.figure("unbalance_g_mm", say("unbalance it may keep"), allowed, "g mm", 2, SOURCE)
    draft.figure("eccentricity_um", say("centre of mass off the axis"),
                 eccentricity_um(grade.grade_mm_s, speed), "µm", 3, SOURCE)  # fmt: skip
    draft.figure("pull_newton", say("what that pulls at, turning round"),
                 pull_newton(allowed, speed), "N", 1,
                 later("mechanics (by definition)"))  # fmt: skip
    _planes(draft, allowed)
    _measured(draft, grade.name, allowed, mass, speed)
    draft.notes.append(say(
        "A grade speaks of the rotor alone; how the housing shakes is another number."
    ))  # fmt: skip
    return draft.done(
        say("{grade} at {speed} rpm: {allowed} g mm may stay.", grade=grade.name,
            speed=number(speed), allowed=number(allowed, 1))
    )  # fmt: skip


def _planes(draft: Draft, allowed: float) -> None:
    first, second = draft.said("first_mm"), draft.said("second_mm")
    if first is None or second is None:
        return
    try:
        near, far = two_planes_g_mm(allowed, first, second)
    except Unusable as refusal:
        draft.refused(refusal, "first_mm")
        return
    draft.figure("first_plane_g_mm", say("in the first plane"), near, "g mm", 2, SOURCE)
    draft.figure("second_plane_g_mm", say("in the second plane"), far, "g mm", 2, SOURCE)


def _measured(draft: Draft, grade: str, allowed: float, mass: float, speed: float) -> None:
    measured = draft.said("measured_g_mm")
    if measured is None:
        return
    kept = grade_kept_mm_s(measured, mass, speed)
    draft.figure("grade_mm_s", say("grade that the measured one amounts to"), kept, "mm/s", 2,
                 SOURCE)  # fmt: skip
    draft.figure("measured_pull_newton", say("what the measured one pulls at"),
                 pull_newton(measured, speed), "N", 1,
                 later("mechanics (by definition)"))  # fmt: skip
    doubt = draft.said("doubt_g_mm")
    if doubt is None:
        draft.notes.append(say("The measured unbalance is taken as exact: nobody said its doubt."))
    elif measured - doubt <= allowed < measured + doubt:
        draft.lack(
            say("{measured} g mm give or take {doubt} is too close to {allowed} to call",
                measured=number(measured, 1), doubt=number(doubt, 1), allowed=number(allowed, 1)),
            say("Measure it again on a better machine, or balance it to {most} g mm.",
                most=number(max(allowed - doubt, 0.0), 1)),
            "measured_g_mm",
        )  # fmt: skip
        return
    if measured > allowed:
        draft.stop(
            say("{measured} g mm is over {grade}", measured=number(measured, 1), grade=grade),
            say("Balance it to {allowed} g mm, or run it slower than that.",
                allowed=number(allowed, 1)),
            "measured_g_mm",
        )  # fmt: skip


METHOD = Method(
    id="balance",
    title=later("Balance"),
    what=later("How much unbalance a spindle with its holder may keep, and what that pulls at."),
    fields=FIELDS,
    cautions=("X30", "X11"),
    reckon=reckon,
    standard="ISO 21940-11:2016",
    example=("--mass-kg", "10", "--speed-rpm", "8000"),
)
