"""Belt: may this one replace that one on the pulleys that are there."""

from __future__ import annotations

from retrue.base.formatter import short
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.fix.match_rows import (
    COMMON,
    NEEDED,
    OFFERED,
    Property,
    fields_of,
    rows_of,
    settled,
    told,
)
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.wake.matching_rows import Row
from retrue.science.belt_drive import (
    belt_m_s,
    centre_mm,
    pull_newton,
    shaft_newton,
    teeth_in_mesh,
    toothed_pulley_mm,
    wrap_deg,
)
from retrue.science.fitting import at_most
from retrue.science.motor_match import Fits, enough

LOOP = later("two circles and a loop (Mott, Machine Elements in Mechanical Design, 7-3 to 7-5)")
PULLS = later("power is force times speed (by definition)")
MESH = 6  # teeth that carry (common practice, no source)
SORTS = (("toothed", "toothed"), ("v", "V"), ("ribbed", "ribbed"), ("flat", "flat"))
WHERE = "the pulleys"

BELT = (
    Property(id="sort", name=later("sort of belt"), how="same", choices=SORTS,
             rule=later("the same: pulleys are made for one"), source="by definition"),
    Property(id="profile", name=later("profile"), how="same",
             rule=later("the same letters; a tooth of another shape climbs"),
             source="ISO 5294, ISO 5296, ISO 4184",
             old="Printed on it, or by the pulley's grooves: 8M, XL, SPZ, A, PJ."),
)  # fmt: skip
MARKS = Property(
    id="marks", name=later("its marks"), how="words", source=COMMON, asked=False,
    rule=later("the same; other words are read by who sells belts"),
    old="All that is printed on it.", new="All that is printed on it.",
)  # fmt: skip
TEETH = (
    Property(id="teeth", name=later("teeth"), how="same", whole=True, rule=later("as many"),
             source="by definition", old="Printed on it, or count them."),
    Property(id="tooth_mm", name=later("from tooth to tooth"), how="same", unit="mm",
             rule=later("the same"), source="ISO 5296, ISO 13050"),
)  # fmt: skip
COUNT = Property(
    id="count", name=later("belts side by side"), how="same", whole=True, source=COMMON,
    rule=later("as many, and all new of one batch"),
)  # fmt: skip
MADE = (
    Property(id="oil", name=later("bears oil and coolant"), how="there",
             rule=later("where it is wet"),
             source="its document"),
    Property(id="high_c", name=later("highest temperature"), how="least", unit="°C", signed=True,
             rule=later("no lower"), source="its document", asked=False),
    Property(id="static", name=later("carries static away"), how="there", asked=False,
             rule=later("where it is asked for"), source="ISO 1813, ISO 9563"),
)  # fmt: skip
LENGTH = Property(id="length_mm", name=later("pitch length"), how="near", unit="mm", rule="",
                  source="", old="Printed on the old one.")  # fmt: skip
WIDTH = Property(id="width_mm", name=later("width"), how="near", unit="mm", rule="", source="",
                 asked=False)  # fmt: skip
