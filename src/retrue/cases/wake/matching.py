"""Matching: does this motor go with this drive and this axis; yes, no or ask, one by one."""

from __future__ import annotations

from typing import Any

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Method, Values
from retrue.cases.reckon.reckoning import Listing, Reckoning
from retrue.cases.wake.matching_fields import FIELDS
from retrue.cases.wake.matching_load import inertia
from retrue.cases.wake.matching_rows import Row
from retrue.cases.wake.pairs import pairs
from retrue.science.motor_match import (
    STRONG_MAGNET_PERCENT,
    WEAK_MAGNET_PERCENT,
    alike,
    back_volts,
    bus_carries,
    enough,
    magnet_left_percent,
    rms_torque_nm,
    torque_at_nm,
    torque_constant,
    volts_alike,
)

BY_DEFINITION = "power in is power out, sine currents (by definition)"
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
    rows = [*_torque(draft), *_volts(draft), *inertia(draft), *_plain(draft)]
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


def _torque(draft: Draft) -> list[Row]:
    try:
        cycle = pairs(draft.said("cycle") or "", field="cycle", what=say("torque and seconds"))
        warms = rms_torque_nm(cycle) if cycle else None
        for_ever = _at_speed(draft, "curve", "continuous_nm")
        most = _at_speed(draft, "peak_curve", "peak_nm")
    except Unusable as refusal:
        wrong = refusal.problems[0].where if refusal.problems else "cycle"
        draft.refused(refusal, wrong)
        return []
    peak = max((abs(torque) for torque, _ in cycle), default=None)
    if warms is not None:
        draft.figure("rms_nm", say("torque that warms, over the cycle"), warms, "Nm", 4,
                     "root of the mean square (by definition)")  # fmt: skip
    rows = [
        Row.of(say("torque for ever"), warms, for_ever, "Nm", enough(for_ever, warms),
               "continuous_nm", "cycle"),
        Row.of(say("highest torque of the motor"), peak, most, "Nm", enough(most, peak),
               "peak_nm", "cycle"),
    ]  # fmt: skip
    return [*rows, *_currents(draft, warms, peak)]


def _at_speed(draft: Draft, curve: str, standing: str) -> float | None:
    """From a curve at the highest speed, else one number."""
    if not draft.said(curve):
        one: float | None = draft.said(standing)
        return one
    points = pairs(draft.said(curve), field=curve, what=say("rpm and Nm"))
    speed = draft.wanted("speed_rpm")
    try:
        return None if speed is None else torque_at_nm(points, speed)
    except Unusable as refusal:
        draft.refused(refusal, curve)
        return None


def _currents(draft: Draft, warms: float | None, peak: float | None) -> list[Row]:
    """What the drive must give: torque over the constant that the voltage tells."""
    volts = draft.said("measured_volts_per_krpm") or draft.said("volts_per_krpm")
    per_ampere = None if volts is None else torque_constant(volts)
    if per_ampere is not None:
        draft.figure("nm_per_ampere", say("torque an ampere"), per_ampere, "Nm/A", 4, BY_DEFINITION)
    for_ever = None if warms is None or per_ampere is None else warms / per_ampere
    highest = None if peak is None or per_ampere is None else peak / per_ampere
    drive, burst = draft.said("drive_continuous_ampere"), draft.said("drive_peak_ampere")
    most = draft.said("motor_peak_ampere")
    return [
        Row.of(say("current for ever of the drive"), for_ever, drive, "A", enough(drive, for_ever),
               "drive_continuous_ampere", "volts_per_krpm"),
        Row.of(say("highest current of the drive"), highest, burst, "A", enough(burst, highest),
               "drive_peak_ampere", "volts_per_krpm"),
        Row.of(say("the drive's highest current is within the motor's"), burst, most, "A",
               enough(most, burst), "motor_peak_ampere", "drive_peak_ampere"),
    ]  # fmt: skip


def _volts(draft: Draft) -> list[Row]:
    constant, measured = draft.said("volts_per_krpm"), draft.said("measured_volts_per_krpm")
    speed, bus = draft.said("speed_rpm"), draft.said("bus_volts")
    known = [one for one in (constant, measured) if one is not None]
    of, rows = max(known, default=None), []  # the higher leaves less of the bus
    peak = None
    if of is not None and speed is not None:
        effective, peak = back_volts(of, speed)
        draft.figure("back_volts", say("its own volts at that speed, effective"), effective, "V", 0,
                     "by definition")  # fmt: skip
        draft.figure("back_peak_volts", say("and their peak"), peak, "V", 0, "by definition")
    fits = "ask" if peak is None or bus is None else bus_carries(peak, bus)
    rows.append(Row.of(say("volts at the highest speed"), peak, bus, "V", fits, "bus_volts",
                       "volts_per_krpm" if of is None else "speed_rpm"))  # fmt: skip
    if constant is not None and measured is not None:
        left = magnet_left_percent(measured, constant)
        draft.figure("magnet_left_percent", say("of its volts is left"), left, "%", 0,
                     "by definition; under 90 is judgement")  # fmt: skip
        rows.append(_magnets(left))
    return rows


def _magnets(left: float) -> Row:
    """Weak ones are asked about; so are stronger ones than were ever in it."""
    kept = WEAK_MAGNET_PERCENT <= left <= STRONG_MAGNET_PERCENT
    why = "" if left <= STRONG_MAGNET_PERCENT else say(
        "{left} % of what is printed: another motor, or one phase for two", left=f"{left:.0f}"
    )  # fmt: skip
    return Row.of(say("its magnets"), WEAK_MAGNET_PERCENT, left, "%", "yes" if kept else "ask",
                  "measured_volts_per_krpm", "volts_per_krpm", why=why)  # fmt: skip


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
    title=say("Motor and drive"),
    what=say("Whether a motor goes with a drive and an axis: yes, no or ask, one by one."),
    fields=FIELDS,
    cautions=("X02", "X03", "X26", "X27"),
    reckon=reckon,
    standard="by definition; the documents of motor and drive",
    example=("--cycle", "3, 0.2; 1, 0.5; -2, 0.2; 0, 0.6", "--continuous-nm", "2",
             "--peak-nm", "6", "--volts-per-krpm", "50", "--moved-kg", "500", "--pitch-mm", "10",
             "--motor-inertia-kg-cm2", "12"),
)  # fmt: skip
