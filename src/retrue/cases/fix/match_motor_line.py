"""What else changes with a new motor: conductor, short-circuit device, overload; electrician's."""

from __future__ import annotations

from retrue.base.formatter import short
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.fix.match_rows import told
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field
from retrue.cases.wake.matching_rows import Row
from retrue.science.conductor import (
    MOTOR_VOLTS,
    motor_branch,
    one_phase_table_ampere,
    table_current_ampere,
)
from retrue.science.motor_match import Fits
from retrue.science.protection_iec import next_device_ampere
from retrue.science.protection_nec import overload, short_circuit

LINE = "its line"
TABLE = later("NFPA 70:2008, table 430.250 (secondary source)")
ONE_PHASE = later("NFPA 70, table 430.248 (secondary source)")
ONE_PHASE_VOLTS = 230
CARRIES = later("NFPA 70, 430.22: 125 per cent of the table's current, not of the plate's")
DEVICE = later("NFPA 70, table 430.52 and 240.6(A)")
LOAD = later(
    "NFPA 70, 430.6(A)(2) and 430.32: by the motor's plate, never by the table (from memory)"
)
FITS = later("IEC 60364-4-43, 433.1 (from memory)")
SECOND = later("secondary source")
VOLTS_WITHIN = 0.1  # of a column of the table: 400 V stands in none
ELECTRICIAN = later(
    "A licensed electrician chooses it after the code in force, or says that it stays."
)
DEVICES = (("inverse_time_breaker", "breaker, slower the smaller the current"),
           ("dual_element_fuse", "slow fuse"), ("non_time_delay_fuse", "quick fuse"),
           ("instantaneous_trip", "trip at once"))  # fmt: skip

LINE_FIELDS = (
    Field(id="code", name="by which code its line is made", sort="choice", default="iec",
          mark="as in Europe", choices=(("iec", "IEC 60364"), ("nec", "NFPA 70"),
                                              ("none", "not asked: a drive feeds it")),
          help="That of the place where it stands.", group=LINE),
    Field(id="horsepower", name="horsepower of the new motor",
          help="On its plate; by NFPA 70 the line is chosen by it.", group=LINE),
    Field(id="line_phases", name="phases of its line", sort="whole", default=3, mark="as most are",
          help="On its plate.", group=LINE),
    Field(id="service_factor", name="service factor of the new motor", default=1.0,
          mark="as where none stands on the plate", help="On its plate.", group=LINE),
    Field(id="rise_kelvin", name="rise of temperature on its plate", unit="K",
          help="40 K or less allows a higher setting by NFPA 70.", group=LINE),
    Field(id="device", name="short-circuit device", sort="choice", default="inverse_time_breaker",
          mark="as most are", choices=DEVICES, help="In the cabinet, read by an electrician.",
          group=LINE),
    Field(id="device_ampere", name="rating of that device, there now", unit="A",
          help="Printed on it.", group=LINE),
    Field(id="conductor_carries_ampere", name="what its conductor carries", unit="A",
          help="From its size and way, by an electrician.", group=LINE),
)  # fmt: skip


def line(
    draft: Draft, new_ampere: float | None, old_ampere: float | None, volts: float | None
) -> list[Row]:
    """Conductor, device and overload for a motor's plate; no rows where it takes the same current.

    Parameters
    ----------
    draft : Draft
        Gets the figures.
    new_ampere, old_ampere : float or None
        On the plates of the new and of the old motor.
    volts : float or None
        Of the supply.

    Returns
    -------
    list of Row
        Never a no: what a line needs is an electrician's to say. For a smaller motor the device
        there may be too large, the conductor is held where it is known what it carries, and the
        overload comes down.

    Examples
    --------
    >>> draft = Draft("motor", "", LINE_FIELDS, {"code": "nec", "horsepower": 25.0})
    >>> [row.wanted for row in line(draft, 33.0, 30.0, 460.0)]
    ['42.50 A', '90 A']
    >>> round(next(f.value for f in draft.figures if f.key == "overload_ampere"), 2)
    37.95
    """
    code = draft.get("code")
    if new_ampere is None or code == "none":
        return []
    reckon = _nec if code == "nec" else _iec
    conductor, *device = reckon(draft, new_ampere, volts)
    if old_ampere is None or new_ampere == old_ampere:
        return []
    if new_ampere > old_ampere:
        return [conductor, *device]
    known = draft.said("conductor_carries_ampere") is not None
    return [*((conductor,) if known else ()), *device, _set_down(draft)]


