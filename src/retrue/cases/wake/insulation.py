"""Insulation: a reading at 40 degrees by both rules, against the least value of its winding."""

from __future__ import annotations

from typing import Any

from retrue.base.formatter import number, short
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Listing, Reckoning
from retrue.cases.wake.degrees import unit_asked
from retrue.science.absorption import (
    INDEX_MINIMUM,
    INDEX_UP_TO_MEGOHM,
    absorption_ratio,
    absorption_reading,
    index_means_nothing,
    index_minimum,
    polarization_index,
)
from retrue.science.damp import MARGIN_KELVIN, margin_kelvin
from retrue.science.insulation import (
    TEST_VOLTS,
    AtForty,
    by_both_rules,
    machine_minimum_megohm,
    minimum_megohm,
    proving_volts,
)

STANDARD = later("IEEE Std 43-2013, 6.3 and table 3 (from memory, unverified)")
MACHINE = later("IEC 60204-1:2016, 18.3 (from memory, unverified)")
OFF_MEGOHM = 1.0  # under it nothing is switched on (judgement; the machine's own least as well)
FREEZING_C, COLD_C = 0.0, 10.0  # under 10 °C the dew point has to be known (judgement)
LEAST_PERCENT = 1.0  # under it a share was typed: 0.85 for 85 %
READ, CLIMB, DAMP = "the reading", "how it climbed", "the air around it"

