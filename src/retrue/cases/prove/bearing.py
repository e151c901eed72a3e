"""Bearing: where in a spectrum its defects would show, and how long it is good for."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Listing, Reckoning
from retrue.science.bearing import (
    Bearing,
    frequencies,
    from_count,
    from_outside,
    life_hours,
    life_million_turns,
)

ROLLING = later("kinematics of rolling (by definition)")
LIFE = later("ISO 281:2007 (clauses from memory)")
MOST_KN = 2000.0  # of a bearing of 300 mm and more (from memory, unverified)
INSIDE, LASTS = "what is inside", "how long it lasts"

FIELDS = (
    Field(id="speed_rpm", name="speed of the shaft", unit="rpm",
          help="At which it is recorded, or runs.", group=INSIDE),
    Field(id="balls", name="balls or rollers in one row", sort="whole",
          help="Count them through the cage, or take it from the maker's sheet.", group=INSIDE),
    Field(id="ball_mm", name="diameter of a ball", unit="mm",
          help="From the maker's sheet or a spare one.", group=INSIDE),
    Field(id="pitch_mm", name="diameter of the circle of the balls", unit="mm",
          help="Between the middles of two balls that face each other.", group=INSIDE),
    Field(id="angle_deg", name="contact angle", unit="deg", default=0.0, zero=True,
          mark="taken as a deep groove",
          help="In the letters behind its number: many spindle bearings have 15 or 25.",
          group=INSIDE),
    Field(id="bore_mm", name="bore", unit="mm",
          help="Where ball and circle are not known: the rings tell them roughly.", group=INSIDE),
    Field(id="outside_mm", name="outside diameter", unit="mm", help="Of its outer ring.",
          group=INSIDE),
    Field(id="rating_kn", name="dynamic load rating", unit="kN", help="From the maker's sheet.",
          group=LASTS),
    Field(id="load_kn", name="load it carries", unit="kN",
          help="Equivalent load: preload and cutting together.", group=LASTS),
    Field(id="rollers", name="rollers, not balls", sort="flag", default=False,
          help="A roller bearing's life falls faster with load.", group=LASTS),
    Field(id="wanted_hours", name="hours it should last", help="What you ask of it.", group=LASTS),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Frequencies of a bearing's defects, and its life.

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
    >>> made = reckon(values_of(METHOD, {"balls": "9", "ball_mm": "7.94", "pitch_mm": "39.04",
    ...     "speed_rpm": "60"}))
    >>> [round(f.value, 4) for f in made.figures if f.key == "outer_race_hz"]
    [3.5848]
    """
    draft = Draft("bearing", say("Bearing"), FIELDS, values)
    speed = draft.wanted("speed_rpm")
    told = _inside(draft, speed) if speed is not None else ""
    hours = _lasts(draft, speed)
    if hours is not None and not told:
        told = say("Nine in ten of them last {hours} hours.", hours=number(hours))
    return draft.done(told)


def _inside(draft: Draft, speed: float) -> str:
    """Frequencies as well as they can be told: by geometry, by the rings, by the count alone."""
    life_only = draft.said("rating_kn") is not None and draft.said("balls") is None
    if life_only:
        return ""
    balls = draft.wanted("balls")
    if balls is None:
        return ""
    try:
        bearing = _bearing(draft, balls)
        if bearing is None:
            return _by_count(draft, balls, speed / 60)
        found = frequencies(bearing, speed / 60)
    except Unusable as refusal:
        draft.refused(refusal, "balls")
        return ""
    for key, name, value in (
        ("outer_race_hz", say("outer race"), found.outer_race_hz),
        ("inner_race_hz", say("inner race"), found.inner_race_hz),
        ("rolling_element_hz", say("rolling element, both races"), found.rolling_element_hz),
        ("ball_spin_hz", say("spin of a ball, half of it"), found.ball_spin_hz),
        ("cage_hz", say("cage"), found.cage_hz),
    ):
        draft.figure(key, name, value, "Hz", 2, ROLLING)
    draft.notes += [
        say("Tables print the spin of a ball or twice of it under one name: look which."),
        say("A real one slips: look 3 % to each side."),
    ]
    outer, inner = number(found.outer_race_hz, 1), number(found.inner_race_hz, 1)
    return say(
        "Outer race {outer} Hz, inner race {inner} Hz, 3 % to each side.", outer=outer, inner=inner
    )


