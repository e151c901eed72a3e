"""Warm-up: where a part that runs will settle, when, and by how much it grows until then."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Refusal, Unusable
from retrue.base.say import later, say
from retrue.cases.prove.table import read_table
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values, Written
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.wake.degrees import AT_REST_C, ask_unit, unit_asked
from retrue.cases.wake.drawing import WarmUpDrawing
from retrue.science.run_in import held
from retrue.science.temperature import growth_um
from retrue.science.warm_up import WarmUp, fit, three_points

Floats = NDArray[np.float64]
READ, AGAINST, GROWS = "what was read", "what it is held against", "what it does to a length"
LAG = later("first-order lag (by definition)")
LEVELS = later("under 0.5 K in 5 minutes: common practice, no source")
COLUMNS = ("minutes", "temperature_c")
HALF = 2.0  # an instrument's give or take is twice its standard uncertainty
COLD_F, ROOM_C = (50.0, 95.0), (5.0, 35.0)
DRAWN = 120

FIELDS = (
    Field(id="log", name="readings", sort="file", help="CSV; its columns stand below.", group=READ),
    Field(id="first_c", name="or three readings: the first", unit="°C", signed=True,
          help="A contact thermometer on a taped spot.", group=READ),
    Field(id="second_c", name="the second", unit="°C", signed=True, help="At the same spot.",
          group=READ),
    Field(id="third_c", name="the third", unit="°C", signed=True, help="At the same spot.",
          group=READ),
    Field(id="apart_minutes", name="from one to the next", unit="min",
          help="The same time twice.", group=READ),
    Field(id="reading_kelvin", name="give or take of one reading", unit="K", default=0.2,
          mark="judgement, no source", help="On the thermometer's sheet.", group=READ),
    Field(id="room_c", name="the room", unit="°C", signed=True,
          help="A thermometer in the shade, away from the machine.", group=AGAINST),
    Field(id="limit_c", name="limit", unit="°C", default=60.0,
          mark="common practice, from memory, unverified",
          help="In the bearing maker's own table, where there is one.", group=AGAINST),
    Field(id="limit_kelvin", name="limit over the room", unit="K", default=25.0,
          mark="common practice, from memory, unverified",
          help="Of the step of the run-in.", group=AGAINST),
    Field(id="length_mm", name="length that grows", unit="mm",
          help="From its fixed bearing to the nose.", group=GROWS),
    Field(id="expansion_per_kelvin", name="expansion, millionths a kelvin", default=12.0,
          mark="steel, from memory", help="Steel 11.5 to 12, cast iron 10.5.", group=GROWS),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Where it settles and when, or that it cannot be told yet.

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
    >>> made = reckon(values_of(METHOD, {"first_c": "25.6694", "second_c": "29.7317",
    ...     "third_c": "32.6424", "apart_minutes": "10", "reading_kelvin": "0.001",
    ...     "room_c": "20"}))
    >>> made.answer, [round(f.value, 2) for f in made.figures if f.key == "settles_c"]
    ('go', [40.0])
    """
    draft = Draft("warmup", say("Warm-up"), FIELDS, values)
    read = _readings(draft)
    if read is None:
        return draft.done("")
    minutes, seen = read
    if _fahrenheit(draft, seen):
        return draft.done("")
    draft.wanted("room_c")  # a rise is a rise over the room
    try:
        found = fit(minutes, seen, reading_sd=draft.get("reading_kelvin") / HALF)
    except Unusable as refusal:
        field = "log" if draft.said("log") is not None else "third_c"
        draft.lack(refusal.reason, refusal.remedy, field)
        return draft.done("")
    _three(draft)
    _settles(draft, found)
    _levelled(draft, minutes, seen)
    _limits(draft, found, float(seen[-1]))
    _grows(draft, found, float(seen[-1]))
    draft.drawing = _drawing(draft, minutes, seen, found)
    return draft.done(_headline(found))


def _readings(draft: Draft) -> tuple[Floats, Floats] | None:
    if draft.said("log") is not None:
        return _file(draft.said("log"))
    three = [draft.wanted(id) for id in ("first_c", "second_c", "third_c")]
    apart = draft.wanted("apart_minutes")
    if apart is None or any(one is None for one in three):
        return None
    return np.array([0.0, apart, 2 * apart]), np.array(three, dtype=np.float64)


