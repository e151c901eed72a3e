"""Bus of a drive: its volts against the plate, what it stores, whether its capacitors slept."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.wake.capacitors import REST_FIELDS, capacitors
from retrue.science.bus import (
    RESIDUAL_S,
    RESIDUAL_VOLTS,
    TOUCH_VOLTS,
    energy_joule,
    precharge,
    rectified,
    residual,
)

LOW_SHARE, HIGH_SHARE, MOST_SHARE = 0.95, 1.05, 1.10  # judgement, no source
OVER_SHARE = 1.10  # a supply may be that much over its rated volts (NEMA MG 1, IEC 60038)
BRIDGE = later("bridge rectifier (by definition); 5 and 10 % are judgement")
FEED, STORE = "what feeds it", "what it stores"

FIELDS = (
    Field(id="line_volts", name="volts between lines at the drive", unit="V",
          help="Behind the transformer: the electrician's reading.", group=FEED),
    Field(id="line_phases", name="phases at the drive", sort="whole", default=3,
          help="On the drive's plate.", group=FEED),
    Field(id="feeds_back", name="it feeds energy back to the line", sort="flag", default=False,
          help="A supply unit that feeds back holds a bus of its own, over the rectifier's.",
          group=FEED),
    Field(id="bus_plate_volts", name="bus volts on the drive's plate", unit="V",
          help="On the drive or in its document.", group=FEED),
    Field(id="bus_volts", name="bus volts as measured", unit="V", zero=True,
          help="The specialist's reading, from his sheet.", group=FEED),
    Field(id="capacity_uf", name="capacity, all together, microfarad",
          help="Printed on the capacitors; those in parallel are added.", group=STORE),
    Field(id="capacitor_volts", name="rated volts of the bank", unit="V",
          help="Printed; two in series stand twice as much.", group=STORE),
    Field(id="precharge_ohm", name="resistor that fills it", unit="ohm",
          help="In the drive's document.", group=STORE),
    Field(id="bleeder_ohm", name="resistor that empties it", unit="ohm",
          help="In the drive's document.", group=STORE),
    *REST_FIELDS,
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """What a bus should have, stores and asks for.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said.

    Returns
    -------
    Reckoning
        Never a time after which it may be touched: the meter decides.

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"line_volts": "400", "capacity_uf": "2000",
    ...     "precharge_ohm": "100", "idle_months": "6"}))
    >>> made.answer, [round(f.value, 2) for f in made.figures if f.key == "peak_volts"]
    ('go', [565.69])
    """
    draft = Draft("bus", say("Bus of a drive"), FIELDS, values)
    volts = _volts(draft)
    if volts is not None:
        _stored(draft, volts)
    capacitors(draft)
    draft.notes.append(say(
        "Dead is under {volts} V direct, measured at the bus by a competent person with a meter"
        " proved before and after. No time on this page says so.", volts=number(TOUCH_VOLTS),
    ))  # fmt: skip
    if volts is None:
        return draft.done("")
    return draft.done(say("The bus fills to {volts} V with no load.", volts=number(volts)))


def _volts(draft: Draft) -> float | None:
    """The highest volts it holds; its band beside them."""
    if draft.get("feeds_back"):
        volts = draft.wanted("bus_plate_volts")
        if volts is None:
            return None
        low, high, most = LOW_SHARE * volts, HIGH_SHARE * volts, MOST_SHARE * volts
        peak = float(volts)
    else:
        line = draft.wanted("line_volts")
        if line is None:
            return None
        try:
            found = rectified(line, phases=draft.get("line_phases"))
        except Unusable as refusal:
            draft.refused(refusal, "line_phases")
            return None
        draft.figure("mean_volts", say("loaded"), found.mean_volts, "V", 0, BRIDGE)
        low, peak = LOW_SHARE * found.mean_volts, found.peak_volts
        high, most = HIGH_SHARE * peak, MOST_SHARE * peak
    draft.figure("peak_volts", say("with no load"), peak, "V", 0, BRIDGE)
    draft.figure("low_volts", say("expected from"), low, "V", 0, BRIDGE)
    draft.figure("high_volts", say("expected to"), high, "V", 0, BRIDGE)
    draft.figure("most_volts", say("stop over"), most, "V", 0, BRIDGE)
    _band(draft, low, high, most)
    _rated(draft, peak)
    return peak


def _band(draft: Draft, low: float, high: float, most: float) -> None:
    measured, plate = draft.said("bus_volts"), draft.said("bus_plate_volts")
    if measured is not None and measured > most:
        draft.stop(say("the bus has {volts} V where {most} V are the most",
                       volts=number(measured), most=number(most)),
                   say("The drive specialist looks at supply and tap before anything else."),
                   "bus_volts")  # fmt: skip
    elif measured is not None and not low <= measured <= high:
        draft.lack(say("the bus has {volts} V where {low} to {high} V are expected",
                       volts=number(measured), low=number(low), high=number(high)),
                   say("Ask the drive specialist to compare line, tap and rectifier."),
                   "bus_volts")  # fmt: skip
    if plate is not None and not low <= plate <= most:
        draft.stop(say("the drive's plate says {plate} V: this supply makes {low} to {high} V",
                       plate=number(plate), low=number(low), high=number(high)),
                   say("Wrong tap or wrong drive: the electrician proves the tap first."),
                   "bus_plate_volts")  # fmt: skip


def _rated(draft: Draft, peak: float) -> None:
    """The bank against the higher of what the supply makes and what was read, 10 % high."""
    bank = draft.said("capacitor_volts")
    volts = OVER_SHARE * max(peak, draft.said("bus_volts") or 0.0)
    if bank is not None and bank < volts:
        draft.stop(
            say("the bank is made for {bank} V and a supply 10 % high makes {volts} V",
                bank=number(bank), volts=number(volts)),
            say("Read the capacitors again, and how many stand in series."),
            "capacitor_volts",
        )  # fmt: skip


def _stored(draft: Draft, volts: float) -> None:
    capacity = draft.said("capacity_uf")
    if capacity is None:
        return
    draft.figure("stored_joule", say("stored when full"), energy_joule(capacity, volts), "J", 0,
                 "by definition")  # fmt: skip
    fills = draft.said("precharge_ohm")
    if fills is not None:
        found = precharge(capacity, fills, volts)
        draft.figure("precharge_ampere", say("first current into it"), found.peak_ampere, "A", 2,
                     "by definition")  # fmt: skip
        draft.figure("precharge_s", say("full after, five time constants"), found.filled_s, "s", 2,
                     "by definition")  # fmt: skip
        draft.figure("precharge_joule", say("burnt in the resistor each time"),
                     found.resistor_joule, "J", 0, "by definition")  # fmt: skip
    empties = draft.said("bleeder_ohm")
    if empties is not None and volts > RESIDUAL_VOLTS:
        _empties(draft, capacity, empties, volts)


def _empties(draft: Draft, capacity: float, empties: float, volts: float) -> None:
    """Judge the design, never give leave to touch."""
    found = residual(capacity, empties, volts)
    draft.figure(
        "falls_to_60_s", say("its resistor, if whole, would take it to 60 V in; no leave to touch"),
        found.falls_s, "s", 0, "IEC 60204-1:2016, 6.2.4 (secondary source)",
    )  # fmt: skip
    if found.exempt:
        draft.notes.append(say("At 60 microcoulomb or less the rule of {s} s leaves it out.",
                               s=number(RESIDUAL_S)))  # fmt: skip
    elif not found.kept:
        draft.notes.append(say(
            "It does not fall to {volts} V within {s} s of switching off: the enclosure wants its"
            " warning label, and the resistor may be open as well.",
            volts=number(RESIDUAL_VOLTS), s=number(RESIDUAL_S),
        ))  # fmt: skip
    else:
        draft.notes.append(say(
            "By its numbers it falls to {volts} V within {s} s, if the resistor is whole and"
            " nothing else feeds the bus: nobody knows that without a meter.",
            volts=number(RESIDUAL_VOLTS), s=number(RESIDUAL_S),
        ))  # fmt: skip


METHOD = Method(
    id="bus",
    title=later("Bus of a drive"),
    what=later("What a drive's bus should have and stores, and what a long rest asks for."),
    fields=FIELDS,
    cautions=("X03", "X05", "X28"),
    reckon=reckon,
    standard="IEC 60204-1:2016, 6.2.4",
    example=("--line-volts", "400", "--capacity-uf", "2000", "--precharge-ohm", "100",
             "--bleeder-ohm", "47 kohm", "--idle-months", "6"),
)  # fmt: skip
