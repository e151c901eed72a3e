"""What is asked of a motor that shall replace another."""

from __future__ import annotations

from retrue.base.say import later
from retrue.cases.fix.match_motor_line import LINE_FIELDS
from retrue.cases.fix.match_rows import (
    COMMON,
    NEEDED,
    OFFERED,
    Property,
    fields_of,
)
from retrue.cases.reckon.method import Field
from retrue.cases.wake.matching_fields import CYCLE_FIELDS, LOAD_FIELDS, SENSORS

PART = "which motor"
PARTS = (("spindle", "spindle motor"), ("axis", "axis motor"), ("pump", "pump, fan, chip conveyor"))
SORTS = (("cage", "cage, three phases"), ("servo", "permanent magnets, sine currents"),
         ("direct", "direct current, brushes"))  # fmt: skip
FEEDBACKS = (("none", "none"), ("resolver", "resolver"), ("ttl", "pulses, 5 V lines"),
             ("htl", "pulses, 10 to 30 V"), ("sine", "sine and cosine, 1 Vpp"),
             ("serial", "absolute, serial"), ("tacho", "tachogenerator"),
             ("halls", "Hall switches and pulses"))  # fmt: skip
COOLING = (("none", "by its skin"), ("own", "fan on its shaft"), ("forced", "fan with a motor"),
           ("liquid", "liquid"))  # fmt: skip
KEYS = (("plain", "plain, no key"), ("key", "parallel key"), ("taper", "taper"),
        ("flat", "flat"), ("spline", "splines"))  # fmt: skip
CLASSES = tuple((one, one) for one in ("A", "E", "B", "F", "H"))
DUTIES = (("S1", "S1: for ever"), ("S2", "S2: a short time"), ("S3", "S3: on and off"),
          ("S4", "S4: on and off, starts count"), ("S5", "S5: with braking"),
          ("S6", "S6: load and idling"), ("S7", "S7: starts and braking"),
          ("S8", "S8: changing speeds"), ("S9", "S9: any load and speed"))  # fmt: skip

