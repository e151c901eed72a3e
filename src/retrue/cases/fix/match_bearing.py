"""Bearing: may this one, or this set, replace that one."""

from __future__ import annotations

from retrue.base.formatter import short
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.fix.match_bearing_fields import BODY, FIELDS, INSIDE, SIZE, SORT_FIELDS
from retrue.cases.fix.match_rows import COMMON, asked_where, rows_of, settled, ticked, told
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.wake.matching_rows import Row
from retrue.science.bearing import life_hours, life_million_turns
from retrue.science.bearing_choice import arrangement, speed_number
from retrue.science.motor_match import Fits, enough

LIFE = later("ISO 281:2007 (clauses from memory)")
WITH_A_GAP = ("groove", "cylinder", "needle")  # the others are set by their preload
MOST_KN = 2000.0  # of a bearing of 300 mm and more: over it newton were typed (from memory)
SETS = {
    "single": later("single"),
    "universal": later("universal, one batch"),
    "back_to_back": later("pair, back to back"),
    "face_to_face": later("pair, face to face"),
    "tandem": later("pair, one behind the other"),
    "set": later("set of three and more"),
}


def reckon(values: Values) -> Reckoning:
    """Every property of a bearing against the one it replaces, its load, its speed.

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
    >>> made = reckon(values_of(METHOD, {"has_rating_kn": "30", "load_kn": "5 kN",
    ...     "speed_rpm": "1500", "wanted_hours": "3000"}))
    >>> made.answer, [f.value for f in made.figures]
    ('no_go', [216.0, 2400.0])
    """
    draft = Draft("match_bearing", say("Bearing"), FIELDS, values)
    rows = [*rows_of(draft, (*SORT_FIELDS, *SIZE)), _set(draft), _whole(draft), _life(draft)]
    loose = draft.said("need_type") in WITH_A_GAP
    inside = [next(iter(asked_where(loose and one.id == "gap", one))) for one in INSIDE]
    rows += [_speed(draft), *rows_of(draft, inside), *rows_of(draft, BODY)]
    draft.notes.append(say(
        "Preload classes of two makers are not equal: compare the force in newton. Spindle "
        "bearings are fitted by who has the gauges."
    ))  # fmt: skip
    return settled(draft, rows)


def _set(draft: Draft) -> Row:
    needs, has = draft.said("need_set"), draft.said("has_set")
    return told(draft, say("pair or set"), SETS.get(needs), SETS.get(has), arrangement(has, needs),
                ("need_set", "has_set"),
                rule=say("matched for the way they stand; universal ones of one batch for any "
                         "pair"), source=COMMON)  # fmt: skip


def _whole(draft: Draft) -> Row:
    """Old and new, or two makers', in one set share no load."""
    if draft.said("need_set") == "single":
        return ticked(draft, "whole_set", say("new, in its own wrapping"),
                      rule=say("never a used one, never one that lay open"), source=COMMON,
                      remedy=say("Buy a new one with its paper."), unlike="no")  # fmt: skip
    return ticked(draft, "whole_set", say("the whole set is new, of one maker, matched"),
                  rule=say("a mixed set shares its load unevenly and runs hot"), source=COMMON,
                  remedy=say("Buy the whole set, matched; keep the order of its marks."),
                  unlike="no")  # fmt: skip


def _life(draft: Draft) -> Row:
    """Where load and speed are known by its life, else by the old one's rating."""
    rating, load, speed = (draft.said(id) for id in ("has_rating_kn", "load_kn", "speed_rpm"))
    old, wanted = draft.said("need_rating_kn"), draft.said("wanted_hours")
    if load is None or wanted is None:
        return told(draft, say("dynamic load rating"), old, rating, enough(rating, old),
                    ("need_rating_kn", "has_rating_kn"), unit="kN", source=LIFE,
                    rule=say("no lower than the old one's where its load is unknown"))  # fmt: skip
    hours = _hours(draft, rating, load, speed)
    lacking = "load_kn" if rating is not None and speed is not None else "speed_rpm"
    return told(draft, say("life at load and speed"), wanted, hours, enough(hours, wanted),
                ("wanted_hours", "has_rating_kn" if rating is None else lacking), unit="h",
                source=LIFE,
                rule=say("rating over load, to the third power (rollers: ten thirds), million "
                         "turns, over its turns"))  # fmt: skip


def _hours(draft: Draft, rating: float | None, load: float, speed: float | None) -> float | None:
    if rating is None or speed is None:
        return None
    for id, value in (("has_rating_kn", rating), ("load_kn", load)):
        if value > MOST_KN:
            draft.lack(say("{value} kN is more than a bearing of a machine tool has",
                           value=short(value)),
                       say("Was it in newton? Then write it so."), id)  # fmt: skip
            return None
    rollers = draft.said("has_type") in ("cylinder", "taper")
    try:
        turns = life_million_turns(rating, load, roller=rollers)
        hours = life_hours(turns, speed)
    except Unusable as refusal:
        draft.refused(refusal, "load_kn")
        return None
    draft.figure("life_million_turns", say("life that nine in ten reach"), turns,
                 say("million turns"), 1, LIFE)  # fmt: skip
    draft.figure("life_hours", say("the same at that speed"), hours, "h", 0, LIFE)
    return hours


def _speed(draft: Draft) -> Row:
    """By its size and speed, and by what its grease or oil and its cage bear."""
    speed, most = draft.said("speed_rpm"), draft.said("has_most_rpm")
    bore, outside = draft.said("need_bore_mm"), draft.said("need_outside_mm")
    if speed is not None and bore is not None and outside is not None:
        try:
            draft.figure("speed_number", say("mean diameter times speed, mm a minute"),
                         speed_number(bore, outside, speed), "", 0, "by definition")  # fmt: skip
        except Unusable as refusal:
            draft.refused(refusal, "need_bore_mm")
    fits: Fits = enough(most, speed)
    return told(draft, say("highest speed"), speed, most, fits, ("speed_rpm", "has_most_rpm"),
                rule=say("no lower than it is run, with that grease or oil and that preload"),
                source="its document", unit="rpm")  # fmt: skip


METHOD = Method(
    id="match_bearing",
    title=later("Bearing"),
    what=later("Whether a bearing or a set may replace another: size, angle, class, life, speed."),
    fields=FIELDS,
    cautions=("X02", "X06", "X09", "X47"),
    reckon=reckon,
    standard="ISO 281:2007; ISO 492; ISO 15",
    example=("--need-bore-mm", "70", "--has-bore-mm", "70", "--need-outside-mm", "110",
             "--has-outside-mm", "110", "--has-rating-kn", "30 kN", "--load-kn", "5 kN",
             "--speed-rpm", "1500", "--wanted-hours", "2400"),
)  # fmt: skip
