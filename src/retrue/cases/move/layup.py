"""Lay-up: damp from a log, desiccant for a wrapping, how long a memory cell lasts."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.move.layup_log import COLUMNS, log
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.damp import MARGIN_KELVIN, dew_point_c
from retrue.science.desiccant import desiccant
from retrue.science.memory_cell import cell_years

DIN = later("DIN 55474:1997 (secondary source)")
MOST_YEARS = 3.0  # a wrapping is not planned for longer (secondary source)
DRY_PERCENT = 45.0
NOW, WRAP, CELL = "the room now", "a sealed wrapping", "the memory cell"

FIELDS = (
    Field(id="log", name="log of temperature and humidity", sort="file",
          help="CSV from a logger; its columns stand below.", group=NOW),
    Field(id="air_c", name="air", unit="°C", signed=True, help="Read a thermometer.", group=NOW),
    Field(id="humidity_percent", name="damp", unit="%", help="Read a hygrometer; per cent.",
          group=NOW),
    Field(id="surface_c", name="bare iron", unit="°C", signed=True,
          help="A contact or infrared thermometer on a taped spot.", group=NOW),
    Field(id="volume_m3", name="air inside the wrapping", unit="m3", help="Length, width, height.",
          group=WRAP),
    Field(id="packing_kg", name="wood and board inside it", unit="kg", default=0.0,
          help="Pallet, beams, cartons.", group=WRAP),
    Field(id="area_m2", name="area of the film", unit="m2", help="All its sides.", group=WRAP),
    Field(id="days", name="how long it shall last", unit="d", help="In days.", group=WRAP),
    Field(id="film_g_per_m2_day", zero=True,
          name="vapour through the film, grams a square metre a day",
          default=0.4, mark="LDPE 0.2 mm at 20 °C and 85 % (secondary source)",
          help="On the film's sheet; aluminium laminate 0.1.", group=WRAP),
    Field(id="inside_percent", name="most damp allowed inside", sort="whole", default=40,
          mark="under it steel does not rust", help="20, 40, 50 or 60.", group=WRAP),
    Field(id="cell_mah", name="capacity of the memory cell", unit="mAh", help="On the cell.",
          group=CELL),
    Field(id="cell_ua", name="current that the memory draws", unit="uA",
          help="In the control's manual.", group=CELL),
    Field(id="cell_loses_share", zero=True,
          name="share that it loses by itself in a year", default=0.01,
          mark="lithium, from memory", help="On its sheet.", group=CELL),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """What the room does to iron, and what a wrapping and a cell need.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said; ``log`` holds the bytes of a table.

    Returns
    -------
    Reckoning

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"volume_m3": "40", "packing_kg": "20", "area_m2": "65",
    ...     "days": "360"}))
    >>> [round(f.value, 1) for f in made.figures if f.key == "desiccant_units"]
    [1450.9]
    """
    draft = Draft("layup", say("Lay-up"), FIELDS, values)
    if draft.said("log") is not None:
        log(draft, draft.said("log"))
    _now(draft)
    _wrapping(draft)
    _cell(draft)
    if not draft.figures and not draft.against and not draft.missing:
        draft.lack(say("nothing of the room is known"),
                   say("Read air, damp and bare iron once, or leave a logger there for a week."),
                   "log")  # fmt: skip
    return draft.done(_headline(draft))


def _headline(draft: Draft) -> str:
    worst = next((one.value for one in draft.figures if one.key == "worst_kelvin"), None)
    if worst is not None:
        return say("Iron stays {kelvin} K over the dew point at worst.", kelvin=number(worst, 1))
    for key, words in (
        ("margin_kelvin", "Iron is {value} K over the dew point now."),
        ("desiccant_units", "The wrapping needs {value} units of desiccant."),
        ("cell_years", "The memory cell lasts about {value} years."),
    ):
        found = next((one for one in draft.figures if one.key == key), None)
        if found is not None and found.value is not None:
            return say(words, value=number(found.value, found.digits))
    return say("By what is known it may rest.")


def _now(draft: Draft) -> None:
    air, damp = draft.said("air_c"), draft.said("humidity_percent")
    if air is None or damp is None:
        return
    try:
        dew = dew_point_c(air, damp)
    except Unusable as refusal:
        draft.refused(refusal, "humidity_percent")
        return
    draft.figure("dew_point_c", say("dew point of the room"), dew, "°C", 1,
                 later("WMO-No. 8, Magnus form (from memory)"))  # fmt: skip
    surface = draft.said("surface_c")
    if surface is None:
        draft.lack(say("the temperature of bare iron is not known"),
                   say("A contact or infrared thermometer on a taped spot."),
                   "surface_c")  # fmt: skip
        return
    margin = surface - dew
    draft.figure("margin_kelvin", say("bare iron over the dew point"), margin, "K", 1,
                 later("3 K are common practice, no source (from memory)"))  # fmt: skip
    if margin < MARGIN_KELVIN:
        draft.stop(
            say("bare iron is only {kelvin} K over the dew point", kelvin=number(margin, 1)),
            say("Oil bare iron now; a dehumidifier or a little steady warmth; no tight film."),
            "surface_c",
        )
    if damp > DRY_PERCENT:
        draft.notes.append(say("Over 45 % iron rusts slowly without sweating: oil it."))


def _wrapping(draft: Draft) -> None:
    volume, area, days = (draft.said(id) for id in ("volume_m3", "area_m2", "days"))
    if None in (volume, area, days):
        if any(one is not None for one in (volume, area, days)):
            for id in ("volume_m3", "area_m2", "days"):
                draft.wanted(id)
        return
    try:
        found = desiccant(
            volume_m3=volume, packing_kg=draft.get("packing_kg"), area_m2=area, days=days,
            film_g_per_m2_day=draft.get("film_g_per_m2_day"),
            humidity_percent=draft.get("inside_percent"),
        )  # fmt: skip
    except Unusable as refusal:
        draft.refused(refusal, "inside_percent")
        return
    draft.figure("desiccant_units", say("units of desiccant"), found.units, "", 1, DIN)
    draft.figure("air_g", say("water in the air inside"), found.air_g, "g", 1, DIN)
    draft.figure("packing_g", say("water in wood and board"), found.packing_g, "g", 0, DIN)
    draft.figure("through_g", say("water through the film"), found.through_g, "g", 0, DIN)
    draft.need("desiccant", say("{units} units of desiccant", units=number(found.units)), "E32")
    if days > MOST_YEARS * 365.25:
        draft.stop(
            say("a wrapping is not planned for more than three years"),
            say("Open it, dry it and wrap it again within three years."),
            "days",
        )


def _cell(draft: Draft) -> None:
    capacity, current = draft.said("cell_mah"), draft.said("cell_ua")
    if capacity is None or current is None:
        return
    try:
        years = cell_years(capacity, current, draft.get("cell_loses_share"))
    except Unusable as refusal:
        draft.refused(refusal, "cell_mah")
        return
    draft.figure("cell_years", say("the memory cell lasts about"), years, "years", 2,
                 later("charge balance (by definition)"))  # fmt: skip
    draft.notes.append(
        say("A cell is changed with the control powered, unless its manual says otherwise.")
    )


METHOD = Method(
    id="layup",
    title=later("Lay-up"),
    what=later("Damp from a log, desiccant for a wrapping, how long a memory cell lasts."),
    fields=FIELDS,
    cautions=("X13", "X01"),
    reckon=reckon,
    standard="DIN 55474; WMO-No. 8",
    example=("--volume-m3", "40", "--packing-kg", "20", "--area-m2", "65", "--days", "360"),
    columns=COLUMNS,
)  # fmt: skip
