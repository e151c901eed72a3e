"""Motor: may this one replace that one, property by property."""

from __future__ import annotations

from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.fix.match_motor_fields import (
    BODY,
    BRAKE,
    COUNTED,
    FEEDBACK,
    FIELDS,
    LANGUAGE,
    POLES,
    POWER,
    SORT,
    SPEED,
    STANDSTILL,
    START,
)
from retrue.cases.fix.match_motor_line import line
from retrue.cases.fix.match_rows import COMMON, asked_where, rows_of, settled, told
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.wake.matching_load import inertia
from retrue.cases.wake.matching_rows import Row
from retrue.cases.wake.matching_turning import torque, volts
from retrue.science.fitting import at_most, near
from retrue.science.motor_match import Fits, enough
from retrue.science.motor_swap import duty_covers, flux_times, on_mains, rated_torque_nm

ZONES = later("IEC 60034-1, 7.3 (from memory)")
POWER_IS = later("power is torque times turning speed (by definition)")
SPEED_WITHIN, SPEED_ASK = 0.03, 0.1  # of a rated speed on the mains (judgement)
LEAST_FLUX, MOST_FLUX = 0.95, 1.05  # under it torque is lost, over it iron is full (judgement)


def reckon(values: Values) -> Reckoning:
    """Every property of a motor against the one it replaces, its drive, its axis, its line.

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
    >>> made = reckon(values_of(METHOD, {"need_kw": "7.5", "need_rated_rpm": "1450",
    ...     "has_kw": "5.5 kW", "has_rated_rpm": "1450"}))
    >>> made.answer, [round(f.value, 1) for f in made.figures if f.key == "old_nm"]
    ('no_go', [49.4])
    """
    draft = Draft("motor", say("Motor"), FIELDS, values)
    draft.get("part")
    fed = draft.wanted("fed")
    sort = draft.said("need_sort")
    rows = rows_of(draft, (SORT,))
    rows += _supply(draft, fed)
    rows += _servo(draft) if sort == "servo" else _plate(draft, fed)
    rows += rows_of(draft, (SPEED, POLES) if fed != "mains" else (POLES,))
    rows += _feedback(draft) if fed != "mains" else []
    rows += _brake(draft)
    rows += [*rows_of(draft, BODY), _duty(draft)]
    draft.notes.append(say("Who connects it is a licensed electrician; he reads plate and code."))
    return settled(draft, rows)


def _supply(draft: Draft, fed: str | None) -> list[Row]:
    """Volts, hertz and current, by the mains or by a drive; and what else changes."""
    needs, has = draft.said("need_volts"), draft.said("has_volts")
    current = _current(draft, fed)
    sort = draft.said("need_sort")
    if fed == "drive" and sort == "direct":
        rule = say("within a twentieth of what the drive gives: its speed goes by them")
        fits, source = near(has, needs, yes_share=0.05, ask_share=0.2), "by definition"
    elif fed == "drive":
        rule = say("no lower than the drive gives: its insulation and its current go by them")
        fits, source = enough(has, needs), COMMON
    else:
        rule = say("supply within a twentieth of its plate; up to a tenth it is asked")
        fits, source = on_mains(needs, has), ZONES
    rows = [told(draft, say("rated volts"), needs, has, fits, ("need_volts", "has_volts"),
                 rule=rule, source=source, unit="V"), current]  # fmt: skip
    if fed == "drive" and sort not in ("servo", "direct"):  # a servo's goes by the drive's bus
        rows.append(_driven_hertz(draft, needs, has))
    if fed == "mains":
        start = asked_where(draft.said("has_start_times") is not None, START)
        rows += [_hertz(draft, needs, has), *rows_of(draft, start)]
        rows += line(draft, draft.said("has_ampere"), draft.said("need_ampere"), needs)
    return rows


def _current(draft: Draft, fed: str | None) -> Row:
    """Against what its drive gives where that is known; else more than the old one's is asked."""
    needs, has = draft.said("need_ampere"), draft.said("has_ampere")
    gives = draft.said("drive_continuous_ampere") if fed == "drive" else None
    if gives is not None and draft.said("need_sort") != "servo":  # a servo's goes by its cycle
        return told(draft, say("full-load current"), gives, has, at_most(has, gives),
                    ("drive_continuous_ampere", "has_ampere"), unit="A",
                    rule=say("no more than its drive gives for ever"),
                    source="by definition")  # fmt: skip
    fits, more = at_most(has, needs), ""
    if fits == "no":
        fits = "ask"
        more = (say("Ask whether its drive gives that much for ever.") if fed == "drive" else
                say("Overload, contactor, conductor and device follow: see its line."))  # fmt: skip
    return told(draft, say("full-load current"), needs, has, fits, ("need_ampere", "has_ampere"),
                rule=say("no more than the old one's, for which drive or line was made"),
                source="by definition", unit="A", remedy=more)  # fmt: skip


def _hertz(draft: Draft, needs_volts: float | None, has_volts: float | None) -> Row:
    needs, has = draft.said("need_hz"), draft.said("has_hz")
    fits: Fits = "ask"
    if needs and has and needs_volts and has_volts:
        times = flux_times(needs_volts, needs, has_volts, has)
        draft.figure("flux_times", say("its flux on this supply, in times of its own"), times, "",
                     2, "volts over hertz (by definition)")  # fmt: skip
        fits = "yes" if needs == has else "ask" if times <= MOST_FLUX else "no"
    elif needs and has and needs == has:
        fits = "yes"
    return told(draft, say("frequency"), needs, has, fits, ("need_hz", "has_hz"), unit="Hz",
                rule=say("the same; at other hertz its flux may not rise and its speed changes"),
                source="volts over hertz, by definition")  # fmt: skip


