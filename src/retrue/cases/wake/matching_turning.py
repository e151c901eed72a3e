"""What a motor's turning asks: torque over a cycle, currents for it, volts at the top speed."""

from __future__ import annotations

from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.wake.matching_rows import Row
from retrue.cases.wake.pairs import pairs
from retrue.science.motor_match import (
    STRONG_MAGNET_PERCENT,
    WEAK_MAGNET_PERCENT,
    back_volts,
    bus_carries,
    enough,
    magnet_left_percent,
    rms_torque_nm,
    torque_at_nm,
    torque_constant,
)

BY_DEFINITION = later("power in is power out, sine currents (by definition)")
WARMS = later("root of the mean square of the torque over the cycle, against the torque it gives "
              "for "
            "ever at its highest speed (by definition)")  # fmt: skip
HIGHEST = later("highest torque of the cycle, against its highest at that speed (by definition)")
BY_CONSTANT = later("torque over its torque an ampere, which is 1.73 times its volts a radian a "
                  "second (by definition)")  # fmt: skip
KEEPS = later("over it the magnets are lost (the motor's document)")
CARRIES = later("its own peak volts at the highest speed, against nine tenths of the bus (by "
              "definition; the tenth is judgement)")  # fmt: skip


def torque(draft: Draft) -> list[Row]:
    """Torque over a cycle and at its highest speed, and the currents for it.

    Parameters
    ----------
    draft : Draft
        With the fields of an axis' cycle, of a motor and of a drive.

    Returns
    -------
    list of Row
        None where the cycle or a curve cannot be read; the draft then says why.

    Examples
    --------
    >>> from retrue.cases.wake.matching_fields import FIELDS
    >>> draft = Draft("matching", "", FIELDS, {"cycle": "3,0.2; 1,0.5; -2,0.2; 0,0.6",
    ...     "continuous_nm": 1.4})
    >>> [row.fits for row in torque(draft)][:2]
    ['no', 'ask']
    """
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
               "continuous_nm", "cycle", rule=WARMS),
        Row.of(say("highest torque of the motor"), peak, most, "Nm", enough(most, peak),
               "peak_nm", "cycle", rule=HIGHEST),
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
    constant = draft.said("measured_volts_per_krpm") or draft.said("volts_per_krpm")
    per_ampere = None if constant is None else torque_constant(constant)
    if per_ampere is not None:
        draft.figure("nm_per_ampere", say("torque an ampere"), per_ampere, "Nm/A", 4, BY_DEFINITION)
    for_ever = None if warms is None or per_ampere is None else warms / per_ampere
    highest = None if peak is None or per_ampere is None else peak / per_ampere
    drive, burst = draft.said("drive_continuous_ampere"), draft.said("drive_peak_ampere")
    most = draft.said("motor_peak_ampere")
    return [
        Row.of(say("current for ever of the drive"), for_ever, drive, "A", enough(drive, for_ever),
               "drive_continuous_ampere", "volts_per_krpm", rule=BY_CONSTANT),
        Row.of(say("highest current of the drive"), highest, burst, "A", enough(burst, highest),
               "drive_peak_ampere", "volts_per_krpm", rule=BY_CONSTANT),
        Row.of(say("the drive's highest current is within the motor's"), burst, most, "A",
               enough(most, burst), "motor_peak_ampere", "drive_peak_ampere", rule=KEEPS),
    ]  # fmt: skip


def volts(draft: Draft) -> list[Row]:
    """A motor's own volts at the highest speed against the bus, and its magnets.

    Parameters
    ----------
    draft : Draft
        With the fields of an axis' cycle, of a motor and of a drive.

    Returns
    -------
    list of Row

    Examples
    --------
    >>> from retrue.cases.wake.matching_fields import FIELDS
    >>> draft = Draft("matching", "", FIELDS, {"volts_per_krpm": 50.0, "speed_rpm": 3000.0,
    ...     "bus_volts": 200.0})
    >>> [row.fits for row in volts(draft)]
    ['no']
    """
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
                       "volts_per_krpm" if of is None else "speed_rpm", rule=CARRIES))  # fmt: skip
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
