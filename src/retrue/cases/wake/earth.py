"""Earth and control volts: bonds against their limit, leads taken off; volts against the plate."""

from __future__ import annotations

from retrue.base.formatter import number, short
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Listing, Reckoning
from retrue.cases.wake.pairs import named
from retrue.science.earth_bond import (
    BAND_PERCENT,
    LEAST_TEST_AMPERE,
    LIMIT_OHM,
    TEST_AMPERE,
    bond_ohm,
    conductor_ohm,
    deviation_percent,
    highest_limit_ohm,
    most_volts_at_ten_ampere,
    ripple_percent,
)

GOOD_PERCENT = 5.0  # control volts off by more are looked at (judgement, no source)
RIPPLE_GOOD, RIPPLE_MOST = 5.0, 10.0  # per cent (judgement); IEC 60204-1, 4.3.3, allows 15
JOINT_OHM = 0.05  # what joints may add to the copper before one is looked for (judgement)
CONTROL = later("IEC 60204-1:2016, 4.3: 0.9 to 1.1 of rated (from memory, unverified)")
BONDS, VOLTS = "protective conductors, dead", "control volts, from the electrician's sheet"

FIELDS = (
    Field(id="points", name="each metal part and what was read", sort="text",
          help="Part and ohm: frame 0.06; door 0.09; spindle motor 0.11.", group=BONDS),
    Field(id="read_ohm", name="or one reading alone", unit="ohm", zero=True,
          help="From the earth terminal of the plate to the part, dead.", group=BONDS),
    Field(id="leads_ohm", name="leads alone, clipped together", unit="ohm", zero=True,
          help="0 where the tester was zeroed with its leads.", group=BONDS),
    Field(id="test_ampere", name="test current", unit="A", default=TEST_AMPERE,
          mark="common practice, no source", help="On the tester.", group=BONDS),
    Field(id="limit_ohm", name="limit", unit="ohm", default=LIMIT_OHM,
          mark="common practice, no source",
          help="0.1 ohm; more only where the cross-section below explains it.",
          group=BONDS),
    Field(id="length_m", name="length of the conductor", unit="m", help="Along its way.",
          group=BONDS),
    Field(id="area_mm2", name="its cross-section", unit="mm2", help="Printed on it.", group=BONDS),
    Field(id="secondary_plate_volts", name="control transformer, plate", unit="V",
          help="Secondary volts on its plate.", group=VOLTS),
    Field(id="secondary_volts", name="control transformer, under load", unit="V",
          help="The electrician's reading.", group=VOLTS),
    Field(id="control_plate_volts", name="direct control volts, plate", unit="V",
          help="On the supply unit.", group=VOLTS),
    Field(id="control_volts", name="direct control volts, under load", unit="V",
          help="The electrician's reading.", group=VOLTS),
    Field(id="ripple_volts", name="ripple on them", unit="V", zero=True,
          help="The electrician's reading.", group=VOLTS),
    Field(id="ripple_read", name="ripple was read", sort="choice",
          choices=(("peak_to_peak", "peak to peak, on a screen"),
                   ("effective", "on the alternating range of a meter")),
          default="effective", mark="as a saw-tooth", help="Ask the electrician.",
          group=VOLTS),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Bonds against their limit and control volts against the plate.

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
    >>> made = reckon(values_of(METHOD, {"read_ohm": "0.145", "leads_ohm": "0.06"}))
    >>> made.answer, [round(f.value, 3) for f in made.figures if f.key == "worst_ohm"]
    ('go', [0.085])
    """
    draft = Draft("earth", say("Earth and control volts"), FIELDS, values)
    told = [_bonds(draft), _transformer(draft), _direct(draft)]
    if not (draft.figures or draft.against or draft.missing):
        draft.lack(say("no earth was measured"),
                   say("Measure from the plate's earth terminal to every metal part, dead."),
                   "points")  # fmt: skip
    return draft.done(" ".join(str(one) for one in told if one))


def _bonds(draft: Draft) -> str:
    rows: list[tuple[str, float]] = []
    try:
        if draft.said("points"):
            rows += named(draft.said("points"), field="points", what=say("part and ohm"),
                          unit="ohm")  # fmt: skip
    except Unusable as refusal:
        draft.lack(refusal.reason, refusal.remedy, "points")
    if draft.said("read_ohm") is not None:
        rows.append((say("the part"), draft.said("read_ohm")))
    if not rows:
        return ""
    leads = draft.wanted("leads_ohm")
    if leads is None:
        return ""
    limit, bonds = _limit(draft), []
    for part, read in rows:
        try:
            bonds.append((part, read, bond_ohm(read, leads)))
        except Unusable as refusal:
            draft.lack(f"{part}: {refusal.reason}", refusal.remedy, "leads_ohm")
    _listed(draft, bonds, limit)
    for part, _, ohm in bonds:
        if ohm > limit:
            draft.stop(
                say("{part} has {ohm} ohm to earth where {limit} are the limit",
                    part=part, ohm=number(ohm, 3), limit=number(limit, 2)),
                say("Locked off and proved dead: clean and tighten its joints, then measure"
                    " again."),
                "points",
            )  # fmt: skip
    _expected(draft, max((ohm for _, _, ohm in bonds), default=None))
    if not bonds:
        return ""
    worst = number(max(ohm for _, _, ohm in bonds), 3)
    if len(bonds) == 1:
        return say("One part measured: it has {ohm} ohm.", ohm=worst)
    return say("{count} parts measured, the worst has {ohm} ohm.", count=len(bonds), ohm=worst)


def _limit(draft: Draft) -> float:
    """What a bond is held to: what was asked for, as far as a conductor explains it."""
    asked: float = draft.get("limit_ohm")
    try:
        highest = highest_limit_ohm(draft.said("area_mm2"))
    except Unusable:  # told beside the conductor
        highest = LIMIT_OHM
    if asked > highest:
        draft.lack(
            say("a limit of {asked} ohm is out of reach: {highest} ohm is the highest",
                asked=number(asked, 2), highest=number(highest, 2)),
            say("Leave the limit at 0.1 ohm, or say how thin the smallest conductor is."),
            "limit_ohm",
        )  # fmt: skip
    return min(asked, highest)


def _listed(draft: Draft, bonds: list[tuple[str, float, float]], limit: float) -> None:
    ampere = draft.get("test_ampere")
    if ampere < LEAST_TEST_AMPERE:
        draft.lack(
            say("a test with {ampere} A says nothing of a bond", ampere=short(ampere)),
            say("Test with {least} A at the least, {typical} A where the tester can.",
                least=number(LEAST_TEST_AMPERE, 1), typical=number(TEST_AMPERE)),
            "test_ampere",
        )  # fmt: skip
    elif ampere < TEST_AMPERE:
        draft.notes.append(say("A test with {ampere} A passes joints that 10 A would show.",
                               ampere=number(ampere, 1)))  # fmt: skip
    if not bonds:
        return
    draft.figure("worst_ohm", say("worst bond, leads taken off"),
                 max(ohm for _, _, ohm in bonds), "ohm", 3, "by definition")  # fmt: skip
    draft.figure("limit_ohm", say("limit"), limit, "ohm", 2,
                 "common practice, no source")  # fmt: skip
    draft.listings.append(
        Listing(
            title=say("Bonds"),
            columns=(say("part"), say("read, ohm"), say("leads taken off, ohm"),
                     say("volts at 10 A")),
            rows=tuple((part, read, ohm, TEST_AMPERE * ohm) for part, read, ohm in bonds),
        )
    )  # fmt: skip


def _expected(draft: Draft, worst: float | None) -> None:
    length, area = draft.said("length_m"), draft.said("area_mm2")
    try:
        if area is not None:
            draft.figure("most_volts_at_10_a", say("most volts at 10 A for that conductor"),
                         most_volts_at_ten_ampere(area), "V", 1,
                         "IEC 60204-1:1997, table 9 (from memory, unverified)")  # fmt: skip
        if length is None or area is None:
            return
        copper = conductor_ohm(length, area)
    except Unusable as refusal:
        draft.refused(refusal, "area_mm2")
        return
    draft.figure("copper_ohm", say("the copper alone"), copper, "ohm", 3,
                 "IEC 60028, 1/58 ohm mm² a metre (from memory)")  # fmt: skip
    if worst is not None and worst > copper + JOINT_OHM:
        draft.notes.append(say("The copper alone has {copper} ohm: the rest is in its joints.",
                               copper=number(copper, 3)))  # fmt: skip


def _transformer(draft: Draft) -> str:
    plate, read = draft.said("secondary_plate_volts"), draft.said("secondary_volts")
    if read is None:
        return ""
    if plate is None:
        draft.wanted("secondary_plate_volts")
        return ""
    off = deviation_percent(read, plate)
    draft.figure("secondary_off_percent", say("control transformer, over its plate"), off, "%", 1,
                 CONTROL)  # fmt: skip
    _off(draft, say("control transformer"), off, "secondary_volts")
    return say("The control transformer is {off} % off its plate.", off=number(off, 1, signed=True))


def _direct(draft: Draft) -> str:
    plate, read = draft.said("control_plate_volts"), draft.said("control_volts")
    ripple = draft.said("ripple_volts")
    if read is None and ripple is None:
        return ""
    if plate is None:
        draft.wanted("control_plate_volts")
        return ""
    told = ""
    if read is not None:
        off = deviation_percent(read, plate)
        draft.figure("control_off_percent", say("direct control volts, over their plate"), off,
                     "%", 1, CONTROL)  # fmt: skip
        _off(draft, say("direct control supply"), off, "control_volts")
        told = say("The direct control volts are {off} % off.", off=number(off, 1, signed=True))
    if ripple is not None:
        _ripple(draft, ripple, plate)
    return told


def _off(draft: Draft, what: str, off: float, field: str) -> None:
    told = say("the {what} is {off} % off its plate", what=what, off=number(off, 1, signed=True))
    if abs(off) > BAND_PERCENT:
        draft.stop(told, say("The electrician looks at tap, load and supply first."), field)
    elif abs(off) > GOOD_PERCENT:
        draft.lack(told, say("Ask the electrician to compare tap and supply."), field)


def _ripple(draft: Draft, ripple: float, plate: float) -> None:
    effective = draft.get("ripple_read") == "effective"
    found = ripple_percent(ripple, plate, effective=effective)
    draft.figure("ripple_percent", say("ripple, peak to peak, of rated"), found, "%", 1,
                 "IEC 60204-1:2016, 4.3.3: up to 15 (from memory); 5, 10: judgement")  # fmt: skip
    told = say("the control volts ripple by {percent} %", percent=number(found, 1))
    if found > RIPPLE_MOST:
        draft.stop(told, say("A drying capacitor: the supply unit is replaced or repaired."),
                   "ripple_volts")  # fmt: skip
    elif found > RIPPLE_GOOD:
        draft.lack(told, say("Ask for a look at a screen, peak to peak, under load."),
                   "ripple_volts")  # fmt: skip


METHOD = Method(
    id="earth",
    title=later("Earth and control volts"),
    what=later("Each protective conductor against its limit, and control volts against the plate."),
    fields=FIELDS,
    cautions=("X02", "X03", "X22", "X05"),
    reckon=reckon,
    standard="IEC 60204-1:2016, 8.2, 18.2 and 4.3",
    example=("--points", "frame 0.06; door 0.09", "--leads-ohm", "0.02"),
)
