"""Invented stages of first power."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from typing import Any

from retrue.paper.stage_sheet import BandRow, CautionRow, ClosedRow, ReadRow, StageSheet
from retrue.paper.watch_sheet import WatchLimit, WatchSheet, WatchStep

WHEN = datetime(2026, 11, 20, 19, 5, tzinfo=timezone(timedelta(hours=1)))
CAUTIONS = (
    CautionRow("Who stands at the main switch? Write the name.", "lone-work rules"),
    CautionRow("A bridged door switch is a stop for everything.", "local code"),
)
ABORT = "reset loop; parity; smell; control volts out of the band"
ON_ABORT = (
    "main switch off; nobody touches; dead and cold, measured; write the reading; cause found "
    "before any second try; a second abort at the same stage: strip"
)
LEAVE = "main switch off and locked with my own key; head propped; rags in the lidded tin, outside"


def stage(**more: Any) -> StageSheet:
    told: dict[str, Any] = {
        "stage": "P3-V", "title": "Control and screen, nothing that moves", "live": False,
        "energises": "control, panel, inputs; drives locked open; cabinet shut",
        "who": "competent", "alone_instead": "tags, photographs, cleaning",
        "does": "first thing if it starts: save the data and read them back; then every switch "
        "by hand, watch its lamp", "cautions": CAUTIONS,
        "closed": (
            ClosedRow(id="C36", text="Age of the memory cell read", how="look", when=WHEN,
                      reading="3.1 V", by="Ann"),
            ClosedRow(id="F97", text="Door switch bridged", how="cured", when=WHEN, by="Ann"),
            ClosedRow(id="C121", text="Stop chain proved dead", how="open"),
        ),
        "bands": (
            BandRow(words="control volts, DC", unit="V", expected_low=22.8, expected_high=25.2,
                    abort_low=21.6, abort_high=26.4, taken_by="competent",
                    mark="common practice, no source",
                    readings=(ReadRow(reading=24.1, ruling="in"),)),
            BandRow(words="cabinet rise", unit="K", expected_high=10, abort_high=15,
                    points=("top", "drives"), mark="from memory, unverified"),
            BandRow(words="control current", unit="A", lacks="rated current of the control",
                    mark="from memory, unverified"),
        ),
        "abort_limits": ABORT, "on_abort": ON_ABORT,
        "hands_back": "list of alarms, hour page, copy of the data with its check number",
        "leave_it": LEAVE, "machine": "bed-type vertical machining centre",
        "lot": "Ghent school lot", "at_switch": "Bea", "by_name": "Ann", "begun": WHEN,
        "address": "http://192.0.2.4:8000/lots/ghent/machines/mill/wake/P3-V", "by": "Ann",
        "version": "0.1.0",
    }  # fmt: skip
    return StageSheet(**(told | more))


def live(**more: Any) -> StageSheet:
    told: dict[str, Any] = {
        "stage": "P1-V", "title": "Supply proved at the main switch", "live": True,
        "energises": "main switch, line side", "who": "licensed electrician",
        "why": "Wrong volts, lost earth or wrong rotation kill the machine or you.",
        "does": "connect the meter and switch on", "licence": "B-1187",
        "bands": (
            BandRow(words="line volts", unit="V", expected_low=380, expected_high=420,
                    abort_low=360, abort_high=440, taken_by="electrician",
                    points=("L1 to L2", "L2 to L3", "L3 to L1")),
            BandRow(words="unbalance of the supply", unit="%", expected_high=1, abort_high=5),
        ),
        "abort_limits": "supply outside the band; earth over 0.1 ohm; rotation not proved",
        "hands_back": "line volts (three), unbalance, rotation, earth; date, name, licence",
    }  # fmt: skip
    return stage(**(told | more))


def watch(**more: Any) -> WatchSheet:
    shares = (5, 10, 20, 30, 45, 60, 75, 90, 100)
    minutes = (10, 20, 30, 30, 30, 30, 40, 40, 60)
    rises = (5, 8, 12, 15, 18, 20, 22, 25, 25)
    told: dict[str, Any] = {
        "what": "spindle", "stage": "P8-V", "cautions": CAUTIONS[:1],
        "steps": tuple(
            WatchStep(number=n, words=f"{share} % of the highest speed", minutes=length,
                      speed_rpm=80.0 * share, expected_rise_k=rise, abort_rise_k=rise + 3)
            for n, (share, length, rise) in enumerate(zip(shares, minutes, rises, strict=True), 1)
        ),
        "limits": (
            WatchLimit(name="nose", unit="C", expected_high=55, abort_high=60),
            WatchLimit(name="spindle current", unit="A", expected_low=0.9, expected_high=4.5,
                       abort_high=6.3),
            WatchLimit(name="pressure of the oil and air", unit="bar"),
        ),
        "stop_rules": "new growl; current up 10 points; trip at stop", "on_abort":
        "stop; door stays shut till it stands; cool to within 5 K of the room; start again two "
        "steps lower; second abort: strip", "room_c": 18.5, "at_switch": "Bea", "by_name": "Ann",
        "machine": "bed-type vertical machining centre", "lot": "Ghent school lot", "by": "Ann",
        "version": "0.1.0",
    }  # fmt: skip
    return WatchSheet(**(told | more))
