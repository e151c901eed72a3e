"""Which plate entries, and which fields of other calculators, say what a part must be like."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What fills the fields of one sort of part.

    Attributes
    ----------
    stamped : mapping of str to tuple of str
        Plate entry to fields.
    fixed : mapping of str to tuple
        Plate entry to a field and what follows for it from there being such an entry at all.
    typed : mapping of str to mapping
        Another calculator to its field to the field here.
    """

    stamped: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    fixed: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    typed: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


PART = "part"  # the field that says which of several the part belongs to
_AXIS = {
    "cycle": "cycle", "speed_rpm": "speed_rpm", "moved_kg": "moved_kg", "pitch_mm": "pitch_mm",
    "pulley_mm": "pulley_mm", "screw_diameter_mm": "screw_diameter_mm",
    "screw_length_mm": "screw_length_mm", "gear_turns": "gear_turns", "bus_volts": "bus_volts",
    "drive_continuous_ampere": "drive_continuous_ampere", "drive_peak_ampere": "drive_peak_ampere",
    "continuous_nm": "need_standstill_nm", "motor_poles": "need_poles",
    "motor_feedback_volts": "need_feedback_volts", "motor_brake": "need_brake",
    "motor_brake_volts": "need_brake_volts", "motor_thermal": "need_thermal",
    "ratio_easy": "ratio_easy", "ratio_most": "ratio_most",
}  # fmt: skip
_OF_DRIVE = {
    "speed_rpm": "speed_rpm", "volts_per_krpm": "volts_per_krpm",
    "motor_peak_ampere": "need_limit_ampere", "motor_feedback_volts": "need_feedback_volts",
    "motor_brake_volts": "need_brake_volts", "motor_thermal": "need_thermal",
}  # fmt: skip
# calculator -> part ("" where it has none) -> what fills it
SAID: Mapping[str, Mapping[str, Said]] = {
    "motor": {
        "spindle": Said(stamped={"N15": ("need_kw",), "N16": ("need_ampere",),
                                 "N17": ("need_volts",), "N18": ("need_most_rpm",),
                                 "N19": ("need_insulation_class",), "N27": ("bus_volts",)}),
        "axis": Said(stamped={"N31": ("need_brake_volts",)}, fixed={"N31": ("need_brake", "yes")},
                     typed={"matching": _AXIS}),
        "pump": Said(stamped={"N04": ("need_volts",), "N06": ("need_hz",),
                              "N46": ("need_ampere",)}),
    },
    "drive": {
        "spindle": Said(stamped={"N16": ("need_ampere",), "N18": ("speed_rpm",),
                                 "N26": ("need_firmware",), "N10": ("need_short_circuit_ka",)}),
        "axis": Said(stamped={"N31": ("need_brake_volts",), "N29": ("need_firmware",),
                              "N10": ("need_short_circuit_ka",)}, typed={"matching": _OF_DRIVE}),
    },
    "contactor": {"": Said(stamped={"N04": ("need_volts",), "N13": ("need_coil_volts",)},
                           fixed={"N13": ("need_coil_kind", "ac")},
                           typed={"overload": {"load_ampere": "need_ampere",
                                               "category": "category"}})},
    "relay": {"": Said(stamped={"N14": ("need_coil_volts",)},
                       fixed={"N14": ("need_coil_kind", "dc")})},
    "match_overload": {"": Said(stamped={"N46": ("need_ampere",)},
                                typed={"overload": {"load_ampere": "need_ampere",
                                                    "trip_class": "need_class",
                                                    "start_s": "start_s",
                                                    "start_times": "start_times",
                                                    "inside_delta": "inside_delta"}})},
    "match_belt": {"": Said(stamped={"N15": ("power_kw",), "N18": ("speed_rpm",),
                                     "N25": ("need_marks",)},
                            typed={"belt": {"pulley_mm": "driver_mm", "driven_mm": "driven_mm",
                                            "length_mm": "need_length_mm",
                                            "teeth": "driver_teeth", "belt_teeth": "need_teeth",
                                            "speed_rpm": "speed_rpm"}})},
    "match_bearing": {"": Said(stamped={"N21": ("speed_rpm",), "N24": ("need_marks",)},
                               typed={"bearing": {"bore_mm": "need_bore_mm",
                                                  "outside_mm": "need_outside_mm",
                                                  "angle_deg": "need_angle_deg",
                                                  "rating_kn": "need_rating_kn",
                                                  "load_kn": "load_kn",
                                                  "wanted_hours": "wanted_hours"}})},
    "hose": {"hydraulic": Said(stamped={"N37": ("need_bar",)}),
             "lube": Said(stamped={"N36": ("need_bar",)}),
             "air": Said(stamped={"N39": ("need_bar",)})},
    "cell": {"": Said(stamped={"N33": ("need_volts",)},
                      typed={"layup": {"cell_ua": "cell_ua", "cell_mah": "need_mah"}})},
    "lamp": {"": Said(stamped={"N06": ("mains_hz",), "N21": ("most_rpm",)},
                      typed={"lamps": {"alike": "alike"}})},
}  # fmt: skip


def said_of(calculator: str, part: str) -> Said:
    """What fills the fields of a calculator for one part.

    Parameters
    ----------
    calculator : str
    part : str
        spindle, axis ...; empty where it has no such field.

    Returns
    -------
    Said
        Empty for a calculator that matches nothing.

    Examples
    --------
    >>> said_of("motor", "spindle").stamped["N15"], said_of("lift", "").stamped
    (('need_kw',), {})
    """
    return SAID.get(calculator, {}).get(part, Said())
