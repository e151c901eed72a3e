"""Drive: may this one replace that one for a motor and a control that stay."""

from __future__ import annotations

from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.fix.match_drive_fields import (
    BODY,
    BRAKE_CURRENT,
    COMMANDS,
    COUNTS,
    CURRENTS,
    FIELDS,
    READS,
    SUPPLY,
    TORQUE_OFF_LEVEL,
)
from retrue.cases.fix.match_motor_fields import COUNTED, LANGUAGE
from retrue.cases.fix.match_rows import (
    COMMON,
    asked_where,
    range_words,
    rows_of,
    settled,
    ticked,
    told,
)
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.wake.matching_rows import Row
from retrue.science.converter import BUS_TIMES, Turning, stopping
from retrue.science.fitting import between, like_words
from retrue.science.motor_match import Fits, back_volts, bus_carries, enough
from retrue.science.supply import DRIVE_ON_ONE_PHASE

ONE_PHASE = later("a drive maker's sizing page (secondary source)")
ENERGY = later("half the inertia times the square of the turning speed (by definition)")
BUS = later("peak of the line (by definition)")
STOP = ("load_kg_m2", "speed_rpm", "stop_s")


def reckon(values: Values) -> Reckoning:
    """Every property of a drive against the one it replaces, its motor, its control, its supply.

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
    >>> made = reckon(values_of(METHOD, {"need_ampere": "26", "has_ampere": "40",
    ...     "supply_phases": "1", "has_phases": "3"}))
    >>> made.answer, [f.value for f in made.figures if f.key == "asked_ampere"]
    ('no_go', [52.0])
    """
    draft = Draft("drive", say("Drive"), FIELDS, values)
    draft.get("part")
    rows = [_volts(draft), *rows_of(draft, SUPPLY), _phases(draft), _current(draft)]
    peak, limit = CURRENTS
    rows += rows_of(draft, (peak, *asked_where(draft.said("need_sort") == "servo", limit)))
    rows += [*_bus(draft), *_reads(draft), *_commands(draft), *_braking(draft)]
    rows += [*rows_of(draft, BODY), _settings(draft)]
    draft.notes.append(say("One bought used is untested until it ran; its capacitors have rested."))
    draft.notes.append(say("Another drive may change how the machine stops: ask a qualified person "
                           "before, and keep the change list."))  # fmt: skip
    return settled(draft, rows)


def _volts(draft: Draft) -> Row:
    supply = draft.said("drive_volts")
    low, high = draft.said("has_low_volts"), draft.said("has_high_volts")
    shown = range_words(low, high)
    return told(draft, say("supply, volts"), supply, shown, between(low, high, supply),
                ("drive_volts", "has_low_volts" if low is None else "has_high_volts"),
                rule=say("inside the range of its plate"), source="the drive's document",
                unit="" if supply is None else "V")  # fmt: skip


def _phases(draft: Draft) -> Row:
    needs, has = draft.said("supply_phases"), draft.said("has_phases")
    fits: Fits = "ask"
    more = ""
    if needs is not None and has is not None:
        fits = "yes" if needs == has else "no" if needs > has else "ask"
        more = say("Ask by its document whether it runs on one phase, and with what.")
    return told(draft, say("supply, phases"), needs, has, fits, ("supply_phases", "has_phases"),
                rule=say("as many; one for three only where its document allows it"),
                source=ONE_PHASE, remedy=more if fits == "ask" else "")  # fmt: skip


def _current(draft: Draft) -> Row:
    """Twice the motor's where a drive for three phases runs on one."""
    needs, has = draft.said("need_ampere"), draft.said("has_ampere")
    once = draft.said("supply_phases") == 1 and draft.said("has_phases") == 3
    asked = None if needs is None else needs * (DRIVE_ON_ONE_PHASE if once else 1.0)
    if asked is not None:
        draft.figure("asked_ampere", say("current for ever that it must have"), asked, "A", 1,
                     ONE_PHASE if once else "by definition")  # fmt: skip
    rule = (say("twice the motor's current: a drive for three phases on one") if once
            else say("no less than the motor's"))  # fmt: skip
    return told(draft, say("current for ever"), asked, has, enough(has, asked),
                ("need_ampere", "has_ampere"), rule=rule, unit="A",
                source=ONE_PHASE if once else "by definition")  # fmt: skip


def _bus(draft: Draft) -> list[Row]:
    """The motor's own volts at its highest speed against the bus of the new drive."""
    constant, speed = draft.said("volts_per_krpm"), draft.said("speed_rpm")
    bus, supply = draft.said("has_bus_volts"), draft.said("drive_volts")
    if bus is None and supply is not None:
        bus = BUS_TIMES * supply
        draft.figure("bus_volts", say("bus behind this supply"), bus, "V", 0, BUS)
    if draft.said("need_sort") not in (None, "servo"):
        return []
    peak = None if constant is None or speed is None else back_volts(constant, speed)[1]
    if peak is not None:
        draft.figure("back_peak_volts", say("the motor's own volts at that speed, peak"), peak,
                     "V", 0, "by definition")  # fmt: skip
    fits = "ask" if peak is None or bus is None else bus_carries(peak, bus)
    return [told(draft, say("volts at the highest speed"), peak, bus, fits,
                 ("volts_per_krpm" if constant is None else "speed_rpm", "has_bus_volts"),
                 rule=say("the motor's own peak volts, against nine tenths of the bus"),
                 source="by definition; the tenth is judgement", unit="V")]  # fmt: skip


