"""What can be read in a watch, as a person names it; which of it stands open on the form."""

from __future__ import annotations

from retrue.base.say import later
from retrue.science.watch_limits import CHANNELS

WORDS = {
    "nose": later("Spindle nose"),
    "amps": later("Spindle current"),
    "room": later("Room"),
    "housing": later("Spindle housing"),
    "winding": later("Winding"),
    "motor_case": later("Motor case"),
    "cabinet": later("Cabinet"),
    "drive": later("Drive"),
    "load_percent": later("Load"),
    "sound_db": later("Sound"),
    "pressure_bar": later("Pressure"),
    "vibration_mm_s": later("Vibration"),
}
OPEN = ("nose", "amps", "room")  # asked at each round; the others are folded away
NAMES = {name: (words, CHANNELS[name].unit) for name, words in WORDS.items()}
RELATIVE = {"sound_db": (WORDS["sound_db"], "dB, relative")}  # recorded without a known level
