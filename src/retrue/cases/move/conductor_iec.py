"""A line by the international way: load, device and conductor fit each other; faults go off."""

from __future__ import annotations

import math

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.science.protection_iec import (
    disconnection_s,
    fault_loop,
    least_area_mm2,
    magnetic_ampere,
    next_device_ampere,
    overload,
)
from retrue.science.wire_metric import SIZES_MM2, metric_carries

CARRIES = later("IEC 60364-5-52:2009, tables B.52 (from memory, unverified)")
FITS = later("IEC 60364-4-43:2008, 433.1 (from memory)")
SHOCK = later("IEC 60364-4-41:2005, 411.4.4 (from memory)")
HEAT = later("IEC 60364-4-43:2008, 434.5.2 (from memory)")


def by_iec(draft: Draft) -> float | None:
    """Device and conductor for a current, and what was chosen held against them.

    Parameters
    ----------
    draft : Draft

    Returns
    -------
    float or None
        The current by which the drop is reckoned, ampere.

    Examples
    --------
    >>> from retrue.cases.move.conductor import METHOD
    >>> from retrue.cases.reckon.method import values_of
    >>> typed = {"line_ampere": "29"}
    >>> draft = Draft("conductor", "", METHOD.fields, values_of(METHOD, typed))
    >>> by_iec(draft), [f.value for f in draft.figures if f.key == "size_least_mm2"]
    (29.0, [6.0])
    """
    current: float | None = draft.wanted("line_ampere")
    if current is None:
        return None
    device = _device(draft, current)
    if device is None:
        return current
    _size(draft, current, device)
    _loop(draft, device)
    _heat(draft)
    return current


def _device(draft: Draft, current: float) -> float | None:
    given: float | None = draft.said("device_ampere")
    if given is not None:
        return given
    try:
        device = float(next_device_ampere(current))
    except Unusable as refusal:
        draft.lack(refusal.reason, refusal.remedy, "line_ampere")
        return None
    draft.figure("device_standard_ampere", say("breaker, next standard size"), device, "A", 0,
                 "IEC 60898-1 (from memory)")  # fmt: skip
    return device


def _carries(draft: Draft, size: float) -> float:
    said = draft.said("carries_said_ampere")
    if said is not None and size == draft.said("size_mm2"):
        return float(said)
    return metric_carries(
        size, insulation=draft.get("insulation"), method=draft.get("laid").upper(),
        ambient_c=draft.get("ambient_c"),
        circuits=max(1, math.ceil(draft.get("conductors") / 3)),  # one begun is a circuit
    ).ampere  # fmt: skip


def _size(draft: Draft, current: float, device: float) -> None:
    try:
        _carries(draft, SIZES_MM2[0])
    except Unusable as refusal:
        draft.refused(refusal, "ambient_c")
        return
    fitting = [
        size for size in SIZES_MM2 if overload(current, device, _carries(draft, size)).protects
    ]
    size = draft.said("size_mm2")
    if size is None:
        if not fitting:
            draft.stop(say("no copper of the table fits this device"),
                       say("Ask a licensed electrician: conductors in parallel, or two lines."),
                       "line_ampere")  # fmt: skip
            return
        size = fitting[0]
        draft.figure("size_least_mm2", say("least copper"), size, "mm²", 1, CARRIES)
    try:
        carries = _carries(draft, size)
    except Unusable as refusal:
        draft.refused(refusal, "size_mm2")
        return
    draft.figure("carries_ampere", say("that size carries here"), carries, "A", 1, CARRIES)
    found = overload(current, device, carries)
    draft.figure("load_share", say("load over device"), found.load_share, "", 2, FITS)
    draft.figure("rating_share", say("device over conductor"), found.rating_share, "", 2, FITS)
    if not found.protects:
        least = f"{fitting[0]:g}" if fitting else "-"
        draft.stop(
            say("load {load} A, device {device} A and conductor {carries} A do not fit in that "
                "order", load=number(current, 1), device=number(device),
                carries=number(carries, 1)),
            say("Load, then device, then conductor, each not under the one before: {size} mm².",
                size=least),
            "size_mm2" if found.rating_share > 1 else "device_ampere",
        )  # fmt: skip


def _loop(draft: Draft, device: float) -> None:
    """Whether a fault to earth goes off by itself in time."""
    measured = draft.said("loop_ohm")
    trip = magnetic_ampere(device, str(draft.get("trip")).upper())
    volts = draft.get("earth_volts")
    if measured is None:
        draft.figure("loop_most_ohm", say("most of the fault loop, measured cold"),
                     fault_loop(volts, trip, 1.0).most_cold_ohm, "ohm", 3, SHOCK)  # fmt: skip
        draft.notes.append(
            say("An electrician measures the fault loop at the machine before first power.")
        )
        return
    found = fault_loop(volts, trip, measured)
    draft.figure("loop_most_ohm", say("most of the fault loop, measured cold"),
                 found.most_cold_ohm, "ohm", 3, SHOCK)  # fmt: skip
    draft.figure("fault_ampere", say("a fault to earth draws"), found.fault_ampere, "A", 0, SHOCK)
    draft.figure("off_within_s", say("and must be off within"), disconnection_s(volts), "s", 1,
                 "IEC 60364-4-41:2005, table 41.1 (from memory)")  # fmt: skip
    if not found.disconnects:
        draft.stop(
            say("the fault loop of {measured} ohm is over {most}", measured=number(measured, 2),
                most=number(found.most_cold_ohm, 2)),
            say("A thicker earth, a shorter line, another curve or a residual-current device: "
                "the electrician's choice."),
            "loop_ohm",
        )  # fmt: skip


def _heat(draft: Draft) -> None:
    """Whether the copper bears a short circuit until it is off."""
    fault, seconds, size = (draft.said(id) for id in ("prospective_ka", "clears_s", "size_mm2"))
    if fault is None or seconds is None:
        return
    try:
        least = least_area_mm2(1000.0 * fault, seconds, draft.get("insulation"))
    except Unusable as refusal:
        draft.refused(refusal, "clears_s")
        return
    draft.figure("heat_least_mm2", say("least copper that bears a short circuit"), least, "mm²", 1,
                 HEAT)  # fmt: skip
    if size is not None and size < least:
        draft.stop(
            say("{size} mm² does not bear the short circuit", size=number(size, 1)),
            say("{least} mm² or more, or a device that clears it faster.",
                least=number(least, 1)),
            "size_mm2",
        )  # fmt: skip
