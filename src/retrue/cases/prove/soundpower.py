"""Sound power: from levels around a machine, and what it gives at your place."""

from __future__ import annotations

import re

from retrue.base.formatter import number, short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.sound_power import (
    LEAST_PLACES,
    MOST_K2_DB,
    SoundPower,
    absorption_m2,
    box_m2,
    hemisphere_m2,
    level_at_db,
    sound_power,
)

LEAST_OVER_DB = 3.0  # of a place, machine on over machine off: ISO 3746:2010, 8.3 (from memory)
LEAST_DB, MOST_DB = -20.0, 194.0
SOURCE = later("ISO 3744:2010, 8.2 to 8.5; ISO 3746:2010 (limits of the grades from memory)")
ROOM = later("ISO 3744:2010, annex A: 10 lg(1 + 4 S / A)")
FIELD = later("direct and diffuse field (handbooks of acoustics; from memory)")
LEVELS, SURFACE, AROUND, YOURS = "levels", "the measuring surface", "the room", "your place"

FIELDS = (
    Field(id="levels", name="level at each place around it", sort="text",
          help="In dB(A), ten places: 80 81 79.5 80 80 82 80 79 80 80.", group=LEVELS),
    Field(id="background_db", name="mean level with the machine off", unit="dBA",
          help="At the same places.", group=LEVELS),
    Field(id="radius_m", name="radius of a half sphere", unit="m",
          help="From the middle of the machine on the floor to the microphone.", group=SURFACE),
    Field(id="length_m", name="or a box: length of the machine", unit="m", help="Over all.",
          group=SURFACE),
    Field(id="width_m", name="width of the machine", unit="m", help="Over all.", group=SURFACE),
    Field(id="height_m", name="height of the machine", unit="m", help="Over all.", group=SURFACE),
    Field(id="apart_m", name="from the machine to the microphone", unit="m", default=1.0,
          mark="usual", help="The same on all sides.", group=SURFACE),
    Field(id="room_m2", name="what the room swallows", unit="m2",
          help="Equivalent absorption area; or give volume and reverberation.", group=AROUND),
    Field(id="volume_m3", name="volume of the room", unit="m3", help="Length, width, height.",
          group=AROUND),
    Field(id="reverberation_s", name="reverberation time", unit="s",
          help="Time in which a clap falls by 60 dB; bare halls 2 to 4 s.", group=AROUND),
    Field(id="ear_m", name="from the machine to your ear", unit="m", help="In your shop.",
          group=YOURS),
    Field(id="your_room_m2", name="what your shop swallows", unit="m2",
          help="0.16 times volume over reverberation time.", group=YOURS),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Sound power of a machine.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said.

    Returns
    -------
    Reckoning

    Raises
    ------
    Unusable
        Levels that cannot be read, each named.

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"levels": "80 " * 10, "background_db": "70",
    ...                                  "radius_m": "2", "room_m2": "200"}))
    >>> round(next(f.value for f in made.figures if f.key == "sound_power_db"), 3)
    91.776
    """
    draft = Draft("soundpower", say("Sound power"), FIELDS, values)
    levels = _levels(draft)
    area, room = _area(draft), _room(draft)
    if not levels:
        draft.lack(say("no level is known"), say("Read ten places around the machine."), "levels")
    if not levels or area is None:
        return draft.done("")
    found = sound_power(levels, draft.said("background_db"), area, room)
    _figures(draft, found, room)
    _over_background(draft, levels)
    _grade(draft, found, len(levels))
    _yours(draft, found)
    told = say("{level} dB(A) of sound power, give or take {doubt}.",
               level=number(found.level_db, 1), doubt=number(found.give_or_take_db, 1))  # fmt: skip
    return draft.done(told)


def _levels(draft: Draft) -> list[float]:
    levels, problems = [], []
    for part in re.split(r"[;\s]+", (draft.said("levels") or "").strip()):
        try:
            level = float(part.replace(",", ".")) if part else None
        except ValueError:
            level = MOST_DB + 1
        if level is not None and not LEAST_DB <= level <= MOST_DB:
            what = say("“{part}” is no level", part=part)
            blanks = say("Write numbers with a blank between them: 80 81.5 79.")
            problems.append(Problem("levels", what, blanks))
        elif level is not None:
            levels.append(level)
    background = draft.said("background_db")
    if background is not None and not LEAST_DB <= background <= MOST_DB:
        what = say("{value} dB cannot be", value=short(background))
        problems.append(Problem("background_db", what, say("Read it again with the machine off.")))
    if problems:
        raise Unusable(
            say("some levels cannot be read"),
            remedy=say("Correct the fields that are named."),
            problems=tuple(problems),
        )
    return levels


def _area(draft: Draft) -> float | None:
    radius = draft.said("radius_m")
    if radius is not None:
        return hemisphere_m2(radius)
    length, width, height = (draft.said(id) for id in ("length_m", "width_m", "height_m"))
    if length is not None and width is not None and height is not None:
        return box_m2(length, width, height, draft.get("apart_m"))
    draft.lack(say("the measuring surface is not known"),
               say("Give the radius of a half sphere, or length, width and height of the machine."),
               "radius_m")  # fmt: skip
    return None


def _room(draft: Draft) -> float | None:
    room = draft.said("room_m2")
    volume, fades = draft.said("volume_m3"), draft.said("reverberation_s")
    if room is None and volume is not None and fades is not None:
        room = absorption_m2(volume, fades)
        draft.figure("room_m2", say("what the room swallows"), room, "m²", 1, "Sabine: 0.16 V / T")
    return None if room is None else float(room)


def _figures(draft: Draft, found: SoundPower, room: float | None) -> None:
    draft.figure("sound_power_db", say("sound power, A-weighted, re 1 pW"), found.level_db, "dB(A)",
                 1, SOURCE)  # fmt: skip
    draft.figure("mean_db", say("mean over the places"), found.mean_db, "dB(A)", 2)
    draft.figure("k1_db", say("background taken off, K1"), found.k1_db, "dB", 2, SOURCE)
    known = room is not None
    draft.figure("k2_db", say("room taken off, K2"), found.k2_db if known else None, "dB", 2, ROOM,
                 "" if known else say("nobody said what the room swallows"))  # fmt: skip
    draft.figure("area_m2", say("measuring surface"), found.area_m2, "m²", 1)
    draft.figure("give_or_take_db", say("give or take"), found.give_or_take_db, "dB", 1,
                 later("ISO 3744:2010, 9; ISO 3746:2010, 9 (from memory)"))  # fmt: skip


def _grade(draft: Draft, found: SoundPower, places: int) -> None:
    if found.grade is None:
        few = places < LEAST_PLACES["survey"]
        draft.stop(
            say("only {count} places were read", count=places) if few else
            say("the room throws back too much: K2 is {k2} dB", k2=number(found.k2_db, 1)),
            say("Read four places at least, ten are better.") if few else
            say("Measure nearer to the machine, in a larger or softer room, or outside; K2 up to "
                "{most} dB is allowed.", most=number(MOST_K2_DB["survey"])),
            "levels" if few else "room_m2",
        )  # fmt: skip
        return
    grades = {"engineering": say("engineering (ISO 3744)"), "survey": say("survey (ISO 3746)")}
    known = draft.said("background_db") is not None and draft.said("room_m2") is not None
    known = known or (draft.said("background_db") is not None and found.k2_db > 0.0)
    grade = found.grade if known and not found.upper_bound else "survey"
    draft.notes.append(say("Grade: {grade}.", grade=grades[grade]))
    if draft.said("background_db") is None:
        draft.notes.append(say("Nobody read the background: the sound power is an upper bound."))
    elif found.upper_bound and draft.said("room_m2") is not None:
        draft.notes.append(say("The background is too near: the sound power is an upper bound."))
    if found.k2_db == 0.0:
        draft.notes.append(say("The room was counted as open air: an upper bound."))


def _over_background(draft: Draft, levels: list[float]) -> None:
    """A place that is hardly louder with the machine on says nothing of the machine."""
    background = draft.said("background_db")
    if background is None:
        return
    near = [level for level in levels if level - background < LEAST_OVER_DB]
    if near:
        draft.lack(
            say("at {count} of {all} places the machine is not {least} dB over the background",
                count=len(near), all=len(levels), least=number(LEAST_OVER_DB)),
            say("Measure in a quieter hour, or nearer to the machine."),
            "background_db",
        )  # fmt: skip


def _yours(draft: Draft, found: SoundPower) -> None:
    ear, room = draft.said("ear_m"), draft.said("your_room_m2")
    if ear is None or room is None:
        return
    draft.figure("at_ear_db", say("at your ear, in your shop"),
                 level_at_db(found.level_db, ear, room), "dB(A)", 1, FIELD)  # fmt: skip


METHOD = Method(
    id="soundpower",
    title=later("Sound power"),
    what=later("The sound power of a machine from levels around it, and the level at your place."),
    fields=FIELDS,
    cautions=("X42",),
    reckon=reckon,
    standard="ISO 3744:2010; ISO 3746:2010",
    example=("--levels", "80 80 80 80 80 80 80 80 80 80", "--background-db", "70",
             "--radius-m", "2", "--room-m2", "200"),
)  # fmt: skip
