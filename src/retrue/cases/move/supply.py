"""Supply: what the machine draws, what feeds it, what must stand between for start and stop."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.move.supply_between import (
    converter,
    feed,
    frequency,
    on_converter,
    own_tap,
    own_volts,
)
from retrue.cases.move.supply_fields import FIELDS
from retrue.cases.move.supply_source import dip
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.supply import ROOT_3, line_current_ampere
from retrue.science.unbalance import (
    MOST_PERCENT,
    derating,
    largest_deviation_percent,
    negative_sequence_percent,
)

LINE = later("three-phase power (by definition)")
ROUNDED = 1e-9


def reckon(values: Values) -> Reckoning:
    """What the supply must give and what must stand between.

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
    >>> made = reckon(values_of(METHOD, {"plate_volts": "230", "plate_phases": "3",
    ...     "plate_kva": "10", "plate_hz": "50", "supply_volts": "230", "supply_phases": "1",
    ...     "supply_hz": "50", "earth": "tn_s", "largest_motor_kw": "7.5",
    ...     "supply_kva": "40"}))
    >>> made.answer, [one.key for one in made.needs]
    ('go', ['rotary_converter'])
    """
    draft = Draft("supply", say("Supply"), FIELDS, values)
    _earth(draft)
    tap = own_tap(draft)
    current = _current(draft, tap)
    yours = feed(draft, current, tap)
    converter(draft, current, yours)
    dip(draft)
    _connection(draft)
    _unbalance(draft)
    frequency(draft, tap)
    draft.notes.append(
        say("Phase rotation is proved by an electrician before the first motor, and again later.")
    )
    return draft.done(_headline(draft, current))


def _headline(draft: Draft, current: float | None) -> str:
    told = "" if current is None else number(current, 1)
    if not draft.needs:
        return say("It draws {ampere} A in each line; nothing stands between.", ampere=told)
    named = ", ".join(str(one.text) for one in draft.needs)
    keys = ("supply_line_ampere", "input_ampere")
    yours = next((one.value for one in draft.figures if one.key in keys), None)
    if yours is not None:
        return say("It draws {ampere} A in each line, your line carries {yours} A; "
                   "needed: {named}.", ampere=told, yours=number(yours, 1),
                   named=named)  # fmt: skip
    return say("It draws {ampere} A in each line; needed: {named}.", ampere=told, named=named)


def _earth(draft: Draft) -> None:
    earth = draft.said("earth")
    if earth in (None, "unknown"):
        draft.lack(
            say("the earth system is not known"),
            say("Ask the electrician or the grid company: it stands at the meter board."),
            "earth",
        )
    elif earth == "none":
        draft.stop(
            say("there is no protective earth"),
            say("An electrician makes and measures one before anything is connected."),
            "earth",
        )
    elif earth in ("corner_earthed", "high_leg"):
        draft.stop(
            say("on this earth system parts rated from line to earth can break"),
            say("An isolating transformer with its star point earthed, chosen by an electrician."),
            "earth",
        )
        draft.need("transformer", say("an isolating transformer"), "E44")
    elif earth == "it":
        draft.notes.append(
            say("IT supply: filters and drives must be made for it; ask by their own manuals.")
        )
    elif earth == "tt":
        draft.notes.append(
            say("TT supply: an earth-leakage breaker of the type its drives allow, and a rod "
                "that was measured; the electrician's choice.")
        )  # fmt: skip


def _current(draft: Draft, tap: float | None) -> float | None:
    """The current in each line at full load, at the volts of the tap that is used."""
    volts = own_volts(draft, tap)
    stamped, kva = draft.said("plate_ampere"), draft.said("plate_kva")
    if stamped is not None:
        return _stamped(draft, stamped, volts)
    if kva is None:
        draft.wanted("plate_kva")
        return None
    if volts is None:
        draft.wanted("plate_volts")
        return None
    try:
        current = line_current_ampere(kva, volts, phases=draft.get("plate_phases"))
    except Unusable as refusal:
        draft.lack(refusal.reason, refusal.remedy, "plate_kva")
        return None
    draft.figure("line_ampere", say("current in each line"), current, "A", 3, LINE)
    return current


def _stamped(draft: Draft, stamped: float, volts: float | None) -> float | None:
    """The amps of the plate, brought from its volts to those of the tap at the same power."""
    plate = draft.said("plate_volts")
    if plate is None and volts is not None:
        draft.wanted("plate_volts")  # amps without their volts say nothing of another tap
        return None
    if plate is None or volts is None or plate == volts:
        draft.figure("line_ampere", say("current in each line"), stamped, "A", 1, say("its plate"))
        return stamped
    current = stamped * float(plate) / volts
    draft.figure("line_ampere", say("current in each line"), current, "A", 1,
                 say("its plate; the same power at the tap's volts"))  # fmt: skip
    return current


def _asked_kva(draft: Draft) -> float | None:
    """What the plate asks; where it says both kVA and amps, the larger of the two."""
    asked: float | None = draft.said("plate_kva")
    ampere, volts = draft.said("plate_ampere"), draft.said("plate_volts")
    if ampere is None or volts is None:
        return asked
    by_ampere = float(ampere * volts / 1000.0 * (ROOT_3 if draft.get("plate_phases") == 3 else 1.0))
    return max(by_ampere, asked or 0.0)


def _connection(draft: Draft) -> None:
    """Whether the connection gives as much as is asked of it."""
    ours, asked = draft.said("supply_kva"), _asked_kva(draft)
    if ours is None:
        draft.lack(
            say("what your connection gives is not known"),
            say("Read the main fuses and the contract of the grid company."),
            "supply_kva",
        )
        return
    if asked is None:
        return
    made = on_converter(draft)
    if made:
        asked /= draft.get("converter_efficiency_share")
    if asked <= ours * (1.0 + ROUNDED):
        return
    told = {"asked": number(asked, 1), "ours": number(ours, 1)}
    draft.stop(
        say("the converter takes {asked} kVA, the connection gives {ours}", **told)
        if made
        else say("the plate asks {asked} kVA, the connection gives {ours}", **told),
        say("Ask the grid company for {asked} kVA, or limit what runs together.",
            asked=number(asked, 1)),
        "supply_kva",
    )  # fmt: skip


def _unbalance(draft: Draft) -> None:
    three = [draft.said(id) for id in ("volts_12", "volts_23", "volts_31")]
    if None in three:
        if draft.get("plate_phases") == 3:
            draft.notes.append(
                say("Unbalance is not known: an electrician measures the three voltages.")
            )
        return
    try:
        percent = largest_deviation_percent(three)
        negative = negative_sequence_percent(three)
    except Unusable as refusal:
        draft.refused(refusal, "volts_12")
        return
    draft.figure("unbalance_percent", say("unbalance, largest deviation"), percent, "%", 3,
                 "NEMA MG 1, 14.36 (from memory)")  # fmt: skip
    draft.figure("negative_sequence_percent", say("unbalance, negative sequence"), negative, "%", 3,
                 "IEC 61000-2-2 (from memory)")  # fmt: skip
    if percent > MOST_PERCENT:
        draft.stop(
            say("the lines differ by {percent} %", percent=number(percent, 1)),
            say("Over 5 % a motor is not run: the supply is put right by an electrician first."),
            "volts_12",
        )
        return
    draft.figure("derating_share", say("what is left of a motor's power"), derating(percent), "", 2,
                 "NEMA MG 1, figure 14-1 (secondary source)")  # fmt: skip


METHOD = Method(
    id="supply",
    title=later("Supply"),
    what=later("What a machine draws, and what must stand between for start and for stop."),
    fields=FIELDS,
    cautions=("X22", "X23", "X24", "X54"),
    reckon=reckon,
    standard="NEMA MG 1; NFPA 70; IEC 60364",
    example=("--plate-kva", "10", "--plate-volts", "230", "--supply-volts", "230",
             "--supply-phases", "3", "--supply-kva", "40", "--earth", "tn_s",
             "--plate-hz", "50", "--supply-hz", "50"),
)  # fmt: skip