def _driven_hertz(draft: Draft, needs_volts: float | None, has_volts: float | None) -> Row:
    """On a drive as it is set: with more volts a hertz than it gives, its flux falls too soon."""
    needs, has = draft.said("need_hz"), draft.said("has_hz")
    fits: Fits = "ask"
    more = ""
    if needs and has and needs_volts and has_volts:
        times = flux_times(needs_volts, needs, has_volts, has)
        draft.figure("flux_times", say("its flux as the drive is set, in times of its own"), times,
                     "", 2, "volts over hertz (by definition)")  # fmt: skip
        draft.figure("full_flux_hz", say("its flux is whole up to"), has * needs_volts / has_volts,
                     "Hz", 1, "volts over hertz (by definition)")  # fmt: skip
        fits = "no" if times < LEAST_FLUX else "ask"
        if fits == "ask" and needs == has and times <= MOST_FLUX:
            fits = "yes"
        if fits == "ask":
            more = say("Have the drive set to the volts and hertz of its plate before it runs.")
    return told(draft, say("frequency, on its drive"), needs, has, fits, ("need_hz", "has_hz"),
                rule=say("the same volts a hertz: with more its torque falls, with less it is "
                         "flooded until the drive is set anew"), unit="Hz", remedy=more,
                source="volts over hertz, by definition; the twentieths are judgement")  # fmt: skip


def _servo(draft: Draft) -> list[Row]:
    """By the cycle of its axis where that is known, else by the old one's plate."""
    rows = torque(draft) if draft.said("cycle") else rows_of(draft, (STANDSTILL,))
    return [*rows, *volts(draft), *inertia(draft)]


def _plate(draft: Draft, fed: str | None) -> list[Row]:
    """Power, rated speed, and the torque that both make."""
    rows = rows_of(draft, (POWER,))
    speeds = draft.said("need_rated_rpm"), draft.said("has_rated_rpm")
    powers = draft.said("need_kw"), draft.said("has_kw")
    if fed != "drive":
        fits = near(speeds[1], speeds[0], yes_share=SPEED_WITHIN, ask_share=SPEED_ASK)
        rows.append(told(draft, say("rated speed"), *speeds, fits,
                         ("need_rated_rpm", "has_rated_rpm"), unit="rpm",
                         rule=say("within three hundredths: pump or belt turn as before"),
                         source="judgement, no source"))  # fmt: skip
    old = _nm(draft, powers[0], speeds[0], "need_rated_rpm")
    new = _nm(draft, powers[1], speeds[1], "has_rated_rpm")
    if old is not None:
        draft.figure("old_nm", say("torque of the old plate"), old, "Nm", 1, POWER_IS)
    if new is not None:
        draft.figure("new_nm", say("torque of the new plate"), new, "Nm", 1, POWER_IS)
    rows.append(told(draft, say("torque at rated speed"), old, new, enough(new, old),
                     ("need_rated_rpm", "has_rated_rpm"), unit="Nm",
                     rule=say("power over rated speed, no less"), source=POWER_IS))  # fmt: skip
    return rows


def _nm(draft: Draft, kw: float | None, rpm: float | None, field: str) -> float | None:
    if kw is None or rpm is None:
        return None
    try:
        return rated_torque_nm(kw, rpm)
    except Unusable as refusal:
        draft.refused(refusal, field)
        return None


def _feedback(draft: Draft) -> list[Row]:
    """Its sort, and what that sort has to agree in: counts of pulses, the language of a serial."""
    sort = draft.said("need_feedback")
    first, counts, *rest = FEEDBACK
    rows = rows_of(draft, (first, *asked_where(sort in COUNTED, counts)))
    if sort == "serial":
        rows += rows_of(draft, (LANGUAGE,))
    return [*rows, *rows_of(draft, rest)]


def _brake(draft: Draft) -> list[Row]:
    needs, has = draft.said("need_brake"), draft.said("has_brake")
    fits: Fits = "ask"
    more = ""
    if needs is not None and has is not None:
        fits = "yes" if needs == has else "no" if needs else "ask"
        more = say("A brake that nobody feeds holds for ever: have it fed, or one without.")
    shown = {None: None, True: say("yes"), False: say("no")}
    row = told(draft, say("brake"), shown[needs], shown[has], fits, ("need_brake", "has_brake"),
               rule=say("one where the old one has one; one too many must be fed"),
               source=COMMON, remedy=more if fits == "ask" else "")  # fmt: skip
    return [row, *rows_of(draft, BRAKE if needs else ())]


def _duty(draft: Draft) -> Row:
    needs, has = draft.said("need_duty"), draft.said("has_duty")
    return told(draft, say("duty"), needs, has, duty_covers(has, needs), ("need_duty", "has_duty"),
                rule=say("running for ever covers short and broken running at the same power"),
                source="IEC 60034-1, clause 4 (from memory)")  # fmt: skip


METHOD = Method(
    id="motor",
    title=later("Motor"),
    what=later("Whether a motor may replace another: yes, no or ask, one by one; what else "
               "changes."),
    fields=FIELDS,
    cautions=("X02", "X05", "X03", "X06", "X27"),
    reckon=reckon,
    standard="IEC 60034-1; NFPA 70, article 430; by definition; the documents of both",
    example=("--part", "pump", "--fed", "mains", "--code", "nec", "--need-volts", "460",
             "--has-volts", "460", "--need-ampere", "21", "--has-ampere", "33", "--horsepower",
             "25", "--need-kw", "11", "--has-kw", "18.5"),
)  # fmt: skip
