"""What a vibration must know beside its readings, as options of a command and fields of a form."""

from __future__ import annotations

from typing import Any

from retrue.base.say import later
from retrue.cases.prove.deed import Option
from retrue.cases.prove.vibration_read import UNITS


def _option(id: str, name: str, unit: str = "", help: str = "", **more: Any) -> Option:
    return Option(id=id, name=name, unit=unit, help=help, **more)


OPTIONS = (
    Option(id="unit", name=later("unit of the readings"), sort="choice", choices=UNITS,
           help=later("Where the column does not say it.")),
    _option("rate_hz", later("readings a second"), "Hz", later("Where there is no column time_s.")),
    Option(id="column", name=later("column"), sort="text", help=later("Where there are several.")),
    _option("full_scale", later("what full scale of a file of sound is"), "",
            later("In the unit that was said; else no velocity is told.")),
    Option(id="channel", name=later("channel"), sort="whole", help=later("Counted from 1.")),
    _option("speed_rpm", later("speed while it was recorded"), "rpm"),
    _option("low_hz", later("band from"), "Hz", default=10.0),
    _option("high_hz", later("band to"), "Hz", default=1000.0),
    _option("baseline_mm_s", later("own baseline"), "mm/s",
            later("The same place when it was well.")),
    _option("motor_kw", later("power of the motor"), "kW", later("To tell the class.")),
    Option(id="balls", name=later("balls of the bearing"), sort="whole"),
    _option("ball_mm", later("diameter of a ball"), "mm"),
    _option("pitch_mm", later("diameter of the circle of the balls"), "mm"),
    _option("angle_deg", later("contact angle"), "deg", default=0.0),
    _option("bore_mm", later("bore of the bearing"), "mm",
            later("Where ball and circle are unknown.")),
    _option("outside_mm", later("outside diameter of the bearing"), "mm"),
    _option("slip_share", later("how far lines may lie off"), "", default=0.03),
    _option("envelope_low_hz", later("band of the envelope from"), "Hz",
            later("Else the data choose it.")),
    _option("envelope_high_hz", later("band of the envelope to"), "Hz"),
    _option("pulley_rpm", later("speed of the pulley"), "rpm", later("Else that of the spindle.")),
    _option("belt_pulley_mm", later("pitch diameter of the pulley"), "mm"),
    _option("belt_length_mm", later("pitch length of the belt"), "mm"),
    _option("belt_slip_share", later("slip of the belt"), "", default=0.01),
    Option(id="teeth", name=later("teeth of the pulley"), sort="whole"),
    Option(id="belt_teeth", name=later("teeth of the belt"), sort="whole"),
    Option(id="nothing_else", name=later("nothing else turns"), sort="flag", default=False,
           help=later("No belt, no second shaft, no pump: else a part is named with an if.")),
    Option(id="others_rpm", name=later("what else turns"), unit="rpm", sort="text",
           help=later("Speeds of pumps, fans, other shafts, a blank between them.")),
    _option("mains_hz", later("mains"), "Hz", later("Where nobody says, 50 and 60 both may hum.")),
)  # fmt: skip
