"""What can be read in a watch, as a person names it; which of it stands open on the form."""

from __future__ import annotations

from retrue.science.watch_limits import CHANNELS

WORDS = {
    "nose": "Spindle nose",
    "amps": "Spindle current",
    "room": "Room",
    "housing": "Spindle housing",
    "winding": "Winding",
    "motor_case": "Motor case",
    "cabinet": "Cabinet",
    "drive": "Drive",
    "load_percent": "Load",
    "sound_db": "Sound",
    "pressure_bar": "Pressure",
    "vibration_mm_s": "Vibration",
}
OPEN = ("nose", "amps", "room")  # asked at each round; the others are folded away
NAMES = {name: (words, CHANNELS[name].unit) for name, words in WORDS.items()}
RELATIVE = {"sound_db": (WORDS["sound_db"], "dB, relative")}  # recorded without a known level
