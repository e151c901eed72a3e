"""An overload relay: its setting by the plate, where it holds and trips, whether the motor starts.

Who tests a relay with current is a qualified person; only his seconds are asked here.
"""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field
from retrue.science.overload import (
    CLASS_TIMES,
    holds_and_trips_ampere,
    setting_ampere,
    trips_after_s,
)
from retrue.science.protection import TRIP_S, in_trip_class, trip_class

LIMITS = later("IEC 60947-4-1, limits of operation (from memory, unverified)")
CLASSES = later("IEC 60947-4-1, trip classes (from memory, unverified)")
NUISANCE_SHARE = 0.2  # under its plate by more: it trips before full load (judgement)
OFF_SHARE = 0.05  # a setting may be off its plate by that much, which a dial hardly shows
RELAY, START, TESTED = "the overload relay", "how it starts", "from the tester's sheet"

RELAY_FIELDS = (
    Field(id="set_ampere", name="setting of the relay", unit="A",
          help="On its dial. Over a fifth under the plate is out: it trips before full load.",
          group=RELAY),
    Field(id="relay_low_ampere", name="its range from", unit="A", help="Printed on it.",
          group=RELAY),
    Field(id="relay_high_ampere", name="its range to", unit="A", help="Printed on it.",
          group=RELAY),
    Field(id="inside_delta", name="it sits inside the delta, not in the line", sort="flag",
          default=False, help="In star-delta starters: follow the wires, dead.", group=RELAY),
    Field(id="trip_class", name="trip class", sort="choice",
          choices=tuple((name, name) for name in TRIP_S), help="Printed on it.", group=RELAY),
    Field(id="start_s", name="time to run up", unit="s", help="By a watch, at its last starts.",
          group=START),
    Field(id="start_times", name="current while it runs up, in times of its plate", default=7.2,
          mark="the current of the classes", help="On the plate or in its document.",
          group=START),
    Field(id="tested_s", name="time to trip from cold", unit="s",
          help="At 7.2 times its setting, by a qualified person.", group=TESTED),
)  # fmt: skip


def relay(draft: Draft, plate_ampere: float) -> None:
    """Judge the relay of a motor.

    Parameters
    ----------
    draft : Draft
        Gets figures, what stands against it and what is lacking.
    plate_ampere : float
        Of the motor.

    Examples
    --------
    >>> from retrue.cases.wake.overload import FIELDS
    >>> draft = Draft("overload", "Overload", FIELDS, {"set_ampere": 12.0})
    >>> relay(draft, 10.0)
    >>> [one.field for one in draft.against]
    ['set_ampere']
    """
    setting = setting_ampere(plate_ampere, inside_delta=draft.get("inside_delta"))
    holds, trips = holds_and_trips_ampere(setting)
    draft.figure("setting_ampere", say("set the relay to"), setting, "A", 2,
                 "the motor's plate (IEC 60947-4-1, from memory)")  # fmt: skip
    draft.figure("holds_ampere", say("holds for 2 h"), holds, "A", 2, LIMITS)
    draft.figure("trips_ampere", say("trips within 2 h"), trips, "A", 2, LIMITS)
    _set(draft, setting)
    _starts(draft)
    _tested(draft)


def _set(draft: Draft, setting: float) -> None:
    told, wanted = draft.said("set_ampere"), number(setting, 2)
    low, high = draft.said("relay_low_ampere"), draft.said("relay_high_ampere")
    if told is not None and told > setting * (1 + OFF_SHARE):
        draft.stop(say("the relay is set to {told} A and the plate asks {wanted}",
                       told=number(told, 2), wanted=wanted),
                   say("Set it to {wanted} A, locked off. If it then trips, the motor is looked"
                       " at, not the relay turned up.", wanted=wanted), "set_ampere")  # fmt: skip
    elif told is not None and told < setting * (1 - NUISANCE_SHARE):
        draft.stop(say("the relay is set to {told} A, far under the {wanted} that the plate asks",
                       told=number(told, 2), wanted=wanted),
                   say("It trips before full load. Look whether it is this motor's, and whether it"
                       " sits inside the delta; then set it to {wanted} A, locked off.",
                       wanted=wanted), "set_ampere")  # fmt: skip
    elif told is not None and told < setting * (1 - OFF_SHARE):
        draft.notes.append(say("It is set under the plate: it may trip before full load."))
    if (low is not None and setting < low) or (high is not None and setting > high):
        draft.stop(say("the relay's range does not hold {wanted} A", wanted=wanted),
                   say("Fit one whose range does."), "relay_low_ampere")  # fmt: skip


def _starts(draft: Draft) -> None:
    name, start = draft.said("trip_class"), draft.said("start_s")
    times = draft.get("start_times")
    if name is None and start is None:
        return
    if name is None or start is None:
        _window(draft, name, start, times)
        return
    soonest = _window(draft, name, start, times)
    if soonest is not None and start >= soonest:
        draft.stop(
            say("it runs up in {start} s and the relay may trip after {soonest} s",
                start=number(start, 1), soonest=number(soonest, 1)),
            say("A slower class that its cable and fuses allow, or find out why it starts so"
                " slowly."),
            "trip_class",
        )  # fmt: skip


def _window(draft: Draft, name: str | None, start: float | None, times: float) -> float | None:
    try:
        if start is not None:
            least = trip_class(start * (times / CLASS_TIMES) ** 2)
            draft.notes.append(say("It starts with class {name}.", name=least))
        if name is None:
            return None
        soonest, latest = trips_after_s(name, times)
    except Unusable as refusal:
        draft.refused(refusal, "start_s" if start is not None else "start_times")
        return None
    draft.figure("soonest_s", say("trips from cold, at that current, not before"), soonest, "s", 1,
                 CLASSES)  # fmt: skip
    draft.figure("latest_s", say("and not after"), latest, "s", 1, CLASSES)
    return soonest


def _tested(draft: Draft) -> None:
    tested = draft.said("tested_s")
    if tested is None:
        return
    name = draft.said("trip_class")
    if name is None and not any(one.field == "trip_class" for one in draft.missing):
        draft.wanted("trip_class")
    if name is not None and not in_trip_class(tested, name):
        draft.stop(say("it tripped after {tested} s, outside class {name}",
                       tested=number(tested, 1), name=name),
                   say("Replace the relay."), "tested_s")  # fmt: skip
