"""What a vibration must know beside its readings, as options of a command and fields of a form."""

from __future__ import annotations

from typing import Any

from retrue.base.say import say
from retrue.cases.prove.deed import Option
from retrue.cases.prove.vibration_read import UNITS


def _option(id: str, name: str, unit: str = "", help: str = "", **more: Any) -> Option:
    return Option(id=id, name=name, unit=unit, help=help, **more)


OPTIONS = (
    Option(id="unit", name=say("unit of the readings"), sort="choice", choices=UNITS,
           help=say("Where the column does not say it.")),
    _option("rate_hz", say("readings a second"), "Hz", say("Where there is no column time_s.")),
    Option(id="column", name=say("column"), sort="text", help=say("Where there are several.")),
    _option("full_scale", say("what full scale of a file of sound is"), "",
            say("In the unit that was said; else no velocity is told.")),
    Option(id="channel", name=say("channel"), sort="whole", help=say("Counted from 1.")),
    _option("speed_rpm", say("speed while it was recorded"), "rpm"),
    _option("low_hz", say("band from"), "Hz", default=10.0),
    _option("high_hz", say("band to"), "Hz", default=1000.0),
    _option("baseline_mm_s", say("own baseline"), "mm/s", say("The same place when it was well.")),
    _option("motor_kw", say("power of the motor"), "kW", say("To tell the class.")),
    Option(id="balls", name=say("balls of the bearing"), sort="whole"),
    _option("ball_mm", say("diameter of a ball"), "mm"),
    _option("pitch_mm", say("diameter of the circle of the balls"), "mm"),
    _option("angle_deg", say("contact angle"), "deg", default=0.0),
    _option("bore_mm", say("bore of the bearing"), "mm", say("Where ball and circle are unknown.")),
    _option("outside_mm", say("outside diameter of the bearing"), "mm"),
    _option("slip_share", say("how far lines may lie off"), "", default=0.03),
    _option("envelope_low_hz", say("band of the envelope from"), "Hz",
            say("Else the data choose it.")),
    _option("envelope_high_hz", say("band of the envelope to"), "Hz"),
    _option("pulley_rpm", say("speed of the pulley"), "rpm", say("Else that of the spindle.")),
    _option("belt_pulley_mm", say("pitch diameter of the pulley"), "mm"),
    _option("belt_length_mm", say("pitch length of the belt"), "mm"),
    _option("belt_slip_share", say("slip of the belt"), "", default=0.01),
    Option(id="teeth", name=say("teeth of the pulley"), sort="whole"),
    Option(id="belt_teeth", name=say("teeth of the belt"), sort="whole"),
    Option(id="nothing_else", name=say("nothing else turns"), sort="flag", default=False,
           help=say("No belt, no second shaft, no pump: else a part is named with an if.")),
    Option(id="others_rpm", name=say("what else turns"), unit="rpm", sort="text",
           help=say("Speeds of pumps, fans, other shafts, a blank between them.")),
    _option("mains_hz", say("mains"), "Hz", say("Where nobody says, 50 and 60 both may hum.")),
)  # fmt: skip