def _set_down(draft: Draft) -> Row:
    """A smaller motor behind the old one's overload burns before it trips."""
    most = next((one.value for one in draft.figures if one.key == "overload_ampere"), None)
    has = draft.said("overload_set_ampere")
    fits: Fits = "yes" if has is not None and most is not None and has <= most else "ask"
    return told(draft, say("overload, set down"), most, has, fits,
                ("has_ampere", "overload_set_ampere"), unit="A", source=LOAD,
                rule=say("set to the new plate: the old setting lets a smaller motor burn"),
                remedy=ELECTRICIAN)  # fmt: skip


def _nec(draft: Draft, plate: float, volts: float | None) -> list[Row]:
    _overload(draft, plate)
    table = _table(draft, volts)
    if table is None:
        return [_told(draft, say("conductor of its line"), None, "conductor_carries_ampere",
                      CARRIES, "ask", SECOND)]  # fmt: skip
    carries = motor_branch(table).conductor_ampere
    found = short_circuit(table, draft.get("device"))
    draft.figure("line_conductor_ampere", say("its conductor must carry"), carries, "A", 1, CARRIES)
    draft.figure("line_device_reckoned_ampere", say("short-circuit device, by its share"),
                 found.reckoned_ampere, "A", 1, DEVICE)  # fmt: skip
    draft.figure("line_device_most_ampere", say("and at most, only if it will not start"),
                 found.most_ampere, "A", 1, DEVICE)  # fmt: skip
    size = found.standard_ampere or found.reckoned_ampere
    has = draft.said("conductor_carries_ampere")
    there = draft.said("device_ampere")
    return [
        _told(draft, say("conductor of its line"), carries, "conductor_carries_ampere", CARRIES,
              "yes" if has is not None and has >= carries else "ask", SECOND),
        _told(draft, say("short-circuit device"), float(size), "device_ampere", DEVICE,
              "yes" if there is not None and there <= size else "ask", SECOND),
    ]  # fmt: skip


def _table(draft: Draft, volts: float | None) -> float | None:
    """The new motor's current by the code's tables; None where they have no such motor."""
    horsepower = draft.said("horsepower")
    if horsepower is None or volts is None:
        return None
    once = draft.get("line_phases") == 1
    near = min((ONE_PHASE_VOLTS,) if once else MOTOR_VOLTS, key=lambda known: abs(known - volts))
    if abs(near - volts) > VOLTS_WITHIN * near:
        draft.notes.append(say("The code's table has no column for {volts} V.", volts=short(volts)))
        return None
    try:
        table = (one_phase_table_ampere(horsepower) if once
                 else table_current_ampere(horsepower, near))  # fmt: skip
    except Unusable as refusal:
        draft.lack(refusal.reason, refusal.remedy, "horsepower")
        return None
    draft.figure("line_table_ampere", say("the new motor's current by the code's table"), table,
                 "A", 1, ONE_PHASE if once else TABLE)  # fmt: skip
    return table


def _overload(draft: Draft, plate: float) -> None:
    factor, rise = max(1.0, draft.get("service_factor")), draft.said("rise_kelvin")
    found = overload(plate, service_factor=factor, rise_kelvin=rise)
    draft.figure("overload_ampere", say("its overload is set at most at"), found.setting_ampere,
                 "A", 2, LOAD)  # fmt: skip
    draft.figure("overload_most_ampere", say("and at most, only if it will not start then"),
                 found.most_ampere, "A", 2, LOAD)  # fmt: skip


def _iec(draft: Draft, plate: float, _: float | None) -> list[Row]:
    draft.figure("overload_ampere", say("its overload is set at most at"), plate, "A", 2,
                 "IEC 60204-1, overload of motors: its plate (from memory)")  # fmt: skip
    has, there = draft.said("conductor_carries_ampere"), draft.said("device_ampere")
    try:
        size = float(next_device_ampere(plate)) if there is None else there
    except Unusable as refusal:
        draft.lack(refusal.reason, refusal.remedy, "has_ampere")
        return []
    draft.figure("line_conductor_ampere", say("its conductor must carry"), size, "A", 1, FITS)
    rule = say("load no more than the device, device no more than the conductor carries")
    carried = has is not None and has >= size
    return [
        _told(draft, say("conductor of its line"), size, "conductor_carries_ampere", rule,
              "yes" if carried else "ask", FITS),
        _told(draft, say("short-circuit device"), plate, "device_ampere", rule,
              "yes" if there is not None and there >= plate else "ask", FITS),
    ]  # fmt: skip


def _told(
    draft: Draft, name: str, needs: float | None, field: str, rule: str, fits: str, source: str
) -> Row:
    has = draft.said(field)
    why = "" if has is None or needs is None else say(
        "{needs} A by the code, {has} A there", needs=short(needs), has=short(has))  # fmt: skip
    return told(draft, name, needs, has, "yes" if fits == "yes" else "ask",
                ("horsepower", field), rule=rule, source=source, unit="A", why=why,
                remedy=ELECTRICIAN)  # fmt: skip