def _bearing(draft: Draft, balls: int) -> Bearing | None:
    ball, pitch = draft.said("ball_mm"), draft.said("pitch_mm")
    if ball is not None and pitch is not None:
        return Bearing(balls, ball, pitch, draft.get("angle_deg"))
    bore, outside = draft.said("bore_mm"), draft.said("outside_mm")
    if bore is None or outside is None:
        return None
    draft.assumed.append(
        say("Ball and circle are guessed from the rings: common practice, no source.")
    )
    return from_outside(bore, outside, balls, draft.get("angle_deg"))


def _by_count(draft: Draft, balls: int, shaft_hz: float) -> str:
    """Only between which frequencies each lies."""
    names = {
        "outer_race": say("outer race"),
        "inner_race": say("inner race"),
        "cage": say("cage"),
    }
    rows = tuple(
        (names[key], low, high) for key, (low, high) in from_count(balls, shaft_hz).items()
    )
    columns = (say("part"), say("from, Hz"), say("to, Hz"))
    draft.listings.append(Listing(title=say("What the count tells"), columns=columns, rows=rows))
    draft.lack(say("ball and circle are not known"),
               say("Maker's sheet; or bore and outside diameter, which tell them roughly."),
               "ball_mm")  # fmt: skip
    return ""


def _lasts(draft: Draft, speed: float | None) -> float | None:
    rating, load = draft.said("rating_kn"), draft.said("load_kn")
    if rating is None or load is None:
        return None
    if not _is_likely(draft, rating, load):
        return None
    turns = life_million_turns(rating, load, roller=bool(draft.get("rollers")))
    draft.figure("life_million_turns", say("life that nine in ten reach"), turns,
                 say("million turns"), 1, LIFE)  # fmt: skip
    if not speed:
        return None
    hours = life_hours(turns, speed)
    draft.figure("life_hours", say("the same at that speed"), hours, "h", 0, LIFE)
    wanted = draft.said("wanted_hours")
    if wanted is not None and hours < wanted:
        draft.stop(
            say("it lasts {hours} hours where {wanted} are wanted", hours=number(hours),
                wanted=number(wanted)),
            say("A larger bearing, less preload, or a change planned before that."),
            "wanted_hours",
        )  # fmt: skip
    draft.notes.append(say(
        "Clean oil or grease and no damage are taken for granted; dirt shortens it most."
    ))  # fmt: skip
    return hours


def _is_likely(draft: Draft, rating: float, load: float) -> bool:
    """Whether it may be in kilonewtons; a larger number was typed in newtons, and is asked."""
    far = [(id, value) for id, value in (("rating_kn", rating), ("load_kn", load))
           if value > MOST_KN]  # fmt: skip
    for id, value in far:
        draft.lack(
            say("{value} kN is more than a bearing of a machine tool has", value=number(value)),
            say("Was it in newtons? Then write {value} kN.", value=number(value / 1000, 1)), id,
        )  # fmt: skip
    return not far


METHOD = Method(
    id="bearing",
    title=later("Bearing"),
    what=later("At which frequencies a bearing's defects would show, and how long it should last."),
    fields=FIELDS,
    cautions=("X47",),
    reckon=reckon,
    standard="ISO 281:2007; kinematics of rolling",
    example=("--balls", "9", "--ball-mm", "7.94", "--pitch-mm", "39.04", "--speed-rpm", "1797",
             "--rating-kn", "30 kN", "--load-kn", "5 kN"),
)  # fmt: skip
