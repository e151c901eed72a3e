"""Air: the receiver that carries over, what leaks, what a pipe takes, when it drips."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.air_line import (
    atmospheric_frost_c,
    darcy_drop,
    leak_share,
    pressure_dew_c,
    water_class,
)
from retrue.science.compressed_air import (
    leak_litre_per_minute,
    outside_pressure_bar,
    pipe_drop_bar,
    receiver_volume,
)
from retrue.science.damp import dew_point_c

RECEIVER = later("Compressed Air and Gas Handbook, receiver formula (secondary source)")
MOST_DROP_BAR = 0.3  # along the pipe (judgement)
ROUNDED = 1e-9
NEED, CARRY, LEAK, PIPE, DRIP = (
    "what the machine asks", "receiver", "leak", "pipe", "water",
)  # fmt: skip

FIELDS = (
    Field(id="wanted_bar", name="pressure the machine asks", unit="bar",
          help="On its air unit's plate.", group=NEED),
    Field(id="used_l_min", zero=True, name="free air it uses", unit="l/min",
          help="On its plate; blow-off and oil-air included.", group=NEED),
    Field(id="made_l_min", zero=True, name="free air your compressor makes", unit="l/min",
          help="Free air delivery on its plate, not the swept volume.", group=NEED),
    Field(id="height_m", name="height over the sea", unit="m", default=0.0,
          mark="sea level", help="From a map.", group=NEED),
    Field(id="carry_minutes", name="minutes that the receiver carries over", unit="min",
          help="How long the machine uses more than is made.", group=CARRY),
    Field(id="high_bar", name="pressure at the beginning, gauge", unit="bar",
          help="Cut-out of the compressor.", group=CARRY),
    Field(id="low_bar", name="lowest pressure allowed, gauge", unit="bar",
          help="What the machine asks, and what the pipe takes on top.", group=CARRY),
    Field(id="outside_bar", name="pressure of the air outside", unit="bar",
          help="Left empty it follows from the height.", group=CARRY),
    Field(id="volume_l", name="receiver and pipes", unit="l", help="On the receiver's plate.",
          group=LEAK),
    Field(id="fell_bar", zero=True, name="pressure fell by, all shut", unit="bar",
          help="Everything shut, nobody at the machine.", group=LEAK),
    Field(id="fell_minutes", name="in how many minutes", unit="min", help="By a watch.",
          group=LEAK),
    Field(id="pipe_m", name="length of the pipe", unit="m",
          help="Straight length; two metres more for every bend.", group=PIPE),
    Field(id="bore_mm", name="inside of the pipe", unit="mm", help="Not the thread's name.",
          group=PIPE),
    Field(id="rough_um", name="roughness of the pipe", unit="um", default=45.0,
          mark="new steel (from memory)", help="Old steel 200 and more; plastic 2.", group=PIPE),
    Field(id="air_c", name="air of the room", unit="°C", signed=True,
          help="Read a thermometer.", group=DRIP),
    Field(id="humidity_percent", name="humidity of the room", unit="%",
          help="Read a hygrometer; per cent.", group=DRIP),
    Field(id="dryer_dew_c", name="pressure dew point after the dryer", unit="°C", signed=True,
          help="On the dryer's display or sheet.", group=DRIP),
    Field(id="wanted_class", name="class of dryness the machine asks", sort="whole",
          help="ISO 8573-1, water: 1 to 6, in its manual.", group=DRIP),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """What of the air is known.

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
    >>> made = reckon(values_of(METHOD, {"carry_minutes": "5", "used_l_min": "350 ft3/min",
    ...     "made_l_min": "250 ft3/min", "high_bar": "100 psi", "low_bar": "60 psi",
    ...     "outside_bar": "14.7 psi"}))
    >>> found = next(f.value for f in made.figures if f.key == "receiver_l")
    >>> round(found / 28.316846592, 2)
    183.75
    """
    draft = Draft("air", say("Compressed air"), FIELDS, values)
    try:
        outside = draft.said("outside_bar") or outside_pressure_bar(draft.get("height_m"))
    except Unusable as refusal:
        draft.refused(refusal, "height_m")
        return draft.done("")
    draft.figure("outside_bar", say("pressure of the air outside"), outside, "bar", 3,
                 "ISO 2533:1975")  # fmt: skip
    _flow(draft)
    _receiver(draft, outside)
    _leak(draft)
    _arrives(draft, _pipe(draft, outside))
    _drips(draft, outside)
    _dryer(draft, outside)
    if len(draft.figures) == 1 and not draft.missing and draft.said("used_l_min") is None:
        draft.lack(say("what the machine asks of air is not known"),
                   say("Read its air unit's plate: pressure and free air."),
                   "used_l_min")  # fmt: skip
    return draft.done(say("The air fits by what is known."))


def _flow(draft: Draft) -> None:
    used, made = draft.said("used_l_min"), draft.said("made_l_min")
    if used and made is None and None in (draft.said("pipe_m"), draft.said("bore_mm")):
        draft.wanted("made_l_min")  # a pipe alone may be asked after without it
    if used is None or made is None or used <= made:
        return
    if None in (draft.said("carry_minutes"), draft.said("high_bar"), draft.said("low_bar")):
        draft.stop(
            say("it uses {used} l/min and {made} are made", used=number(used), made=number(made)),
            say("A larger compressor, or a receiver if it lasts only minutes."),
            "made_l_min",
        )


def _receiver(draft: Draft, outside: float) -> None:
    names = ("carry_minutes", "used_l_min", "made_l_min", "high_bar", "low_bar")
    given = [draft.said(id) for id in names]
    if None in given:
        return
    minutes, used, made, high, low = given
    try:
        volume = receiver_volume(minutes, used, made, high, low, outside=outside)
    except Unusable as refusal:
        draft.refused(refusal, "low_bar")
        return
    draft.figure("receiver_l", say("receiver that carries it over"), max(volume, 0.0), "l", 1,
                 RECEIVER)  # fmt: skip
    if volume > 0:
        draft.need("receiver", say("a receiver of {litres} l", litres=number(volume)))


def _leak(draft: Draft) -> None:
    given = [draft.said(id) for id in ("volume_l", "fell_bar", "fell_minutes")]
    if None in given or not given[2]:
        return
    leak = leak_litre_per_minute(*given)
    draft.figure("leak_l_min", say("free air that leaks away"), leak, "l/min", 1,
                 later("Boyle's law (by definition)"))  # fmt: skip
    made = draft.said("made_l_min")
    if made:
        draft.figure("leak_share", say("share of what is made"), leak_share(leak, made), "", 2)


def _pipe(draft: Draft, outside: float) -> float:
    """The pressure lost along the pipe, bar; zero as far as it is not known."""
    flow, length, bore = (draft.said(id) for id in ("used_l_min", "pipe_m", "bore_mm"))
    pressure = draft.said("wanted_bar") or draft.said("low_bar")
    if None in (flow, length, bore) or not bore:
        return 0.0
    if pressure is None:
        draft.wanted("wanted_bar")
        return 0.0
    try:
        found = darcy_drop(flow / 60.0, length, bore, pressure, rough_um=draft.get("rough_um"),
                           outside_bar=outside)  # fmt: skip
    except Unusable as refusal:
        draft.refused(refusal, "pipe_m")
        return 0.0
    drop = found.drop_bar
    draft.figure("pipe_drop_bar", say("pressure lost along the pipe"), drop, "bar", 4,
                 say("Darcy and Weisbach, friction by Colebrook (handbook)"))  # fmt: skip
    draft.figure("pipe_rule_bar", say("the same by the handbook's rule for smooth pipe"),
                 pipe_drop_bar(flow / 60.0, length, bore, pressure + outside), "bar", 4,
                 say("flow to 1.85, bore to the fifth (from memory)"))  # fmt: skip
    draft.figure("speed_m_s", say("speed in the pipe"), found.speed_m_s, "m/s", 2)
    if drop > MOST_DROP_BAR:
        draft.stop(
            say("the pipe loses {drop} bar", drop=number(drop, 2)),
            say("A wider pipe: half as wide again loses an eighth."),
            "bore_mm",
        )
    return drop


def _arrives(draft: Draft, lost: float) -> None:
    """Whether the machine gets its pressure when the receiver is at its lowest."""
    wanted = draft.said("wanted_bar")
    least = draft.said("low_bar") or draft.said("high_bar")
    if wanted is None or least is None or least - lost >= wanted - ROUNDED:
        return
    draft.stop(
        say("{left} bar are left at the machine, it asks {wanted}",
            left=number(max(least - lost, 0.0), 2), wanted=number(wanted, 2)),
        say("A higher pressure at the compressor, as far as its plate and the receiver's allow, "
            "or a wider pipe."),
        "low_bar" if draft.said("low_bar") else "high_bar",
    )  # fmt: skip


def _drips(draft: Draft, outside: float) -> None:
    """At which temperature compressed air of this room drips in the pipe."""
    air, humid = draft.said("air_c"), draft.said("humidity_percent")
    if air is None or humid is None:
        return
    try:
        draft.figure("dew_point_c", say("dew point of the room"), dew_point_c(air, humid), "°C", 1,
                     later("WMO-No. 8, Magnus form (from memory)"))  # fmt: skip
    except Unusable as refusal:
        draft.refused(refusal, "humidity_percent")
        return
    pressure = draft.said("wanted_bar") or draft.said("high_bar")
    if pressure is None:
        return
    try:
        dew = pressure_dew_c(dew_point_c(air, humid), pressure, outside_bar=outside)
    except Unusable as refusal:
        draft.refused(refusal, "air_c")
        return
    draft.figure("pipe_dew_point_c", say("undried it drips in the pipe below"), dew, "°C", 1,
                 say("partial pressures add (by definition); Magnus form"))  # fmt: skip
    if dew > air and draft.said("dryer_dew_c") is None:
        draft.notes.append(
            say("Without a dryer water stands in the pipe: drain at every low point, daily.")
        )


def _dryer(draft: Draft, outside: float) -> None:
    """What the dryer leaves, as a class and as frost once it is let go."""
    dew, asked = draft.said("dryer_dew_c"), draft.said("wanted_class")
    if dew is None:
        return
    pressure = draft.said("wanted_bar") or draft.said("high_bar")
    if pressure is not None:
        try:
            frost = atmospheric_frost_c(dew, pressure, outside_bar=outside)
        except Unusable as refusal:
            draft.refused(refusal, "dryer_dew_c")
            return
        draft.figure("frost_point_c", say("let go into the room it frosts below"), frost, "°C", 1,
                     say("partial pressures add (by definition); Magnus over ice"))  # fmt: skip
    made = water_class(dew)
    draft.figure("water_class", say("class of dryness"), None if made is None else float(made), "",
                 0, "ISO 8573-1, water (secondary source)", say("wetter than class 6"))  # fmt: skip
    if asked is not None and (made is None or made > asked):
        draft.stop(
            say("the dryer makes class {made}, the machine asks {asked}", made=made or "-",
                asked=asked),
            say("A dryer with a lower dew point, or a second one at the machine."),
            "dryer_dew_c",
        )  # fmt: skip


METHOD = Method(
    id="air",
    title=later("Compressed air"),
    what=later("Receiver, leak, drop along a pipe, and when it drips."),
    fields=FIELDS,
    cautions=("X08", "X52"),
    reckon=reckon,
    standard="Compressed Air and Gas Handbook; ISO 2533; ISO 8573-1",
    example=("--carry-minutes", "5", "--used-l-min", "350 ft3/min", "--made-l-min",
             "250 ft3/min", "--high-bar", "100 psi", "--low-bar", "60 psi", "--outside-bar",
             "14.7 psi"),
)  # fmt: skip