FIELDS = (
    Field(id="of", name="what was measured", sort="choice", default="winding",
          choices=(("winding", "a motor's winding to its frame"),
                   ("machine", "the power conductors of the whole machine to earth"),
                   ("bus_bars", "bus bars, conductor rails or slip rings to earth")),
          help="Say what the tester was clipped to.", group=READ),
    Field(id="apart", name="leads off the drive, encoder and brake unplugged", sort="flag",
          help="A reading through a drive is none, and may have ended the drive.", group=READ),
    Field(id="read_megohm", name="reading after one minute", unit="megohm",
          help="The tester's reading after one minute.", group=READ),
    Field(id="winding_c", name="temperature of the winding", unit="°C", signed=True,
          help="A thermometer on the frame, after a night in one room.", group=READ),
    Field(id="rated_volts", name="rated volts of the winding", unit="V",
          help="On the motor's plate.", group=READ),
    Field(id="winding", name="how it is wound", sort="choice", default="random",
          mark="as most motors of machine tools; from memory, unverified",
          choices=(("random", "at random"), ("form", "form-wound coils"),
                   ("armature", "armature of a direct-current motor"), ("field", "field winding")),
          help="Ask a winder where the plate says nothing.", group=READ),
    Field(id="material", name="its insulation", sort="choice", default="unknown",
          mark="the lower of both rules judges",
          choices=(("thermoplastic", "shellac or asphalt: before the early 1960s"),
                   ("thermosetting", "polyester or epoxy: since"), ("unknown", "nobody knows")),
          help="By the year of the winding, or of the last rewind.", group=READ),
    Field(id="wound_year", name="year of the winding", sort="whole",
          help="Of the motor, or of its last rewind.", group=READ),
    Field(id="edition", name="edition of the standard", sort="choice", default="2013",
          choices=(("2013", "2013: armatures 5 megohm"), ("2000", "2000: armatures 100 megohm")),
          help="The later one, unless a contract names the other.", group=READ),
    Field(id="tested_volts", name="test voltage", unit="V", help="As set on the tester.",
          group=READ),
    Field(id="old_varnish", name="old or brittle varnish", sort="flag",
          help="Look into the terminal box.", group=READ),
    Field(id="half_minute_megohm", name="reading after half a minute", unit="megohm",
          help="From the same test.", group=CLIMB),
    Field(id="ten_minutes_megohm", name="reading after ten minutes", unit="megohm",
          help="From the same test, voltage kept on.", group=CLIMB),
    Field(id="insulation_class", name="insulation class", sort="choice",
          choices=tuple((letter, letter) for letter in ("A", "E", "B", "F", "H")),
          help="A letter on the motor's plate.", group=CLIMB),
    Field(id="air_c", name="air", unit="°C", signed=True, help="Read a thermometer.", group=DAMP),
    Field(id="humidity_percent", name="damp", unit="%", help="Read a hygrometer; per cent.",
          group=DAMP),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """What a reading is worth.

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
    >>> made = reckon(values_of(METHOD, {"read_megohm": "200", "winding_c": "20",
    ...     "rated_volts": "400", "tested_volts": "500", "apart": "yes"}))
    >>> made.answer, [f.value for f in made.figures if f.key == "halved_megohm"]
    ('go', [50.0])
    """
    draft = Draft("insulation", say("Insulation"), FIELDS, values)
    _clipped(draft)
    read = draft.wanted("read_megohm")
    if draft.get("of") != "winding":
        return _machine(draft, read)
    asked = unit_asked(draft, "winding_c", "air_c", beside="air_c")
    least, judged = _least(draft), None if asked else _judged(draft, read)
    _volts(draft)
    _climb(draft, read)
    if not asked:
        _damp(draft)
    draft.notes.append(say(
        "Afterwards the winding is discharged, at least four times as long as it was tested, and"
        " measured dead before a hand touches it."
    ))  # fmt: skip
    if judged is None or least is None:
        return draft.done("")
    _against(draft, judged, least)
    told = say("{found} megohm at 40 °C where {least} are the least.",
               found=number(judged.judged_megohm, 1), least=number(least, 1))  # fmt: skip
    return draft.done(told)


def _clipped(draft: Draft) -> None:
    """Nothing electronic may have been on the leads."""
    apart = draft.wanted("apart")
    if apart is False:
        draft.stop(
            say("the test went through electronics"),
            say("Unplug drive, encoder and brake, test again, and have the drive looked at."),
            "apart",
        )


def _machine(draft: Draft, read: float | None) -> Reckoning:
    least = machine_minimum_megohm(bus_bars=draft.get("of") == "bus_bars")
    draft.figure("least_megohm", say("least of the whole machine, as read"), least, "megohm", 2,
                 MACHINE)  # fmt: skip
    tested = draft.wanted("tested_volts")
    if tested is not None and tested != TEST_VOLTS:
        draft.lack(say("it was tested with {tested} V", tested=number(tested)),
                   say("Test it again with {proving} V direct, electronics unplugged.",
                       proving=number(TEST_VOLTS)), "tested_volts")  # fmt: skip
    if read is None:
        return draft.done("")
    if read < least:
        draft.stop(
            say("{read} megohm where {least} are the least",
                read=number(read, 2), least=number(least, 2)),
            say("Do not switch on. Part the circuits until the low one is found; dry and clean."),
            "read_megohm",
        )  # fmt: skip
    return draft.done(say("{read} megohm where {least} are the least.", read=number(read, 2),
                          least=number(least, 2)))  # fmt: skip


def _least(draft: Draft) -> float | None:
    rated = draft.wanted("rated_volts")
    if rated is None:
        return None
    try:
        least = minimum_megohm(
            draft.get("winding"), rated, wound_year=draft.said("wound_year"),
            edition=int(draft.get("edition")),
        )  # fmt: skip
    except Unusable as refusal:
        if refusal.problems:
            draft.lack(refusal.reason, refusal.remedy, refusal.problems[0].where)
        else:
            draft.refused(refusal, "winding")
        return None
    draft.figure("least_megohm", say("least at 40 °C"), least, "megohm", 1, STANDARD)
    return least


def _judged(draft: Draft, read: float | None) -> AtForty | None:
    winding_c = draft.wanted("winding_c")
    if read is None or winding_c is None:
        return None
    try:
        found = by_both_rules(read, winding_c, draft.get("material"))
    except Unusable as refusal:
        draft.lack(refusal.reason, refusal.remedy, "winding_c")
        return None
    draft.figure("judged_megohm", say("at 40 °C, as judged"), found.judged_megohm, "megohm", 1,
                 STANDARD)  # fmt: skip
    draft.figure("halved_megohm", say("at 40 °C, halved for every 10 K"),
                 found.thermoplastic_megohm, "megohm", 1)  # fmt: skip
    draft.figure(
        "resin_megohm", say("at 40 °C by the rule for thermosetting"), found.thermosetting_megohm,
        "megohm", 1, why="" if found.thermosetting_megohm is not None
        else say("its rule holds from 10 to 85 °C"),
    )  # fmt: skip
    draft.listings.append(_both(found, read))
    return found


def _both(found: AtForty, read: float) -> Listing:
    rows: list[tuple[Any, ...]] = [
        (say("shellac or asphalt: halves every 10 K"), found.thermoplastic_megohm / read,
         found.thermoplastic_megohm),
    ]  # fmt: skip
    if found.thermosetting_megohm is not None:
        rows.append((say("polyester or epoxy"), found.thermosetting_megohm / read,
                     found.thermosetting_megohm))  # fmt: skip
    return Listing(
        title=say("The reading by both rules"),
        columns=(say("insulation"), say("times the reading"), say("megohm at 40 °C")),
        rows=tuple(rows),
    )


def _against(draft: Draft, found: AtForty, least: float) -> None:
    if found.judged_megohm >= least:
        _ten_minutes(draft, found, least)
        return
    off = found.judged_megohm < OFF_MEGOHM
    draft.stop(
        say("{found} megohm at 40 °C where {least} are the least",
            found=number(found.judged_megohm, 1), least=number(least, 1)),
        say("Do not switch it on. Dry and clean it, or a winder looks at it.") if off
        else say("Dry it warm for a day or two and read it again."),
        "read_megohm",
    )  # fmt: skip
    best = max(found.thermoplastic_megohm, found.thermosetting_megohm or 0.0)
    if draft.get("material") == "unknown" and best >= least:
        draft.notes.append(say(
            "By the other rule it has {best} megohm: find out when it was wound and with what.",
            best=number(best, 1),
        ))  # fmt: skip


def _ten_minutes(draft: Draft, found: AtForty, least: float) -> None:
    """A reading that ends under the least is under it, whatever it was after one minute."""
    ten, read = draft.said("ten_minutes_megohm"), draft.said("read_megohm")
    if ten is None or found.judged_megohm * ten / read >= least:
        return
    draft.stop(
        say("after ten minutes it has {found} megohm at 40 °C where {least} are the least",
            found=number(found.judged_megohm * ten / read, 1), least=number(least, 1)),
        say("Do not switch it on. Dry and clean it, or a winder looks at it."),
        "ten_minutes_megohm",
    )  # fmt: skip


def _volts(draft: Draft) -> None:
    rated, tested = draft.said("rated_volts"), draft.wanted("tested_volts")
    if rated is None:
        return
    try:
        proving = proving_volts(rated, old_varnish=bool(draft.said("old_varnish")))
    except Unusable as refusal:
        draft.refused(refusal, "rated_volts")
        return
    draft.figure("test_volts", say("test voltage, direct"), proving, "V", 0,
                 "IEEE Std 43-2013, table 1 (from memory, unverified)")  # fmt: skip
    if tested is not None and tested > proving:
        draft.notes.append(say("It was tested with {tested} V: next time {proving} V are enough.",
                               tested=number(tested), proving=number(proving)))  # fmt: skip
    if tested is not None and tested < proving:
        draft.lack(say("it was tested with {tested} V only", tested=number(tested)),
                   say("Test it again with {proving} V.", proving=number(proving)),
                   "tested_volts")  # fmt: skip


def _climb(draft: Draft, read: float | None) -> None:
    half, ten = draft.said("half_minute_megohm"), draft.said("ten_minutes_megohm")
    if read is None:
        return
    if half is not None:
        _absorbs(draft, absorption_ratio(half, read))
    if ten is None:
        return
    index = polarization_index(read, ten)
    draft.figure("index_ratio", say("ten minutes over one"), index, "", 2,
                 "IEEE Std 43-2000 (secondary source)")  # fmt: skip
    if index < 1.0 and ten <= INDEX_UP_TO_MEGOHM:
        draft.stop(say("it falls from one minute to ten"),
                   say("Damp, dirt or a fault: dry and clean it, then test it again."),
                   "ten_minutes_megohm")  # fmt: skip
        return
    why = index_means_nothing(read, draft.get("winding"))
    if why:
        draft.notes.append(
            say("Over 5 gigohm the climb judges nothing.") if why == "high"
            else say("In a small winding wound at random the climb is over within seconds or"
                     " minutes: it judges nothing.")
        )  # fmt: skip
        return
    letter = draft.wanted("insulation_class")
    if letter is None:
        return
    if letter not in INDEX_MINIMUM:
        draft.notes.append(say("No least climb is known for class {letter}.", letter=letter))
    elif index < index_minimum(letter):
        draft.stop(
            say("it climbs {index} times from one minute to ten where {least} are wanted",
                index=number(index, 2), least=number(index_minimum(letter), 1)),
            say("Dry and clean it, then read it again for ten minutes."),
            "ten_minutes_megohm",
        )  # fmt: skip


def _absorbs(draft: Draft, ratio: float) -> None:
    draft.figure("absorption_ratio", say("one minute over half a minute"), ratio, "", 2,
                 "handbooks of tester makers (from memory), not in IEEE Std 43")  # fmt: skip
    told = absorption_reading(ratio)
    if told == "falls":
        draft.stop(say("it falls while it is tested"),
                   say("Dry and clean it, then test it again."), "half_minute_megohm")  # fmt: skip
    elif told == "questionable":
        draft.notes.append(say("It hardly climbs from half a minute to one: damp or dirty."))


def _damp(draft: Draft) -> None:
    """Under the dew point a reading says how wet it is and nothing else."""
    air, damp, winding = (draft.said(one) for one in ("air_c", "humidity_percent", "winding_c"))
    if damp is not None and damp < LEAST_PERCENT:
        draft.lack(say("{damp} of what: per cent, or a share", damp=short(damp)),
                   say("Read the hygrometer in per cent: 85, where a share says 0.85."),
                   "humidity_percent")  # fmt: skip
        return
    if winding is None:
        return
    if winding <= FREEZING_C:
        draft.lack(say("the winding is at or under freezing: what is wet in it is ice"),
                   say("Ice does not show. Warm it over the room, then read it again."),
                   "winding_c")  # fmt: skip
        return
    if air is None or damp is None:
        if winding < COLD_C or (air is not None and winding < air):
            draft.lack(say("the winding is cold, and nobody knows whether over the dew point"),
                       say("Read a thermometer and a hygrometer beside it, then test it again."),
                       "air_c" if air is None else "humidity_percent")  # fmt: skip
        return
    try:
        over = margin_kelvin(winding, air, damp)
    except Unusable as refusal:
        draft.refused(refusal, "humidity_percent")
        return
    draft.figure("margin_kelvin", say("over the dew point"), over, "K", 1,
                 "IEEE Std 43-2013, 6.3: over the dew point (from memory)")  # fmt: skip
    if over < MARGIN_KELVIN:
        draft.lack(say("the winding is only {over} K over the dew point", over=number(over, 1)),
                   say("Warm it a few degrees over the room, then read it again."),
                   "winding_c")  # fmt: skip


METHOD = Method(
    id="insulation",
    title=later("Insulation"),
    what=later("What an insulation reading is worth at 40 °C, against the least of its winding."),
    fields=FIELDS,
    cautions=("X02", "X03", "X04"),
    reckon=reckon,
    standard="IEEE Std 43-2013; IEC 60204-1:2016, 18.3",
    example=("--read-megohm", "200", "--winding-c", "20", "--rated-volts", "400",
             "--tested-volts", "500", "--apart"),
)  # fmt: skip
