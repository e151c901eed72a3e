"""What a motor moves, as it feels it, against its own inertia."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.wake.matching_rows import Row
from retrue.science.inertia import (
    at_motor_kg_m2,
    belt_inertia_kg_m2,
    cylinder_inertia_kg_m2,
    ratio_fits,
    screw_inertia_kg_m2,
)

CM2_PER_M2 = 1e4
ENERGY = later("equal kinetic energy (by definition)")


def inertia(draft: Draft) -> list[Row]:
    """The row of the inertia, its figures beside it.

    Parameters
    ----------
    draft : Draft

    Returns
    -------
    list of Row
        None where nothing of the load was said.

    Examples
    --------
    >>> from retrue.cases.wake.matching_fields import FIELDS
    >>> draft = Draft("matching", "Motor and drive", FIELDS,
    ...     {"moved_kg": 500.0, "pitch_mm": 10.0, "motor_inertia_kg_cm2": 12.0})
    >>> [row.fits for row in inertia(draft)], round(draft.figures[0].value, 3)
    (['yes'], 12.665)
    """
    felt = _felt(draft)
    own = draft.said("motor_inertia_kg_cm2")
    if felt is None and own is None:
        return []
    ratio = None
    if felt is not None and own is not None:
        ratio = felt * CM2_PER_M2 / own
        draft.figure("inertia_ratio", say("load over rotor"), ratio, "", 2,
                     "3 and 10 are common practice, no source")  # fmt: skip
    easy, most = draft.get("ratio_easy"), draft.get("ratio_most")
    fits = "ask" if ratio is None else ratio_fits(ratio, easy=easy, most=most)
    lacking = "motor_inertia_kg_cm2" if own is None else "moved_kg"
    why = "" if ratio is None else say(
        "what it moves weighs {ratio} rotors; up to {easy} is easy, over {most} is too much",
        ratio=number(ratio, 1), easy=number(easy), most=number(most),
    )  # fmt: skip
    return [Row.of(say("load over rotor, by inertia"), ratio, easy, "", fits, "moved_kg",
                   lacking, why=why,
                   rule=say("inertia of what it moves, as the motor feels it, over that of its "
                            "rotor (equal energy, by definition; limits common practice)"),
                   )]  # fmt: skip


def _felt(draft: Draft) -> float | None:
    mass, pitch, pulley = (draft.said(one) for one in ("moved_kg", "pitch_mm", "pulley_mm"))
    if mass is None or (pitch is None and pulley is None):
        return None
    slides = screw_inertia_kg_m2(mass, pitch) if pitch else belt_inertia_kg_m2(mass, pulley)
    thick, long = draft.said("screw_diameter_mm"), draft.said("screw_length_mm")
    turns = cylinder_inertia_kg_m2(thick, long) if thick and long else 0.0
    try:
        felt = at_motor_kg_m2(slides + turns, draft.get("gear_turns"))
    except Unusable as refusal:
        draft.refused(refusal, "gear_turns")
        return None
    draft.figure("slides_kg_cm2", say("what slides, at screw or pulley"), slides * CM2_PER_M2,
                 "kg cm²", 3, ENERGY)  # fmt: skip
    if turns:
        draft.figure("screw_kg_cm2", say("the screw itself"), turns * CM2_PER_M2, "kg cm²", 3,
                     "solid steel cylinder (by definition)")  # fmt: skip
    draft.figure("felt_kg_cm2", say("all of it, at the motor"), felt * CM2_PER_M2, "kg cm²", 3,
                 ENERGY)  # fmt: skip
    return felt
