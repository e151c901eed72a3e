"""Winding: are its phases alike, and how warm did it get."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Listing, Reckoning
from retrue.cases.wake.degrees import unit_asked
from retrue.cases.wake.winding_warm import LINES, METAL, WARM_FIELDS, metal_c, warm
from retrue.science.winding import (
    GOOD_PERCENT,
    SUSPECT_PERCENT,
    Joined,
    at_temperature_ohm,
    largest_deviation_percent,
    phases_ohm,
    spread_percent,
)

REWINDERS = later("practice of rewinders (from memory, unverified)")
COMMON_C = 20.0
MOST_OFF_PERCENT = 10.0  # of what is printed: another motor, or another temperature (judgement)

FIELDS = (
    Field(id="ohm_12", name="lines 1 to 2", unit="ohm", help="Four wires, leads off the drive.",
          group=LINES),
    Field(id="ohm_23", name="lines 2 to 3", unit="ohm", help="Four wires.", group=LINES),
    Field(id="ohm_31", name="lines 3 to 1", unit="ohm", help="Four wires.", group=LINES),
    Field(id="joined", name="how it is joined", sort="choice",
          choices=(("star", "star"), ("delta", "delta"), ("unknown", "nobody knows")),
          default="unknown", help="In the terminal box, or on the plate.", group=LINES),
    Field(id="measured_c", name="temperature when measured", unit="°C", signed=True,
          help="A thermometer on the frame, after a night in one room.", group=LINES),
    Field(id="printed_ohm", name="printed, between two lines", unit="ohm",
          help="In the motor's document; often per phase: then half or 1.5 times of it.",
          group=LINES),
    Field(id="printed_c", name="temperature of the printed value", unit="°C", signed=True,
          default=COMMON_C, mark="common practice, no source", help="Beside it.", group=LINES),
    METAL,
    *WARM_FIELDS,
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Balance of the phases and temperature by resistance.

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
    >>> made = reckon(values_of(METHOD, {"cold_ohm": "80", "cold_c": "20", "warm_ohm": "100",
    ...     "warm_after_s": "20", "air_c": "20", "insulation_class": "F"}))
    >>> made.answer, [round(f.value, 3) for f in made.figures if f.key == "winding_c"]
    ('go', [83.625])
    """
    draft = Draft("winding", say("Winding"), FIELDS, values)
    three = [draft.said(f"ohm_{one}") for one in ("12", "23", "31")]
    told = []
    if any(one is not None for one in three):
        told.append(_balance(draft, asked=unit_asked(draft, "measured_c", "printed_c")))
    if draft.said("warm_ohm") is not None or draft.said("cooling"):
        told.append(warm(draft))
    if not told:
        draft.lack(say("nothing of the winding is known"),
                   say("Measure between all three lines, dead, its leads off the drive."),
                   "ohm_12")  # fmt: skip
    return draft.done(" ".join(str(one) for one in told if one))


def _balance(draft: Draft, *, asked: bool) -> str:
    three = [draft.wanted(f"ohm_{one}") for one in ("12", "23", "31")]
    if None in three:
        return ""
    spread = spread_percent(three)
    draft.figure("spread_percent", say("largest less smallest, over the mean"), spread, "%", 2,
                 REWINDERS)  # fmt: skip
    draft.figure("deviation_percent", say("largest difference from the mean"),
                 largest_deviation_percent(three), "%", 2, "by definition")  # fmt: skip
    _judge(draft, spread)
    if not asked:
        _phases(draft, three)
        _printed(draft, sum(three) / 3)
    return say("The phases are {spread} % apart.", spread=number(spread, 1))


def _judge(draft: Draft, spread: float) -> None:
    if spread > SUSPECT_PERCENT:
        draft.stop(
            say("the phases are {spread} % apart", spread=number(spread, 1)),
            say("Measure at the motor's own terminals: a bad joint, or turns that touch. Then a"
                " winder looks at it."),
            "ohm_12",
        )  # fmt: skip
    elif spread > GOOD_PERCENT:
        draft.lack(
            say("the phases are {spread} % apart, which may be the leads",
                spread=number(spread, 1)),
            say("Clean the terminals, measure again with four wires, all three at one"
                " temperature."),
            "ohm_12",
        )  # fmt: skip


def _phases(draft: Draft, three: list[float]) -> None:
    """Each phase by itself, at the temperature it was measured and at 20 degrees."""
    joined, at = draft.get("joined"), draft.said("measured_c")
    ways: tuple[Joined, ...] = ("star", "delta") if joined == "unknown" else (joined,)
    rows: list[tuple[str | float | None, ...]] = []
    for way in ways:
        try:
            each = phases_ohm(three[0], three[1], three[2], way)
            for place, ohm in enumerate(each, 1):
                common = None if at is None else at_temperature_ohm(
                    ohm, at, COMMON_C, metal_c=metal_c(draft)
                )  # fmt: skip
                rows.append((say("star") if way == "star" else say("delta"), place, ohm, common))
        except Unusable as refusal:
            draft.refused(refusal, "ohm_12")
            return
    draft.listings.append(
        Listing(
            title=say("Each phase"),
            columns=(say("joined"), say("phase"), say("ohm"), say("ohm at 20 °C")),
            rows=tuple(rows),
        )
    )


def _printed(draft: Draft, mean: float) -> None:
    printed = draft.said("printed_ohm")
    if printed is None:
        return
    at = draft.wanted("measured_c")
    if at is None:
        return
    try:
        there = at_temperature_ohm(mean, at, draft.get("printed_c"), metal_c=metal_c(draft))
    except Unusable as refusal:
        draft.refused(refusal, "measured_c")
        return
    off = 100.0 * (there - printed) / printed
    draft.figure("at_printed_ohm", say("mean, at the temperature of the printed value"), there,
                 "ohm", 3, "IEC 60034-1, copper k = 234.5 (from memory)")  # fmt: skip
    draft.figure("off_printed_percent", say("over what is printed"), off, "%", 1, "by definition")
    if abs(off) > MOST_OFF_PERCENT:
        draft.lack(
            say("it has {off} % of what is printed", off=number(100.0 + off)),
            say("Compare the plate: another motor or winding, one phase for two, or not cold."),
            "printed_ohm",
        )


METHOD = Method(
    id="winding",
    title=later("Winding"),
    what=later("Whether the phases of a winding are alike, and how warm it got by its ohms."),
    fields=FIELDS,
    cautions=("X02", "X03", "X04"),
    reckon=reckon,
    standard="IEC 60034-1, method of resistance",
    example=("--cold-ohm", "80", "--cold-c", "20", "--warm-ohm", "100", "--warm-after-s", "20",
             "--air-c", "20", "--insulation-class", "F"),
)  # fmt: skip