def _file(content: bytes) -> tuple[Floats, Floats]:
    try:
        table = read_table(content, say("the readings"))
        table.need(*COLUMNS)
        minutes, seen = table.numbers("minutes"), table.numbers("temperature_c")
    except Refusal as refusal:
        named = refusal.problems or (Problem("log", refusal.reason, refusal.remedy),)
        raise Unusable(refusal.reason, remedy=refusal.remedy, problems=named) from refusal
    back = np.flatnonzero(np.diff(minutes) <= 0)
    if len(back):
        row = table.rows[int(back[0]) + 1]
        told = say("row {row}: its time does not come after the one before", row=row)
        raise Unusable(
            say("the readings are out of order, or a time stands twice"),
            remedy=say("Sort them by time. If a clock was set, begin at that row."),
            problems=(Problem("log", told),),
        )
    return minutes, seen


def _fahrenheit(draft: Draft, seen: Floats) -> bool:
    """Ask for the unit of bare numbers that would be a cold start in °F; a file's has its name."""
    room = draft.said("room_c")
    asked = unit_asked(draft, "room_c")
    first = float(seen[0])
    cold = (first - 32.0) / 1.8
    if room is not None and not asked:
        begins = abs(cold - room) <= 6.0 and first - room > 25.0
    else:
        begins = COLD_F[0] <= first <= COLD_F[1] and ROOM_C[0] <= cold <= ROOM_C[1]
    if draft.said("log") is not None:
        if begins:
            draft.notes.append(say(
                "It begins at {value}: was that °F, {celsius} °C? It is taken as °C, as its column"
                " says.", value=number(first, 1), celsius=number(cold, 1)))  # fmt: skip
        return asked
    bare = [
        id for id in ("first_c", "second_c", "third_c")
        if not isinstance(draft.said(id), Written)
    ]  # fmt: skip
    if "first_c" in bare and (begins or first > AT_REST_C):
        for id in bare:
            ask_unit(draft, draft.said(id), id)
        return True
    return asked


def _three(draft: Draft) -> None:
    """The plain three-point formula beside the fit, where three readings were typed."""
    if draft.said("log") is not None:
        return
    try:
        found = three_points(
            draft.said("first_c"), draft.said("second_c"), draft.said("third_c"),
            draft.said("apart_minutes"),
        )  # fmt: skip
    except Unusable as refusal:
        draft.notes.append(f"{refusal.reason}.")
        return
    draft.figure("three_points_c", say("by three points alone"), found.settles, "°C", 2, LAG)
    draft.figure("three_points_tau_minutes", say("its time constant"), found.tau_minutes, "min", 1,
                 LAG)  # fmt: skip


def _settles(draft: Draft, found: WarmUp) -> None:
    faster = found.shape == "faster"
    why = say("the readings do not bend to rest yet")
    why = say("it warms faster and faster") if faster else why
    for key, name, value, unit, digits, source in _told(found):
        known = found.told and math.isfinite(value)
        draft.figure(key, name, value if known else None, unit, digits, source,
                     "" if known else why)  # fmt: skip
    if faster:
        draft.stop(
            say("it warms faster and faster"),
            say("Stop it, let it cool, find the cause before a second try."),
            "log",
        )
    elif not found.told:
        draft.lack(
            say("where it will settle cannot be told yet"),
            say("Read on, one a minute or one in three minutes; the limits hold in any case."),
            "log",
        )


def _told(found: WarmUp) -> tuple[tuple[str, str, float, str, int, str], ...]:
    doubt, tau_doubt = found.settles_give_or_take_k, found.tau_give_or_take_minutes
    level, latest = (
        minute - found.start_minute for minute in (found.level_minute, found.level_high_minute)
    )
    profile = "profile of the sum of squares, about 95 of 100"
    return (
        ("settles_c", say("settles at"), found.settles_c, "°C", 2, LAG),
        ("settles_give_or_take_kelvin", say("give or take"), doubt, "K", 1, profile),
        ("tau_minutes", say("time constant"), found.tau_minutes, "min", 1, LAG),
        ("tau_give_or_take_minutes", say("give or take"), tau_doubt, "min", 1, ""),
        ("level_minutes", say("levelled after"), level, "min", 0, LEVELS),
        ("level_latest_minutes", say("at the latest"), latest, "min", 0, ""),
    )


