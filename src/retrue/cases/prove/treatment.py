"""Treatment: what damping a cover or closing it can gain, given everything else that sounds."""

from __future__ import annotations

from retrue.base.formatter import number, short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, say
from retrue.cases.prove import noise_day
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Listing, Reckoning
from retrue.science.damping import (
    STEEL_KG_M3,
    after_db,
    free_layer_share,
    least_share,
    loss_drop_db,
    mass_law_db,
    part_from_drop_db,
)
from retrue.science.exposure import allowed_hours
from retrue.science.sound_level import NOT_WORTH_DB, without_db

LEAST_DB, MOST_DB = 20.0, 150.0
SUM = later("sum of squared pressures (by definition)")
LOSS = later("10 lg(after / before): Cremer, Heckl, Petersson (from memory, unverified)")
OBERST = later("Oberst, Acustica 2 (1952) (from memory, unverified)")
MASS = later("mass law, 20 lg(m f) - 47 (from memory, unverified)")
WHOLE, PART, SHEET, WALL = "as it is", "the part", "a damping sheet", "a closed cover"
NAMED_DB = ("level_db", "without_db", "part_db", "measured_after_db", "drop_db")

FIELDS = (
    Field(id="level_db", name="level of everything", unit="dBA", help="At the ear.", group=WHOLE),
    Field(id="measured_after_db", name="level after it was treated, if it was", unit="dBA",
          help="Same place, speed and gain.", group=WHOLE),
    Field(id="without_db", name="level with this part off or taken away", unit="dBA",
          help="Switch it off alone, or run without the cover.", group=PART),
    Field(id="part_db", name="or level of this part alone", unit="dBA",
          help="Everything else off.", group=PART),
    Field(id="drop_db", name="by how much the part itself gets quieter", unit="dB",
          help="On the sheet of the material; else by loss factors below.", group=PART),
    Field(id="loss_before", name="loss factor as it is", default=0.01,
          mark="bolted sheet steel, from memory, unverified", help="Between 0.001 and 0.02.",
          group=SHEET),
    Field(id="loss_after", name="loss factor with the sheet on", help="On its sheet, as glued on.",
          group=SHEET),
    Field(id="sheet_loss", name="or loss factor of the sheet itself", help="On its sheet.",
          group=SHEET),
    Field(id="sheet_mpa", name="modulus of the sheet", unit="MPa", help="On its sheet.",
          group=SHEET),
    Field(id="sheet_mm", name="thickness of the sheet", unit="mm", help="Without its paper.",
          group=SHEET),
    Field(id="panel_mm", name="thickness of the panel", unit="mm", help="With a calliper.",
          group=SHEET),
    Field(id="panel_mpa", name="modulus of the panel", unit="MPa", default=210000.0,
          mark="steel", help="Aluminium 70 000.", group=SHEET),
    Field(id="panel_kg_m2", name="mass of the panel, a square metre", unit="",
          help="Left empty: steel of that thickness.", group=WALL),
    Field(id="frequency_hz", name="frequency that is too loud", unit="Hz",
          help="The loudest band of retrue prove sound.", group=WALL),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """What treating one part gains.

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
        A level or a loss factor that cannot be.

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"level_db": "82.01", "part_db": "79", "drop_db": "10"}))
    >>> round(next(f.value for f in made.figures if f.key == "after_db"), 2), made.answer
    (79.41, 'go')
    """
    draft = Draft("treatment", say("Treatment"), FIELDS, values)
    _refuse_wrong(draft)
    drop, level = _drop(draft), draft.wanted("level_db")
    _wall(draft)
    if level is None:
        return draft.done("")
    _measured(draft, level, drop)
    part = _part(draft, level, drop)
    if part is None:
        return draft.done(_share_told(draft, level))
    rest = _rest(draft, level, part)
    if drop is not None:
        _after(draft, level, part, drop)
    _worth(draft, level, part, rest)
    return draft.done(_told(draft, level, rest))


def _refuse_wrong(draft: Draft) -> None:
    problems = []
    for id in NAMED_DB:
        value = draft.said(id)
        least = 0.0 if id == "drop_db" else LEAST_DB
        if value is not None and not least <= value <= MOST_DB:
            problems.append(Problem(id, say("{value} dB cannot be", value=short(value)),
                                    say("Read it again.")))  # fmt: skip
    for id in ("loss_before", "loss_after", "sheet_loss"):
        value = draft.said(id)
        if value is not None and value > 3:
            problems.append(Problem(id, say("{value} is no loss factor", value=short(value)),
                                    say("They lie between 0.0001 and about 1.")))  # fmt: skip
    level = draft.said("level_db")
    for id in ("without_db", "part_db"):
        value = draft.said(id)
        if level is not None and value is not None and value > level:
            problems.append(Problem(id, say("is louder than everything together"),
                                    say("Read both again at the same place.")))  # fmt: skip
    if problems:
        raise Unusable(
            say("some levels cannot be used yet"),
            remedy=say("Correct the fields that are named."),
            problems=tuple(problems),
        )


def _drop(draft: Draft) -> float | None:
    """By how much the part itself gets quieter."""
    drop = draft.said("drop_db")
    if drop is not None:
        return float(drop)
    after = draft.said("loss_after")
    if after is None:
        after = _glued(draft)
    if after is None:
        return None
    before = draft.get("loss_before")
    if after <= before:
        draft.stop(say("the sheet does not damp more than the panel by itself"),
                   say("A stiffer or thicker sheet, or one with a cover layer."),
                   "loss_after")  # fmt: skip
        return None
    drop = loss_drop_db(before, after)
    draft.figure("drop_db", say("the part gets quieter by"), drop, "dB", 2, LOSS)
    draft.notes.append(say("Damping works where the panel rings with what shakes it; what goes "
                           "through it or round it stays."))  # fmt: skip
    return drop


def _glued(draft: Draft) -> float | None:
    asked = ("sheet_loss", "sheet_mpa", "sheet_mm", "panel_mm")
    loss, sheet, thick, panel = (draft.said(id) for id in asked)
    if loss is None or sheet is None or thick is None or panel is None:
        if any(draft.said(id) is not None for id in asked[:3]):
            draft.lack(say("the sheet is not wholly known"),
                       say("Loss factor, modulus and thickness of the sheet, thickness of the "
                           "panel."), "sheet_loss")  # fmt: skip
        return None
    share = free_layer_share(sheet / draft.get("panel_mpa"), thick / panel)
    draft.figure("loss_share", say("share of the sheet's loss factor that the panel gets"), share,
                 "", 4, OBERST)  # fmt: skip
    draft.figure("loss_after", say("loss factor with the sheet on"), share * loss, "", 4, OBERST)
    return float(share * loss)


def _wall(draft: Draft) -> None:
    """What a closed panel keeps back."""
    mass, hz, thick = (draft.said(id) for id in ("panel_kg_m2", "frequency_hz", "panel_mm"))
    if hz is None:
        return
    if mass is None and thick is not None:
        mass = STEEL_KG_M3 * thick / 1000.0
        draft.assumed.append(say("The panel is steel: {mass} kg a square metre.",
                                 mass=number(mass, 1)))  # fmt: skip
    if mass is None:
        draft.lack(say("the mass of the panel is not known"), say("Measure its thickness."),
                   "panel_mm")  # fmt: skip
        return
    draft.figure("keeps_back_db", say("a closed panel without gaps keeps back"),
                 max(mass_law_db(mass, hz), 0.0), "dB", 1, MASS)  # fmt: skip
    draft.notes.append(say("Gaps undo it: a hundredth of the area open leaves 20 dB at most."))


def _measured(draft: Draft, level: float, drop: float | None) -> None:
    """What a treatment that was made says of the part."""
    after = draft.said("measured_after_db")
    if after is None:
        return
    if after > level:
        draft.stop(say("it is louder after the treatment"), say("Look for what came loose."),
                   "measured_after_db")  # fmt: skip
        return
    share = least_share(level - after)
    draft.figure("least_share", say("share of the sound power that the part gave, at least"), share,
                 "", 3, SUM)  # fmt: skip
    if drop is not None:
        try:
            was = part_from_drop_db(level, after, drop)
        except Unusable as refusal:
            draft.refused(refusal, "drop_db")
        else:
            draft.figure("part_was_db", say("level of the part, before"), was, "dB(A)", 2, SUM)
    draft.listings.append(_hours(level, after))


def _hours(before: float, after: float) -> Listing:
    return Listing(
        title=say("How long a day each level allows"),
        columns=(say("rule"), say("before"), say("after")),
        rows=tuple(
            (words, *(noise_day.hours_words(allowed_hours(one, rule)) for one in (before, after)))
            for rule, words in noise_day.RULES
        ),
    )


def _part(draft: Draft, level: float, drop: float | None) -> float | None:
    part, without = draft.said("part_db"), draft.said("without_db")
    if part is not None:
        return float(part)
    if without is not None and without < level:
        part = without_db(level, without)
        draft.figure("part_db", say("level of the part alone"), part, "dB(A)", 2, SUM)
        return part
    if without is not None:
        draft.stop(say("without the part it is as loud as with it"),
                   say("Treat what is louder first: switch one source off at a time."),
                   "without_db")  # fmt: skip
        return None
    if draft.said("measured_after_db") is None:
        draft.lack(say("how loud the part is, is not known"),
                   say("Read the level with this part switched off or taken away."),
                   "without_db")  # fmt: skip
    return None


def _rest(draft: Draft, level: float, part: float) -> float:
    rest = after_db(level, part, float("inf")) if part < level else float("-inf")
    known = part < level
    draft.figure("rest_db", say("level of everything else"), rest if known else None, "dB(A)", 2,
                 SUM, "" if known else say("the part is all there is"))  # fmt: skip
    draft.figure("most_gain_db", say("most that treating it can gain, given the others"),
                 level - rest if known else None, "dB", 2, SUM,
                 "" if known else say("the part is all there is"))  # fmt: skip
    return rest


def _after(draft: Draft, level: float, part: float, drop: float) -> None:
    after = after_db(level, part, drop)
    draft.figure("after_db", say("level after the treatment"), after, "dB(A)", 2, SUM)
    draft.figure("gain_db", say("what it gains"), level - after, "dB", 2, SUM)
    if draft.said("measured_after_db") is None:
        draft.listings.append(_hours(level, after))


def _worth(draft: Draft, level: float, part: float, rest: float) -> None:
    if part <= rest - NOT_WORTH_DB:
        draft.stop(
            say("the part is {under} dB under the rest: silencing it gains {gain} dB",
                under=number(rest - part, 1), gain=number(level - rest, 1)),
            say("Treat what is louder first."), "part_db",
        )  # fmt: skip


def _told(draft: Draft, level: float, rest: float) -> str:
    figures = {one.key: one.value for one in draft.figures}
    gain, after = figures.get("gain_db"), figures.get("after_db")
    if gain is not None and after is not None:
        return say("It gains {gain} dB: {after} dB(A) are left.", gain=number(gain, 1),
                   after=number(after, 1))  # fmt: skip
    if rest == float("-inf"):
        return say("The part is all there is: what it loses, everything loses.")
    return say("It gains {gain} dB at most, given the others.", gain=number(level - rest, 1))


def _share_told(draft: Draft, level: float) -> str:
    share = next((one.value for one in draft.figures if one.key == "least_share"), None)
    return say(
        "{drop} dB less: what was treated gave at least {share} % of the sound power.",
        drop=number(level - (draft.said("measured_after_db") or level), 1),
        share=number(100 * (share or 0.0)),
    )


METHOD = Method(
    id="treatment",
    title=later("Treatment"),
    what=later("What damping or closing one part gains, given everything else that sounds."),
    fields=FIELDS,
    cautions=("X42",),
    reckon=reckon,
    standard="sum of squared pressures; Oberst; mass law (from memory)",
    example=("--level-db", "82.01", "--part-db", "79", "--loss-before", "0.005", "--loss-after",
             "0.05"),
)  # fmt: skip
