"""Matching: does this motor go with this drive and this axis; yes, no or ask, one by one."""

from __future__ import annotations

from typing import Any

from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Method, Values
from retrue.cases.reckon.reckoning import Listing, Reckoning
from retrue.cases.wake.matching_fields import FIELDS
from retrue.cases.wake.matching_load import inertia
from retrue.cases.wake.matching_rows import Row
from retrue.cases.wake.matching_turning import torque, volts
from retrue.science.motor_match import alike, volts_alike

ANSWERS = {"yes": "yes", "no": "no", "ask": "ask"}


def reckon(values: Values) -> Reckoning:
    """Every property of motor, drive and axis against its counterpart.

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
    >>> made = reckon(values_of(METHOD, {"cycle": "3,0.2; 1,0.5; -2,0.2; 0,0.6",
    ...     "continuous_nm": "2", "peak_nm": "6"}))
    >>> made.answer, [round(f.value, 4) for f in made.figures if f.key == "rms_nm"]
    ('get_first', [1.4376])
    """
    draft = Draft("matching", say("Motor and drive"), FIELDS, values)
    rows = [*torque(draft), *volts(draft), *inertia(draft), *_plain(draft)]
    for row in rows:
        if row.fits == "no":
            draft.stop(say("{name}: {why}", name=row.name, why=row.why), row.remedy, row.field)
        elif row.fits == "ask":
            draft.lack(say("{name}: {why}", name=row.name, why=row.why), row.remedy, row.field)
    draft.listings.append(
        Listing(
            title=say("Property by property"),
            columns=(say("property"), say("wanted"), say("has"), say("fits")),
            rows=tuple((r.name, r.wanted, r.has, say(ANSWERS[r.fits])) for r in rows),
        )
    )
    return draft.done(say("All {count} properties fit.", count=len(rows)))


def _plain(draft: Draft) -> list[Row]:
    """What must be the same on both sides."""
    rows = []
    for name, id, unit, same in (
        (say("poles"), "poles", "", alike),
        (say("feedback"), "feedback", "", alike),
        (say("volts of the feedback"), "feedback_volts", "V", volts_alike),
        (say("volts of the brake"), "brake_volts", "V", volts_alike),
        (say("sensor in the winding"), "thermal", "", alike),
    ):
        if id == "brake_volts" and _no_brake(draft):
            continue
        motor, drive = draft.said(f"motor_{id}"), draft.said(f"drive_{id}")
        fits = same(motor, drive)
        rows.append(Row.of(name, motor, drive, unit, fits, f"drive_{id}", f"motor_{id}"))
    return rows


def _no_brake(draft: Draft) -> bool:
    told: Any = draft.said("motor_brake")
    return told is False


METHOD = Method(
    id="matching",
    title=later("Motor and drive"),
    what=later("Whether a motor goes with a drive and an axis: yes, no or ask, one by one."),
    fields=FIELDS,
    cautions=("X02", "X03", "X26", "X27"),
    reckon=reckon,
    standard="by definition; the documents of motor and drive",
    example=("--cycle", "3, 0.2; 1, 0.5; -2, 0.2; 0, 0.6", "--continuous-nm", "2",
             "--peak-nm", "6", "--volts-per-krpm", "50", "--moved-kg", "500", "--pitch-mm", "10",
             "--motor-inertia-kg-cm2", "12"),
)  # fmt: skip
