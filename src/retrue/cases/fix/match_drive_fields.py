"""What is asked of a drive that shall replace another."""

from __future__ import annotations

from retrue.base.say import later
from retrue.cases.fix.match_motor_fields import FEEDBACKS, LANGUAGE, PARTS, SORTS
from retrue.cases.fix.match_rows import (
    CHECKED,
    COMMON,
    NEEDED,
    OFFERED,
    Property,
    fields_of,
)
from retrue.cases.reckon.method import Field
from retrue.cases.wake.matching_fields import SENSORS

STOPS = "how it stops"
WAYS = (("analog", "plus and minus 10 V"), ("pulses", "pulses and direction"),
        ("bus", "a digital bus"), ("contacts", "contacts and fixed speeds"))  # fmt: skip
AIR = (("own", "a fan of its own"), ("none", "by its fins"), ("plate", "a cold plate"),
       ("through", "fins through the back wall"))  # fmt: skip
BEHIND = "On the old one and its wires, dead."

SUPPLY = (
    Property(id="short_circuit_ka", name=later("short-circuit rating"), how="least", unit="kA",
             rule=later("no lower than that of the panel"), source="IEC 60204-1, from memory",
             asked=False),
)  # fmt: skip
CURRENTS = (
    Property(id="peak_ampere", name=later("highest current"), how="least", unit="A",
             rule=later("no less than speeding up asks"), source="by definition"),
    Property(id="limit_ampere", name=later("highest current that the motor bears"), how="most",
             unit="A", rule=later("its limit can be set no higher: over it magnets are lost"),
             source="the motor's document", unlike="ask", asked=False,
             new="The lowest limit that can be set in it.",
             remedy=later("Ask whether its limit can be set lower, and set it before power.")),
)  # fmt: skip
COUNTS = Property(
    id="counts", name=later("feedback, counts a turn"), how="least", whole=True, asked=False,
    unlike="ask", rule=later("it reads as many, and can be set for them"), source="by definition",
    old="On the feedback's mark: lines or periods of one turn.", new="The most it can be set for.",
    remedy=later("Ask whether the drive can be set for these counts."),
)  # fmt: skip
BRAKE_CURRENT = Property(
    id="brake_current", name=later("brake, sort of current"), how="same", asked=False,
    choices=(("dc", "direct"), ("ac", "alternating")), rule=later("the sort that the brake takes"),
    source="by definition", old="On the brake's mark.",
)  # fmt: skip
TORQUE_OFF_LEVEL = Property(
    id="torque_off_level", name=later("performance level of that input"), how="class", asked=False,
    choices=tuple((one, later("level {letter}", letter=one)) for one in "abcde"),
    rule=later("no lower, reckoned for the whole function"), source="ISO 13849-1, from memory",
    old="From who answers for the machine's safety.",
)  # fmt: skip
READS = (
    Property(id="sort", name=later("sort of motor"), how="same", choices=SORTS,
             rule=later("the sort that it runs"), source="the drive's document"),
    Property(id="feedback", name=later("feedback"), how="same", choices=FEEDBACKS,
             rule=later("the sort that it reads"), source="the documents of both"),
    COUNTS,
    Property(id="feedback_volts", name=later("feedback, volts"), how="near", unit="V",
             yes_share=0.1, rule=later("within a tenth of what the feedback wants"), source=COMMON,
             asked=False),
    Property(id="thermal", name=later("sensor in the winding"), how="same", choices=SENSORS,
             unlike="ask", rule=later("the sensor that it reads"), source="the documents of both",
             remedy=later("Ask for a relay for that sensor; never bridge it.")),
    Property(id="brake_volts", name=later("brake, volts it gives"), how="near", unit="V",
             yes_share=0.1, rule=later("within a tenth of the brake's"), source=COMMON,
             asked=False),
    BRAKE_CURRENT,
)  # fmt: skip
COMMANDS = (
    Property(id="command", name=later("commands from the control"), how="same", choices=WAYS,
             rule=later("the same way; the control is not changed for it"), source=COMMON),
    Property(id="torque_off", name=later("input that takes its torque off"), how="there",
             rule=later("where the stop chain uses one it must have one"),
             source="IEC 61800-5-2, from memory", old=BEHIND),
    TORQUE_OFF_LEVEL,
    Property(id="encoder_out", name=later("output of its feedback to the control"), how="there",
             rule=later("where the control reads its place from the drive"), source=COMMON,
             old=BEHIND),
    Property(id="ready", name=later("ready contact, fault contact"), how="there",
             rule=later("where the control waits for them"), source=COMMON, old=BEHIND),
)  # fmt: skip
BODY = (
    Property(id="wide_mm", name=later("width"), how="most", unit="mm", rule=later("no wider"),
             source="by definition"),
    Property(id="high_mm", name=later("height, air above and below too"), how="most", unit="mm",
             rule=later("no higher"), source="by definition"),
    Property(id="deep_mm", name=later("depth, plugs too"), how="most", unit="mm",
             rule=later("no deeper"), source="by definition"),
    Property(id="cooling", name=later("cooling"), how="same", choices=AIR, unlike="ask",
             rule=later("the same; else the cabinet must take its heat"), source=COMMON,
             remedy=later("Ask for its heat in watt and what the cabinet gets rid of.")),
    Property(id="lost_watt", name=later("heat into the cabinet"), how="most", unit="W", asked=False,
             rule=later("no more than the cabinet gets rid of"), source="by definition"),
    Property(id="firmware", name=later("type and software mark"), how="words",
             rule=later("the same words; another mark may have other settings"), source=COMMON,
             old="On its mark or its start page."),
)  # fmt: skip
TWO = (
    Property(id="ampere", name=later("current for ever"), how="least", unit="A", rule="", source="",
             old="Of the motor, on its plate."),
    Property(id="protocol", name=later("language of the bus"), how="words", rule="", source=""),
)  # fmt: skip
FIELDS = (
    Field(id="part", name="of which motor", sort="choice", choices=PARTS[:2], default="spindle",
          mark="what its plate says of it is filled in", help="The one that it feeds.",
          group="which drive"),
    Field(id="drive_volts", name="volts at its own terminals", unit="V",
          help="Behind its transformer, as measured by an electrician.", group=NEEDED),
    Field(id="supply_phases", name="phases of the supply", sort="whole", help="1 or 3.",
          group=NEEDED),
    *fields_of((*TWO, LANGUAGE, *SUPPLY, *CURRENTS, *READS, *COMMANDS, *BODY)),
    Field(id="has_low_volts", name="supply it takes, from", unit="V", help="On its plate.",
          group=OFFERED),
    Field(id="has_high_volts", name="supply it takes, to", unit="V", help="On its plate.",
          group=OFFERED),
    Field(id="has_phases", name="phases it takes", sort="whole", help="On its plate.",
          group=OFFERED),
    Field(id="has_bus_volts", name="its bus volts", unit="V",
          help="In its document; else 1.41 times the supply is taken.", group=OFFERED),
    Field(id="volts_per_krpm", name="volts of the motor at 1,000 rpm, effective, between lines",
          help="In the motor's document.", group=NEEDED),
    Field(id="speed_rpm", name="highest speed of the motor", unit="rpm",
          help="As it is run.", group=NEEDED),
    Field(id="load_kg_m2", name="inertia that turns, at the motor, kg m2",
          help="Rotor, spindle, chuck and work, or the axis as the motor feels it.", group=STOPS),
    Field(id="stop_s", name="time of a stop", unit="s", help="As it is now, by a watch.",
          group=STOPS),
    Field(id="stops_per_hour", name="stops an hour", help="Of the busiest work.", group=STOPS),
    Field(id="resistor_ohm", name="braking resistor that stays", unit="ohm", help="Printed on it.",
          group=STOPS),
    Field(id="has_least_ohm", name="fewest ohm that the new one allows", unit="ohm",
          help="In its document.", group=STOPS),
    Field(id="has_brake_peak_watt", name="highest braking power that the new one takes", unit="W",
          help="In its document: chopper with resistor, or back into the line.", group=STOPS),
    Field(id="has_brake_watt", name="braking power that it takes for ever", unit="W",
          help="In the resistor's document.", group=STOPS),
    Field(id="settings_kept", name="the settings of the old one are kept", sort="flag",
          help="Printed, photographed or saved, and read back.", group=CHECKED),
)  # fmt: skip
