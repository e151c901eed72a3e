"""What is asked of a motor, its drive and its axis."""

from __future__ import annotations

from retrue.cases.reckon.method import Field
from retrue.science.inertia import RATIO_EASY, RATIO_MOST

CYCLE, MOTOR, DRIVE = "what the axis asks", "the motor", "the drive"
LOAD = "what it moves"
SENSORS = (("none", "none"), ("ptc", "PTC, switches at one temperature"), ("ntc", "NTC"),
           ("kty", "KTY, silicon"), ("pt1000", "Pt1000"), ("switch", "bimetal switch"))  # fmt: skip

# What an axis asks of any motor, and what it moves.
CYCLE_FIELDS = (
    Field(id="cycle", name="one cycle", sort="text",
          help="Torque in Nm with its sign and seconds, rests with 0: 3, 0.2; 1, 0.5; -2, 0.2; 0,"
          " 0.6.", group=CYCLE),
    Field(id="speed_rpm", name="highest speed", unit="rpm", help="Of the motor, in rapid travel.",
          group=CYCLE),
)  # fmt: skip
LOAD_FIELDS = (
    Field(id="moved_kg", name="mass that slides", unit="kg", help="Table or head with its load.",
          group=LOAD),
    Field(id="pitch_mm", name="pitch of the screw", unit="mm", help="Way of one turn.",
          group=LOAD),
    Field(id="pulley_mm", name="or: pulley or pinion, pitch diameter", unit="mm",
          help="Where a belt or rack moves the mass.", group=LOAD),
    Field(id="screw_diameter_mm", name="diameter of the screw", unit="mm", help="Over its threads.",
          group=LOAD),
    Field(id="screw_length_mm", name="length of the screw", unit="mm", help="End to end.",
          group=LOAD),
    Field(id="gear_turns", name="turns of the motor for one of the screw", default=1.0,
          mark="coupled straight", help="Count teeth, or turn by hand.", group=LOAD),
    Field(id="ratio_easy", name="load over rotor, up to which nobody asks", default=RATIO_EASY,
          mark="common practice, no source", help="The drive's own document goes first.",
          group=LOAD),
    Field(id="ratio_most", name="load over rotor, over which it is too much", default=RATIO_MOST,
          mark="common practice, no source", help="The drive's own document goes first.",
          group=LOAD),
)  # fmt: skip
FIELDS = (
    *CYCLE_FIELDS,
    Field(id="continuous_nm", name="torque at standstill, for ever", unit="Nm",
          help="On the plate or in its document.", group=MOTOR),
    Field(id="curve", name="or: torque for ever over speed", sort="text",
          help="rpm and Nm, rising: 0, 12; 2000, 10; 3000, 6.", group=MOTOR),
    Field(id="peak_nm", name="highest torque", unit="Nm", help="In its document.", group=MOTOR),
    Field(id="peak_curve", name="or: highest torque over speed", sort="text",
          help="rpm and Nm, rising: 0, 30; 2000, 24; 3000, 12.", group=MOTOR),
    Field(id="motor_peak_ampere", name="highest current", unit="A",
          help="In its document: over it the magnets are lost.", group=MOTOR),
    Field(id="volts_per_krpm", name="volts at 1,000 rpm, effective, between lines",
          help="In its document; per phase it is 0.577 of that.", group=MOTOR),
    Field(id="measured_volts_per_krpm", name="the same, as measured",
          help="Turned at a known speed on the bench: its free leads are live while it turns.",
          group=MOTOR),
    Field(id="motor_inertia_kg_cm2", name="inertia of the rotor, kg cm2",
          help="In its document; 10⁻⁴ kg m² is 1 kg cm².", group=MOTOR),
    Field(id="motor_poles", name="poles of the motor", sort="whole",
          help="Poles, not pairs: in its document.", group=MOTOR),
    Field(id="motor_feedback", name="feedback of the motor", sort="text",
          help="Sort and counts as on its mark: sine 1 Vpp 2048, resolver, serial 17 bit.",
          group=MOTOR),
    Field(id="motor_feedback_volts", name="volts that the feedback wants", unit="V",
          help="On its mark.", group=MOTOR),
    Field(id="motor_brake", name="the motor has a brake", sort="flag", help="Volts on its plate.",
          group=MOTOR),
    Field(id="motor_brake_volts", name="volts of the brake", unit="V", help="On the plate.",
          group=MOTOR),
    Field(id="motor_thermal", name="sensor in its winding", sort="choice", choices=SENSORS,
          help="In its document; two wires in the plug.", group=MOTOR),
    Field(id="drive_continuous_ampere", name="current for ever, effective", unit="A",
          help="On the drive's plate.", group=DRIVE),
    Field(id="drive_peak_ampere", name="highest current, effective", unit="A",
          help="On the drive's plate, or as it is limited now.", group=DRIVE),
    Field(id="bus_volts", name="bus volts", unit="V", help="On the drive's plate.", group=DRIVE),
    Field(id="drive_poles", name="poles it is set for", sort="whole", help="In its settings.",
          group=DRIVE),
    Field(id="drive_feedback", name="feedback it reads", sort="text",
          help="In its document and settings, in the same words.", group=DRIVE),
    Field(id="drive_feedback_volts", name="volts it gives the feedback", unit="V",
          help="In its document.", group=DRIVE),
    Field(id="drive_brake_volts", name="volts it gives the brake", unit="V",
          help="Often a supply of its own.", group=DRIVE),
    Field(id="drive_thermal", name="sensor it reads", sort="choice", choices=SENSORS,
          help="In its settings.", group=DRIVE),
    *LOAD_FIELDS,
)  # fmt: skip
