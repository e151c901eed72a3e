"""Invented sound, vibration and light, before and after."""

from __future__ import annotations

from datetime import timedelta
from functools import cache
from typing import Any

from tests.figures.sounds import bands, spectrum
from tests.paper.sheets import AT

from retrue.base.say import reader
from retrue.cases.prove.sense_drawing import BeforeAfter
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAPER
from retrue.figures.prove.bands import table
from retrue.paper.before_after_sheet import (
    BeforeAfterSheet,
    SensedPart,
    SensedPicture,
    SensedSide,
)
from retrue.paper.stage_sheet import CautionRow

BEFORE = SensedSide(measured=AT - timedelta(days=3), by="Ann", instrument="meter 7, class 2",
                    state="idle, covers off", speed_rpm=7500)  # fmt: skip
AFTER = SensedSide(measured=AT, by="Ann", instrument="meter 7, class 2", state="idle, covers off",
                   speed_rpm=7500)  # fmt: skip


@cache
def thirds(language: str) -> SensedPicture:
    """Drawn once for each language: ``language`` is the reader's."""
    return SensedPicture(picture(bands(), theme=PAPER, room="paper"), "Third-octave bands.",
                         *table(bands()))  # fmt: skip


@cache
def envelope(language: str) -> SensedPicture:
    """As ``thirds``."""
    says = "Envelope spectrum with its expected lines."
    return SensedPicture(svg=picture(spectrum(), theme=PAPER, room="paper"), says=says,
                         columns=("what", "value"), rows=rows(spectrum()))  # fmt: skip


def sound(**more: Any) -> SensedPart:
    told: dict[str, Any] = {
        "sort": "sound", "point": "operator's ear", "before": BEFORE, "after": AFTER,
        "rows": (
            BeforeAfter(name="level, A-weighted", unit="dB(A)", before=93.0, after=83.0,
                        before_give_or_take=2.0, after_give_or_take=1.5),
        ),
        "done": "damping sheets on the belt covers", "cautions":
        (CautionRow("Over 80 dBA: plugs or muffs.", "rules on noise at work"),),
        "pictures": (thirds(reader()),),
    }  # fmt: skip
    return SensedPart(**(told | more))


def vibration(**more: Any) -> SensedPart:
    told: dict[str, Any] = {
        "sort": "vibration", "point": "spindle nose", "before": BEFORE, "after": AFTER,
        "rows": (
            BeforeAfter(name="vibration velocity", unit="mm/s", before=1.80, after=1.72, digits=2,
                        before_give_or_take=0.27, after_give_or_take=0.26),
        ),
        "pictures": (envelope(reader()),),
    }  # fmt: skip
    return SensedPart(**(told | more))


def light(**more: Any) -> SensedPart:
    told: dict[str, Any] = {
        "sort": "light", "point": "on the work", "before": SensedSide(), "after": AFTER,
        "rows": (
            BeforeAfter(name="light on the work", unit="lux", before=180, after=620, digits=0,
                        before_give_or_take=18, after_give_or_take=62, better="more"),
            BeforeAfter(name="light around", unit="lux", before=None, after=200, digits=0),
        ),
    }  # fmt: skip
    return SensedPart(**(told | more))


def sheet(*parts: SensedPart, **more: Any) -> BeforeAfterSheet:
    told: dict[str, Any] = {
        "machine": "bed-type vertical machining centre", "lot": "Ghent school lot",
        "parts": parts or (sound(), vibration(), light()), "by": "Ann", "version": "0.1.0",
    }  # fmt: skip
    return BeforeAfterSheet(**(told | more))