FIELDS = (
    *fields_of((*BELT, MARKS, LENGTH, *TEETH, WIDTH, COUNT, *MADE)),
    Field(id="speed_rpm", name="highest speed of the pulley that drives", unit="rpm",
          help="As it is run.", group=WHERE),
    Field(id="driver_mm", name="pitch diameter of the pulley that drives", unit="mm",
          help="Where the cords run; of a toothed belt count its teeth instead.", group=WHERE),
    Field(id="driven_mm", name="pitch diameter of the driven pulley", unit="mm",
          help="Likewise.", group=WHERE),
    Field(id="driver_teeth", name="or: teeth of the pulley that drives", sort="whole",
          help="Count them.", group=WHERE),
    Field(id="driven_teeth", name="or: teeth of the driven pulley", sort="whole",
          help="Count them.", group=WHERE),
    Field(id="pulley_wide_mm", name="width of the narrower pulley", unit="mm",
          help="Between its flanges.", group=WHERE),
    Field(id="centre_low_mm", name="distance of the shafts, least", unit="mm",
          help="As far as the adjuster goes in.", group=WHERE),
    Field(id="centre_high_mm", name="distance of the shafts, most", unit="mm",
          help="As far as the adjuster goes out.", group=WHERE),
    Field(id="power_kw", name="power it carries", unit="kW", help="Of the motor.", group=NEEDED),
    Field(id="service_factor", name="times that power, for shocks and hours", default=1.3,
          mark="from memory, unverified", help="1.0 to 1.8 in the belt's document.",
          group=NEEDED),
    Field(id="shaft_most_newton", name="most that the bearing bears of its pull", unit="N",
          help="In the manual of spindle or motor, at the middle of the pulley.", group=NEEDED),
    Field(id="has_power_kw", name="power that all of them carry at that speed", unit="kW",
          help="In its document, for these pulleys.", group=OFFERED),
    Field(id="has_most_m_s", name="highest speed of the belt, metres a second",
          help="In its document.", group=OFFERED),
    Field(id="has_least_pulley_mm", name="smallest pulley it bends around", unit="mm",
          help="In its document.", group=OFFERED),
    Field(id="has_span_newton", name="pull of one span that it wants, all of them", unit="N",
          help="In its document, standing still.", group=OFFERED),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Every property of a belt against the one it replaces, its pulleys and its bearings.

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
    >>> made = reckon(values_of(METHOD, {"need_sort": "toothed", "has_sort": "v"}))
    >>> made.answer, made.against[0].field
    ('no_go', 'has_sort')
    """
    draft = Draft("match_belt", say("Belt"), FIELDS, values)
    toothed = draft.said("need_sort") == "toothed"
    pulleys = _pulleys(draft)
    rows = rows_of(draft, (*BELT, MARKS, *TEETH) if toothed else (*BELT, MARKS))
    rows += [_length(draft, pulleys), *_width(draft, toothed)]
    rows += rows_of(draft, () if toothed else (COUNT,))
    rows += [_power(draft), *_turning(draft, pulleys), *_wrapped(draft, pulleys, toothed)]
    return settled(draft, [*rows, *rows_of(draft, MADE)])


def _pulleys(draft: Draft) -> tuple[float, float] | None:
    """Pitch diameters of driver and driven, told or by their teeth."""
    told_mm = []
    tooth = draft.said("need_tooth_mm")
    for one in ("driver", "driven"):
        size, teeth = draft.said(f"{one}_mm"), draft.said(f"{one}_teeth")
        if size is None and teeth is not None and tooth is not None:
            size = toothed_pulley_mm(teeth, tooth)
        told_mm.append(size)
    if None in told_mm:
        return None
    return told_mm[0], told_mm[1]


def _centre(draft: Draft, pulleys: tuple[float, float] | None) -> float | None:
    length = _told_length(draft, "has")
    if pulleys is None or length is None:
        return None
    try:
        return centre_mm(*pulleys, length)
    except Unusable as refusal:
        draft.refused(refusal, "has_length_mm")
        return None


def _told_length(draft: Draft, side: str) -> float | None:
    length: float | None = draft.said(f"{side}_length_mm")
    teeth, tooth = draft.said(f"{side}_teeth"), draft.said(f"{side}_tooth_mm")
    if length is None and teeth is not None and tooth is not None:
        length = float(teeth * tooth)
    return length


def _length(draft: Draft, pulleys: tuple[float, float] | None) -> Row:
    """By where the adjuster goes; without that the same length."""
    needs, has = _told_length(draft, "need"), _told_length(draft, "has")
    low, high = draft.said("centre_low_mm"), draft.said("centre_high_mm")
    centre = _centre(draft, pulleys)
    if centre is not None:
        draft.figure("centre_mm", say("distance of the shafts with it"), centre, "mm", 1, LOOP)
    fits: Fits = "ask"
    why = ""
    if centre is not None and low is not None and high is not None:
        fits = "yes" if low <= centre <= high else "no"
        why = say("it asks {centre} mm between the shafts, the adjuster goes from {low} to {high}",
                  centre=short(centre, ".1f"), low=short(low), high=short(high))  # fmt: skip
    elif needs is not None and has is not None and needs == has:
        fits = "yes"
    return told(draft, say("length"), needs if needs is not None else centre, has, fits,
                ("need_length_mm", "has_length_mm"),
                rule=say("the same, or one whose distance of the shafts lies within the adjuster's "
                         "way"), source=LOOP, unit="mm", why=why)  # fmt: skip


def _width(draft: Draft, toothed: bool) -> list[Row]:
    needs, has = draft.said("need_width_mm"), draft.said("has_width_mm")
    room = draft.said("pulley_wide_mm")
    if not toothed and needs is None:
        return []
    fits = at_most(has, room)
    if fits == "yes" and needs is not None:
        fits = "yes" if has >= needs else "ask"
    shown = None if room is None else room if needs is None else needs
    return [told(draft, say("width"), shown, has, fits,
                 ("pulley_wide_mm" if room is None else "need_width_mm", "has_width_mm"),
                 rule=say("no wider than the pulley; narrower carries less"), source=COMMON,
                 unit="mm", why=say("the pulley is {room} mm wide", room=short(room))
                 if fits == "no" else "")]  # fmt: skip


def _power(draft: Draft) -> Row:
    power, has = draft.said("power_kw"), draft.said("has_power_kw")
    asked = None if power is None else power * draft.get("service_factor")
    if asked is not None:
        draft.figure("asked_kw", say("power it is chosen by"), asked, "kW", 2,
                     "times from the belt's document, else from memory")  # fmt: skip
    return told(draft, say("power"), asked, has, enough(has, asked), ("power_kw", "has_power_kw"),
                rule=say("power times its factor for shocks and hours, no more than it carries"),
                source="ISO 5292, ISO 5295", unit="kW")  # fmt: skip


def _turning(draft: Draft, pulleys: tuple[float, float] | None) -> list[Row]:
    """Speed of the belt, and its pull."""
    rpm, most = draft.said("speed_rpm"), draft.said("has_most_m_s")
    speed = None if pulleys is None or rpm is None else belt_m_s(pulleys[0], rpm)
    if speed:
        draft.figure("belt_m_s", say("speed of the belt"), speed, "m/s", 1, "by definition")
        power = draft.said("power_kw")
        if power is not None:
            draft.figure("pull_newton", say("pull that carries the power"),
                         pull_newton(power, speed), "N", 0, PULLS)  # fmt: skip
    least = draft.said("has_least_pulley_mm")
    small = None if pulleys is None else min(pulleys)
    where = "driver_mm" if pulleys is None else "speed_rpm"
    return [
        told(draft, say("speed of the belt"), speed, most, enough(most, speed),
             (where, "has_most_m_s"), unit="m/s", source="by definition",
             rule=say("way around the driving pulley times its turns, no more than it bears")),
        told(draft, say("smallest pulley"), small, least, enough(small, least),
             ("driver_mm", "has_least_pulley_mm"), unit="mm", source="its document",
             rule=say("no smaller than it bends around")),
    ]  # fmt: skip


def _wrapped(draft: Draft, pulleys: tuple[float, float] | None, toothed: bool) -> list[Row]:
    """Teeth in mesh, and what the pull puts on the bearing."""
    centre = _centre(draft, pulleys)
    around = None if pulleys is None or centre is None else wrap_deg(*pulleys, centre)
    if around is not None:
        draft.figure("wrap_deg", say("around the smaller pulley"), around, "deg", 0, LOOP)
    span, most = draft.said("has_span_newton"), draft.said("shaft_most_newton")
    load = None if span is None or around is None else shaft_newton(span, around)
    rows = [told(draft, say("pull on the shaft"), most, load, at_most(load, most),
                 ("shaft_most_newton", "has_span_newton" if span is None else "driver_mm"),
                 unit="N", source="two forces of a triangle, by definition",
                 rule=say("twice the span's pull times the sine of half the wrap, no more than "
                          "the bearing bears"))]  # fmt: skip
    teeth = [draft.said("driver_teeth"), draft.said("driven_teeth")]
    if toothed and around is not None and None not in teeth:
        mesh = teeth_in_mesh(min(teeth), around)
        rows.append(told(draft, say("teeth in mesh"), float(MESH), float(mesh),
                         "yes" if mesh >= MESH else "ask", ("driver_teeth", "driver_teeth"),
                         rule=say("six or more; fewer carry less"), source=COMMON))  # fmt: skip
    return rows


METHOD = Method(
    id="match_belt",
    title=later("Belt"),
    what=later("Whether a belt may replace another: profile, length, power, pull on the shaft."),
    fields=FIELDS,
    cautions=("X02", "X40", "X06"),
    reckon=reckon,
    standard="ISO 5294, ISO 5296, ISO 4184; geometry of two circles",
    example=("--need-sort", "v", "--has-sort", "v", "--need-length-mm", "100 in",
             "--has-length-mm", "100 in", "--driver-mm", "12.4 in", "--driven-mm", "21.1 in",
             "--centre-low-mm", "23 in", "--centre-high-mm", "25 in", "--speed-rpm", "1160",
             "--power-kw", "37.3", "--service-factor", "1.4"),
)  # fmt: skip