def _reads(draft: Draft) -> list[Row]:
    """Sort of motor and feedback, with what each sort has to agree in."""
    feedback = draft.said("need_feedback")
    asked = {COUNTS.id: feedback in COUNTED,
             BRAKE_CURRENT.id: draft.said("need_brake_volts") is not None}  # fmt: skip
    known = [next(iter(asked_where(asked.get(one.id, False), one))) for one in READS]
    return rows_of(draft, (*known, *((LANGUAGE,) if feedback == "serial" else ())))


def _commands(draft: Draft) -> list[Row]:
    """The way of commands, and the language of a bus where it is one."""
    safe = draft.said("need_torque_off") is True
    rows = rows_of(draft, [
        next(iter(asked_where(safe and one.id == TORQUE_OFF_LEVEL.id, one))) for one in COMMANDS
    ])  # fmt: skip
    if draft.said("need_command") == "bus":
        needs, has = draft.said("need_protocol"), draft.said("has_protocol")
        rows.append(told(draft, say("language of the bus"), needs, has, like_words(has, needs),
                         ("need_protocol", "has_protocol"),
                         rule=say("the same words, version too"), source=COMMON))  # fmt: skip
    return rows


def _braking(draft: Draft) -> list[Row]:
    """Where the energy of a stop goes: into a resistor or back into the line."""
    stop = _stop(draft)
    peak = None if stop is None else stop.peak_watt
    mean = None
    if stop is not None:
        draft.figure("stop_joule", say("energy of one stop"), stop.energy_joule, "J", 0, ENERGY)
        draft.figure("stop_peak_watt", say("highest power of a stop"), stop.peak_watt, "W", 0,
                     ENERGY)  # fmt: skip
        each = draft.said("stops_per_hour")
        mean = None if each is None else stop.energy_joule * each / 3600.0
    if mean is not None:
        draft.figure("stop_mean_watt", say("mean power of all stops"), mean, "W", 0, ENERGY)
    lacking = next((id for id in STOP if draft.said(id) is None), "stops_per_hour")
    most, ever = draft.said("has_brake_peak_watt"), draft.said("has_brake_watt")
    ohm, least = draft.said("resistor_ohm"), draft.said("has_least_ohm")
    rows = [
        told(draft, say("braking, highest power"), peak, most, enough(most, peak),
             (lacking, "has_brake_peak_watt"), unit="W", source=ENERGY,
             rule=say("twice the mean of an even stop, friction counted as nothing")),
        told(draft, say("braking, power for ever"), mean, ever, enough(ever, mean),
             (lacking, "has_brake_watt"), unit="W", source=ENERGY,
             rule=say("energy of a stop times stops an hour")),
    ]  # fmt: skip
    if ohm is not None:
        rows.append(told(draft, say("braking resistor that stays"), least, ohm, enough(ohm, least),
                         ("has_least_ohm", "resistor_ohm"), unit="ohm",
                         rule=say("no fewer ohm than the new drive allows"),
                         source="volts over ohm, by definition"))  # fmt: skip
    return rows


def _stop(draft: Draft) -> Turning | None:
    load, speed, seconds = (draft.said(id) for id in STOP)
    if load is None or speed is None or seconds is None:
        return None
    try:
        return stopping(load, speed, seconds)
    except Unusable as refusal:
        draft.refused(refusal, "stop_s")
        return None


def _settings(draft: Draft) -> Row:
    return ticked(
        draft,
        "settings_kept",
        say("settings of the old one are kept"),
        rule=say("without them a new one is set up from nothing"),
        source=COMMON,
        remedy=say("Have every one read out while the old one still runs, or ask who has a like "
                   "machine."),
    )  # fmt: skip


METHOD = Method(
    id="drive",
    title=later("Drive"),
    what=later("Whether a drive may replace another for the same motor and control, one by one."),
    fields=FIELDS,
    cautions=("X03", "X02", "X05", "X28", "X24", "X37", "X29"),
    reckon=reckon,
    standard="by definition; IEC 61800-5-1 and -5-2; the documents of both",
    example=("--supply-phases", "1", "--has-phases", "3", "--need-ampere", "26", "--has-ampere",
             "55", "--load-kg-m2", "0.4", "--speed-rpm", "4000", "--stop-s", "3",
             "--stops-per-hour", "20"),
)  # fmt: skip