def _levelled(draft: Draft, minutes: Floats, seen: Floats) -> None:
    now = held(minutes, seen, reading_sd=draft.get("reading_kelvin") / HALF)
    known = math.isfinite(now.change_k)
    few = say("the last five minutes were not read three times")
    draft.figure("change_kelvin", say("changes in 5 minutes by"), now.change_k if known else None,
                 "K", 2, LEVELS, "" if known else few)  # fmt: skip
    if known and now.state != "levelled":
        draft.notes.append(say("It has not levelled yet: no next step."))


def _limits(draft: Draft, found: WarmUp, last_c: float) -> None:
    limits = [(draft.get("limit_c"), "limit_c")]
    room = draft.said("room_c")
    if room is not None:
        limits.append((room + draft.get("limit_kelvin"), "limit_kelvin"))
    limit, id = min(limits)
    if last_c > limit:
        draft.stop(
            say("it reads {value} °C, over {limit} °C", value=number(last_c, 1),
                limit=number(limit, 1)),
            say("Stop it; let it cool to within 5 K of the room; two steps back."), id)  # fmt: skip
    elif found.told and found.settles_c > limit:
        draft.stop(
            say("it heads for {value} °C, over {limit} °C", value=number(found.settles_c, 1),
                limit=number(limit, 1)),
            say("Stop before it gets there; find out why it warms so."), id)  # fmt: skip
    elif found.told and found.settles_high_c > limit:
        draft.lack(
            say("it may settle over {limit} °C: at {value} °C at most", limit=number(limit, 1),
                value=number(found.settles_high_c, 1)),
            say("Read on until the give or take is smaller; no next step."), id)  # fmt: skip


def _grows(draft: Draft, found: WarmUp, last_c: float) -> None:
    length = draft.said("length_mm")
    if length is None or not found.told:
        return
    expansion = draft.get("expansion_per_kelvin")
    source = "linear expansion (by definition); the value from memory"
    whole, left = (found.settles_c - since for since in (found.start_c, last_c))
    for key, name, rise in (
        ("growth_um", say("it grows from the first reading on by"), whole),
        ("growth_left_um", say("of which is still to come"), left),
    ):
        draft.figure(key, name, growth_um(length, expansion, rise), "um", 1, source)


def _headline(found: WarmUp) -> str:
    if not found.told:
        return ""
    return say(
        "It settles at {value} °C, give or take {doubt} K, about {minutes} minutes after the first "
        "reading.",
        value=number(found.settles_c, 1), doubt=number(found.settles_give_or_take_k, 1),
        minutes=number(found.level_minute - found.start_minute),
    )  # fmt: skip


def _drawing(draft: Draft, minutes: Floats, seen: Floats, found: WarmUp) -> WarmUpDrawing:
    ends = found.level_high_minute if found.told else math.inf
    last = float(minutes[-1])
    until = min(ends, 3 * last - 2 * float(minutes[0])) if math.isfinite(ends) else last
    curve = np.linspace(float(minutes[0]), max(until, last), DRAWN)
    room = draft.said("room_c")
    caps = [draft.get("limit_c"), *([room + draft.get("limit_kelvin")] if room is not None else [])]
    return WarmUpDrawing(
        minutes=tuple(minutes.tolist()), temperature_c=tuple(seen.tolist()),
        fit_minutes=tuple(curve.tolist()), fit_c=tuple(found.at(curve).tolist()),
        settles_c=found.settles_c if found.told else None,
        settles_give_or_take_k=found.settles_give_or_take_k if found.told else None,
        settles_minutes=found.level_minute if found.told else None,
        room_c=room, abort_c=min(caps),
    )  # fmt: skip


METHOD = Method(
    id="warmup",
    title=later("Warm-up"),
    what=later("Where a part that runs will settle, when, and by how much it grows."),
    fields=FIELDS,
    cautions=("X30", "X33"),
    reckon=reckon,
    standard="first-order lag; limits of common practice",
    example=("--first-c", "25.6694", "--second-c", "29.7317", "--third-c", "32.6424",
             "--apart-minutes", "10", "--room-c", "20", "--reading-kelvin", "0.02"),
    columns=COLUMNS,
)  # fmt: skip
