"""Belt: how often it comes round, its teeth, and its pull from the note of a span."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.belt import (
    belt_hz,
    driven_rpm,
    mesh_hz,
    span_hz,
    tension_newton,
    toothed_belt_hz,
)

TURNS = later("kinematics (by definition)")
STRING = later("Mersenne's law of the string")
OFF_SHARE = 0.10  # pull farther off than that is set again (judgement, no source)
ROUND, TEETH, PULL = "how it comes round", "a toothed belt", "its pull"

FIELDS = (
    Field(id="speed_rpm", name="speed of the pulley", unit="rpm",
          help="Of the pulley whose diameter or teeth are given.", group=ROUND),
    Field(id="pulley_mm", name="pitch diameter of the pulley", unit="mm",
          help="Where the belt's cords run, a little inside its back.", group=ROUND),
    Field(id="length_mm", name="pitch length of the belt", unit="mm", help="Printed on it.",
          group=ROUND),
    Field(id="slip_share", name="slip, share of the speed", default=0.01, zero=True,
          mark="from memory, unverified", help="0 for a toothed belt, 0.01 to 0.02 for others.",
          group=ROUND),
    Field(id="driven_mm", name="pitch diameter of the driven pulley", unit="mm",
          help="To tell its speed.", group=ROUND),
    Field(id="teeth", name="teeth of the pulley", sort="whole", help="Count them.", group=TEETH),
    Field(id="belt_teeth", name="teeth of the belt", sort="whole", help="Printed on it.",
          group=TEETH),
    Field(id="span_mm", name="free span", unit="mm",
          help="From where it leaves one pulley to where it meets the other.", group=PULL),
    Field(id="mass_kg_per_m", name="mass of the belt, kilogram a metre",
          help="From its sheet, or weigh one and divide by its length.", group=PULL),
    Field(id="note_hz", name="note of the plucked span", unit="Hz",
          help="From a recording, the lowest one.", group=PULL),
    Field(id="wanted_newton", name="pull it should have", unit="N",
          help="From the manual; of one span.", group=PULL),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Frequencies of a belt, and its pull.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said.

    Returns
    -------
    Reckoning
        No-go where the pull is more than a tenth off what is wanted.

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"pulley_mm": "140", "speed_rpm": "1775",
    ...     "length_mm": "1950", "slip_share": "0.022"}))
    >>> [round(f.value, 3) for f in made.figures if f.key == "belt_hz"]
    [6.526]
    """
    draft = Draft("belt", say("Belt"), FIELDS, values)
    told = ""
    try:
        told = _round(draft) or _teeth(draft)
        told = _pull(draft) or told
    except Unusable as refusal:
        draft.refused(refusal, "speed_rpm")
    if not told and not draft.against and not draft.missing:
        remedy = say("Speed, pulley and length; or span, mass and note.")
        draft.lack(say("nothing is said of the belt"), remedy, "speed_rpm")
    return draft.done(told)


def _round(draft: Draft) -> str:
    pulley, length = draft.said("pulley_mm"), draft.said("length_mm")
    if pulley is None and length is None:
        return ""
    speed, pulley, length = (
        draft.wanted("speed_rpm"), draft.wanted("pulley_mm"), draft.wanted("length_mm"),
    )  # fmt: skip
    if speed is None or pulley is None:
        return ""
    slip = draft.get("slip_share")
    driven = draft.said("driven_mm")
    if driven is not None:
        turns = driven_rpm(speed, pulley, driven, slip_share=slip)
        draft.figure("driven_rpm", say("speed of the driven pulley"), turns, "rpm", 0, TURNS)
    if length is None:
        return ""
    once = belt_hz(pulley, speed, length, slip_share=slip)
    draft.figure("belt_hz", say("the belt comes round"), once, "Hz", 3, TURNS)
    draft.figure("belt_twice_hz", say("twice of it, the stronger line of a worn one"), 2 * once,
                 "Hz", 3, TURNS)  # fmt: skip
    return say("The belt comes round {hz} times a second; a worn one draws twice that.",
               hz=number(once, 2))  # fmt: skip


def _teeth(draft: Draft) -> str:
    teeth, belt_teeth = draft.said("teeth"), draft.said("belt_teeth")
    if teeth is None and belt_teeth is None:
        return ""
    teeth, speed = draft.wanted("teeth"), draft.wanted("speed_rpm")
    if teeth is None or speed is None:
        return ""
    mesh = mesh_hz(teeth, speed)
    draft.figure("mesh_hz", say("teeth meet"), mesh, "Hz", 1, TURNS)
    if belt_teeth is not None:
        once = toothed_belt_hz(teeth, speed, belt_teeth)
        draft.figure("toothed_belt_hz", say("the toothed belt comes round"), once, "Hz", 3, TURNS)
    return say("Its teeth meet {hz} times a second.", hz=number(mesh, 1))


def _pull(draft: Draft) -> str:
    span, mass = draft.said("span_mm"), draft.said("mass_kg_per_m")
    note, wanted = draft.said("note_hz"), draft.said("wanted_newton")
    if span is None and note is None:
        return ""
    span, mass = draft.wanted("span_mm"), draft.wanted("mass_kg_per_m")
    if span is None or mass is None:
        return ""
    if wanted is not None:
        draft.figure("wanted_note_hz", say("note it should have"), span_hz(span, wanted, mass),
                     "Hz", 2, STRING)  # fmt: skip
    if note is None:
        if wanted is None:
            draft.lack(say("neither its note nor its pull is known"),
                       say("Pluck it and record it, or look the pull up in the manual."),
                       "note_hz")  # fmt: skip
            return ""
        return say(
            "Pluck it: it should sound at {hz} Hz.", hz=number(span_hz(span, wanted, mass), 1)
        )
    pull = tension_newton(span, note, mass)
    draft.figure("tension_newton", say("pull in the span"), pull, "N", 1, STRING)
    if wanted is not None and abs(pull / wanted - 1) > OFF_SHARE:
        draft.stop(
            say("it pulls {pull} N where {wanted} N are wanted", pull=number(pull),
                wanted=number(wanted)),
            say("Set it again, turn the spindle by hand ten times, pluck it again."),
            "note_hz",
        )  # fmt: skip
    return say("The span pulls {pull} N.", pull=number(pull))


METHOD = Method(
    id="belt",
    title=later("Belt"),
    what=later("How often a belt and its teeth come round, and its pull from the note of a span."),
    fields=FIELDS,
    cautions=("X02",),
    reckon=reckon,
    standard="kinematics; law of the string",
    example=("--pulley-mm", "140", "--speed-rpm", "1775", "--length-mm", "1950",
             "--slip-share", "0.022", "--span-mm", "400", "--mass-kg-per-m", "0.1",
             "--wanted-newton", "200 N"),
)  # fmt: skip
