"""Lamps: how many give the light a task needs, and at which speeds a part seems to stand."""

from __future__ import annotations

from dataclasses import replace

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Caution, Listing, Reckoning
from retrue.science.light import (
    MARK,
    NEEDS,
    expected_lux,
    lamps_needed,
    needed_lm,
    point_lux,
)
from retrue.science.light_flicker import (
    NO_SPEED,
    flicker_of_mains_hz,
    standing_still,
    told_standing,
)

LUMEN = later("lumen method (handbooks, from memory)")
COSINE = later("inverse square and cosine law")
MOST_ROWS = 24
ROOM, LAMP, ONE, STANDS = "the room", "the lamps", "one lamp near the work", "what seems to stand"

FIELDS = (
    Field(id="task", name="what is done there", sort="choice", default="fine",
          choices=tuple((one.task, one.title) for one in NEEDS.values()),
          mark="EN 12464-1, secondary source, unverified", help="The finest work done there.",
          group=ROOM),
    Field(id="wanted_lux", name="light wanted, where you know better", unit="lux",
          help="On the work, mean.", group=ROOM),
    Field(id="area_m2", name="floor that is lit", unit="m²", help="Length times width.",
          group=ROOM),
    Field(id="lamp_lm", name="light of one lamp", unit="lm", help="On its box.", group=LAMP),
    Field(id="lamps", name="lamps there are", sort="whole", zero=True, help="Count them.",
          group=LAMP),
    Field(id="utilisation_share", name="share of it that reaches the work", default=0.6,
          mark=MARK, help="0.4 in a dark tall room, 0.7 in a low bright one.", group=LAMP),
    Field(id="upkeep_share", name="share left when old and dusty", default=0.8, mark=MARK,
          help="0.7 where chips and mist fly.", group=LAMP),
    Field(id="intensity_cd", name="strength of one lamp towards the work", unit="cd",
          help="From its data sheet.", group=ONE),
    Field(id="height_mm", name="its height above the work", unit="mm", help="Straight down.",
          group=ONE),
    Field(id="aside_mm", name="how far aside of it the work is", unit="mm", default=0.0, zero=True,
          help="Zero straight below.", group=ONE),
    Field(id="mains_hz", name="mains", unit="Hz", default=50.0, help="50 or 60.", group=STANDS),
    Field(id="flicker_hz", name="flicker of the lamps, where it was measured", unit="Hz",
          help="Else twice the mains is taken.", group=STANDS),
    Field(id="alike", name="like faces of what turns", sort="whole", default=3,
          help="Three jaws, six corners, four flutes.", group=STANDS),
    Field(id="most_rpm", name="highest speed", unit="rpm", help="On the plate.", group=STANDS),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """How many lamps, and what they make of something that turns.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said.

    Returns
    -------
    Reckoning
        No-go where the lamps there are give less than is wanted.

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"area_m2": "13.8", "lamp_lm": "2900", "lamps": "6"}))
    >>> [round(f.value) for f in made.figures if f.key == "expected_lux"]
    [605]
    """
    draft = Draft("lamps", say("Lamps"), FIELDS, values)
    told = _near(draft)
    try:
        told = _lumens(draft, told) or told
    except Unusable as refusal:
        draft.refused(refusal, "area_m2")
    _stands(draft)
    made = draft.done(told)
    return _cautioned(made)


def _near(draft: Draft) -> str:
    strong, height = draft.said("intensity_cd"), draft.said("height_mm")
    if strong is None and height is None:
        return ""
    strong, height = draft.wanted("intensity_cd"), draft.wanted("height_mm")
    if strong is None or height is None:
        return ""
    lux = point_lux(strong, height, draft.get("aside_mm"))
    draft.figure("point_lux", say("light of that one lamp on the work"), lux, "lux", 1, COSINE)
    draft.notes.append(say("Right where it hangs at least five times its own size away."))
    return say("One lamp gives {lux} lux on the work.", lux=number(lux))


def _lumens(draft: Draft, told: str) -> str:
    if told and draft.said("area_m2") is None:
        return ""
    wanted = draft.said("wanted_lux")
    if wanted is None:
        wanted = NEEDS[draft.get("task")].mean_lux
    area = draft.wanted("area_m2")
    if area is None:
        return ""
    reaches, left = draft.get("utilisation_share"), draft.get("upkeep_share")
    needed = needed_lm(wanted, area, utilisation_share=reaches, upkeep_share=left)
    draft.figure("needed_lm", say("light that all lamps must give"), needed, "lm", 0, LUMEN)
    lamp = draft.wanted("lamp_lm")
    if lamp is None:
        return ""
    count = lamps_needed(needed, lamp)
    draft.figure(
        "lamps_needed",
        say("lamps for that"),
        float(count),
        say("lamp") if count == 1 else say("lamps"),
        0,
        LUMEN,
    )
    present = draft.said("lamps")
    if present is not None:
        lux = expected_lux(present * lamp, area, utilisation_share=reaches, upkeep_share=left)
        draft.figure("expected_lux", say("light that the lamps there are give"), lux, "lux", 0,
                     LUMEN)  # fmt: skip
        if present < count:
            draft.stop(
                _too_few(present, lux, wanted),
                say("Hang {more} more of them, or one near the work.",
                    more=number(count - present)),
                "lamps",
            )  # fmt: skip
    if count == 1:
        return say("1 lamp gives {wanted} lux.", wanted=number(wanted))
    return say("{count} lamps give {wanted} lux.", count=number(count), wanted=number(wanted))


def _too_few(present: int, lux: float, wanted: float) -> str:
    told = {"lux": number(lux), "wanted": number(wanted)}
    if present == 1:
        return say("1 lamp gives {lux} lux where {wanted} are wanted", **told)
    return say("{present} lamps give {lux} lux where {wanted} are wanted",
               present=number(present), **told)  # fmt: skip


def _stands(draft: Draft) -> None:
    most = draft.said("most_rpm")
    flicker = draft.said("flicker_hz") or flicker_of_mains_hz(draft.get("mains_hz"))
    draft.figure("flicker_hz", say("flicker of lamps on the mains, if they flicker"), flicker,
                 "Hz", 0, later("by definition"))  # fmt: skip
    if most is None:
        return
    try:
        speeds = standing_still(flicker, draft.get("alike"), most)
    except Unusable as refusal:
        draft.refused(refusal, "alike")
        return
    if not speeds:
        draft.notes.append(NO_SPEED)
        return
    shown, left = told_standing(speeds, MOST_ROWS)
    draft.listings.append(
        Listing(
            title=say("Speeds at which it would seem to stand in that flicker"),
            columns=(say("rpm"), say("faces it seems to have")),
            rows=tuple((one.speed_rpm, one.faces) for one in shown),
        )
    )
    if left:
        draft.notes.append(
            say("{left} more speeds, of more faces, are not shown.", left=number(left))
        )


def _cautioned(made: Reckoning) -> Reckoning:
    caution = Caution(
        text=say(
            "In light that flickers, a chuck or cutter that turns may seem to stand still or to "
            "turn slowly. Never judge by the eye whether it stands. Lamps that do not flicker, or "
            "two on different phases, at every machine."
        ),
        defers_to=say("EN 12464-1, IEC TR 63158 (from memory); local code and licensed practice"),
    )
    return replace(made, cautions=(caution, *made.cautions))


METHOD = Method(
    id="lamps",
    title=later("Lamps"),
    what=later("How many lamps a task needs, and at which speeds a part seems to stand still."),
    fields=FIELDS,
    cautions=("X47",),
    reckon=reckon,
    standard="EN 12464-1; lumen method",
    example=("--area-m2", "13.8", "--lamp-lm", "2900", "--lamps", "6", "--intensity-cd", "2000",
             "--height-mm", "1500", "--aside-mm", "1000", "--most-rpm", "6000"),
)  # fmt: skip