SORT = Property(
    id="sort", name=later("sort of motor"), how="same", choices=SORTS, unlike="ask",
    rule=later("the same sort; another asks another drive or starter"), source=COMMON,
    remedy=later("Ask by the drive's document whether it runs that sort."),
)  # fmt: skip
SPEED = Property(
    id="most_rpm", name=later("highest speed"), how="least", unit="rpm", source="by definition",
    rule=later("no lower than it is run"),
)  # fmt: skip
POWER = Property(
    id="kw", name=later("power"), how="least", unit="kW", source="IEC 60034-1, rated output",
    rule=later("no less"),
)  # fmt: skip
STANDSTILL = Property(
    id="standstill_nm", name=later("torque at standstill, for ever"), how="least", unit="Nm",
    rule=later("no less than the old one's where no cycle is known"), source="by definition",
)  # fmt: skip
START = Property(
    id="start_times", name=later("current while it starts"), how="most", asked=False, unlike="ask",
    rule=later("in times of its plate, no more: contactor and device open on it"),
    source="IEC 60034-12",
    remedy=later("Ask an electrician whether its device holds."),
)  # fmt: skip
FEEDBACK = (
    Property(id="feedback", name=later("feedback, sort"), how="same", choices=FEEDBACKS,
             rule=later("the sort that the drive reads"), source="the documents of both",
             old="On its mark, or in the drive's settings."),
    Property(id="counts", name=later("feedback, counts a turn"), how="same", whole=True,
             asked=False,
             rule=later("the counts that the drive is set for"), source="by definition",
             unlike="ask", remedy=later("Ask whether the drive can be set for these counts."),
             old="On its mark: lines or periods of one turn."),
    Property(id="feedback_volts", name=later("feedback, volts"), how="near", unit="V",
             yes_share=0.1, rule=later("within a tenth of what the drive gives"), source=COMMON,
             asked=False),
    Property(id="thermal", name=later("sensor in its winding"), how="same", choices=SENSORS,
             rule=later("the sensor that the drive reads"), source="the documents of both"),
)  # fmt: skip
COUNTED = ("ttl", "htl", "sine", "halls")  # feedback that tells by pulses or periods
LANGUAGE = Property(
    id="feedback_language", name=later("feedback, its language"), how="words",
    rule=later("the same words, version too: serial feedbacks of two languages do not talk"),
    source="the documents of both", old="On its mark, or in the drive's settings.",
)  # fmt: skip
BRAKE = (
    Property(id="brake_current", name=later("brake, sort of current"), how="same",
             choices=(("dc", "direct"), ("ac", "alternating")),
             rule=later("the sort that it is given"), source="by definition",
             old="On its mark; a rectifier beside its wires makes it direct."),
    Property(id="brake_volts", name=later("brake, volts"), how="near", unit="V", yes_share=0.1,
             rule=later("within a tenth of what it is given"), source=COMMON),
    Property(id="brake_nm", name=later("brake, torque"), how="least", unit="Nm",
             rule=later("no less; for an upright axis also the brake calculator"),
             source="statics, by definition"),
)  # fmt: skip
POLES = Property(
    id="poles", name=later("poles"), how="same", whole=True, source="by definition",
    rule=later("the drive is set for them, and on the mains they set its speed"),
    old="Poles, not pairs: on the plate, or 120 times the hertz over its free speed.",
)  # fmt: skip
BODY = (
    Property(id="mounting", name=later("mounting"), how="words", source="IEC 60034-7, IM code",
             rule=later("the same code or words")),
    Property(id="pilot_mm", name=later("flange, centring"), how="same", unit="mm",
             rule=later("the same"), source="IEC 60072-1", old="Measure where it centres."),
    Property(id="circle_mm", name=later("flange, circle of its bolts"), how="same", unit="mm",
             rule=later("the same"), source="IEC 60072-1"),
    Property(id="shaft_mm", name=later("shaft, diameter"), how="same", unit="mm",
             rule=later("the same, its fit too"), source="IEC 60072-1"),
    Property(id="shaft_long_mm", name=later("shaft, length"), how="near", unit="mm", yes_share=0.02,
             ask_share=0.25, rule=later("the same within a fiftieth; else see its coupling"),
             source=COMMON),
    Property(id="key", name=later("shaft, key"), how="same", choices=KEYS, unlike="ask",
             rule=later("the same; clamping hubs want a plain shaft"), source="ISO 773, ISO 3040",
             remedy=later("Look how pulley or coupling holds on the shaft.")),
    Property(id="mass_kg", name=later("mass"), how="near", unit="kg", yes_share=0.1, unlike="ask",
             rule=later("within a tenth: an axis carries it, a balance and a brake hold it"),
             source="judgement, no source"),
    Property(id="enclosure", name=later("protection class"), how="enclosure",
             rule=later("each digit no lower"), source="IEC 60529 (from memory)"),
    Property(id="insulation_class", name=later("insulation class"), how="class", choices=CLASSES,
             rule=later("no lower"), source="IEC 60085, IEC 60034-1 (from memory)"),
    Property(id="cooling", name=later("cooling"), how="same", choices=COOLING, unlike="ask",
             rule=later("the same; a fan on the shaft cools little when it turns slowly"),
             source="IEC 60034-6"),
)  # fmt: skip
# Two fields and no plain rule: the calculator itself holds them against each other.
OWN = (
    Property(id="volts", name=later("rated volts"), how="near", unit="V", rule="", source=""),
    Property(id="hz", name=later("frequency"), how="same", unit="Hz", rule="", source=""),
    Property(id="ampere", name=later("full-load current"), how="most", unit="A", rule="", source="",
             old="On the old plate; with a drive, what the drive gives for ever."),
    Property(id="rated_rpm", name=later("rated speed"), how="near", unit="rpm", rule="", source=""),
    Property(id="brake", name=later("brake"), how="there", rule="", source=""),
    Property(id="duty", name=later("duty"), how="same", choices=DUTIES, rule="", source=""),
)  # fmt: skip
SERVO_FIELDS = (
    Field(id="continuous_nm", name="torque for ever at that speed", unit="Nm",
          help="In its document.", group=OFFERED),
    Field(id="curve", name="or: torque for ever over speed", sort="text",
          help="rpm and Nm, rising: 0, 12; 2000, 10; 3000, 6.", group=OFFERED),
    Field(id="peak_nm", name="highest torque", unit="Nm", help="In its document.", group=OFFERED),
    Field(id="peak_curve", name="or: highest torque over speed", sort="text",
          help="rpm and Nm, rising: 0, 30; 2000, 24; 3000, 12.", group=OFFERED),
    Field(id="motor_peak_ampere", name="highest current it bears", unit="A",
          help="In its document: over it the magnets are lost.", group=OFFERED),
    Field(id="volts_per_krpm", name="volts at 1,000 rpm, effective, between lines",
          help="In its document; per phase it is 0.577 of that.", group=OFFERED),
    Field(id="motor_inertia_kg_cm2", name="inertia of the rotor, kg cm2",
          help="In its document; 10⁻⁴ kg m² is 1 kg cm².", group=OFFERED),
    Field(id="drive_continuous_ampere", name="current for ever of its drive, effective", unit="A",
          help="On the drive's plate.", group=NEEDED),
    Field(id="drive_peak_ampere", name="highest current of its drive, effective", unit="A",
          help="On the drive's plate, or as it is limited now.", group=NEEDED),
    Field(id="bus_volts", name="bus volts of its drive", unit="V", help="On the drive's plate.",
          group=NEEDED),
)  # fmt: skip
FIELDS = (
    Field(id="part", name="which motor", sort="choice", choices=PARTS, default="spindle",
          mark="what its plate says of it is filled in", help="The one that is replaced.",
          group=PART),
    Field(id="fed", name="what feeds it", sort="choice",
          choices=(("drive", "a drive"), ("mains", "the mains, by a contactor")),
          help="Follow its cable, dead.", group=PART),
    *fields_of((SORT, *OWN, POWER, SPEED, STANDSTILL, START, POLES, *FEEDBACK, LANGUAGE, *BRAKE,
                 *BODY)),
    *SERVO_FIELDS,
    *CYCLE_FIELDS,
    *LOAD_FIELDS,
    *LINE_FIELDS,
    Field(id="overload_set_ampere", name="what its overload is set to now", unit="A",
          help="On its dial, read by an electrician.", group="its line"),
)  # fmt: skip
