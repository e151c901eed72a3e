"""What is written before a stage begins, and how a reading lies to it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from typing import Any

import msgspec

from retrue.base.formatter import short
from retrue.base.recalled import recall
from retrue.base.say import ENGLISH, say, speaking
from retrue.cases.sheet_json import dumps
from retrue.cases.wake.bands import ENDS, Known, step_rpm
from retrue.cases.wake.lines import BandLine, Ruling
from retrue.kinds.waking import RunInStep

SCHEMA = "wake.bands.1"
SHOWN = ("words", "note", "mark", "lacks_words", "taken_by")  # of a band, for a person


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What was written before a stage began: its bands, the steps, what was chosen."""

    bands: tuple[BandLine, ...] = ()
    choice: str = ""
    steps: tuple[dict[str, Any], ...] = ()


def ruling(band: BandLine | None, reading: float) -> Ruling:
    """How a reading lies to its band.

    Parameters
    ----------
    band : BandLine or None
        None: no band was written for it.
    reading : float
        In the unit of the band.

    Returns
    -------
    str
        in; out: outside the expected band only; abort: outside the abort limits; kept: no band.

    Examples
    --------
    >>> volts = BandLine(name="v", words="", unit="V", expected_high=420.0, abort_high=440.0)
    >>> [ruling(volts, at) for at in (420.0, 420.1, 440.0, 440.1)], ruling(None, 1.0)
    (['in', 'out', 'out', 'abort'], 'kept')
    """
    if band is None or not any(getattr(band, end) is not None for end in ENDS):
        return "kept"
    if _outside(reading, band.abort_low, band.abort_high):
        return "abort"
    return "out" if _outside(reading, band.expected_low, band.expected_high) else "in"


def written(
    bands: Iterable[BandLine],
    *,
    choice: str = "",
    steps: Iterable[RunInStep] = (),
    known: Known | None = None,
) -> str:
    """What is kept before the start, as canonical JSON: it is never worked out anew.

    Parameters
    ----------
    bands : iterable of BandLine
    choice : str
    steps : iterable of RunInStep
        The whole table of the run-in.
    known : Known or None
        For the speeds of the steps.

    Returns
    -------
    str
    """  # fmt: skip
    table = [
        {
            "abort_rise_k": one.abort_rise_k,
            "minutes": one.minutes,
            "percent": one.percent,
            "rise_k": one.rise_k,
            "speed_rpm": step_rpm(one, known) if known else None,
            "step": one.step,
        }
        for one in steps
    ]
    kept = [spec.name for spec in fields(BandLine) if spec.name != "readings"]
    rows = [{name: getattr(line, name) for name in kept} for line in bands]
    with speaking(ENGLISH):  # it is kept in English, and read in the language of who reads it
        return dumps({"bands": rows, "choice": choice, "schema": SCHEMA, "steps": table})


def read_written(text: str) -> Written:
    """What was written before a start.

    Parameters
    ----------
    text : str
        Of :func:`written`; empty: nothing was.

    Returns
    -------
    Written

    Examples
    --------
    >>> line = BandLine(name="v", words="Volts", unit="V", expected_high=1.0, points=("L1",))
    >>> read_written(written([line], choice="clamped")) == Written(bands=(line,), choice="clamped")
    True
    """
    if not text:
        return Written()
    held = msgspec.json.decode(text.encode(), type=dict[str, Any])
    rows = (
        {
            **row,
            **{name: recall(row[name]) for name in SHOWN if row.get(name)},
            "points": tuple(map(recall, row["points"])),
        }
        for row in held["bands"]
    )
    return Written(
        bands=tuple(BandLine(**row) for row in rows),
        choice=held["choice"],
        steps=tuple(held["steps"]),
    )


def limits_words(band: BandLine) -> str:
    """A band in words: "380 to 420 V; it ends under 360 or over 440 V".

    Parameters
    ----------
    band : BandLine

    Returns
    -------
    str

    Examples
    --------
    >>> limits_words(BandLine(name="e", words="", unit="MΩ", expected_low=5.0, abort_low=1.0))
    'at least 5 MΩ; it ends under 1 MΩ'
    """
    if band.lacks:
        return say("cannot be told: {lacks} is missing", lacks=band.lacks_words or band.lacks)
    good = _between(band.expected_low, band.expected_high, band.unit)
    ends = _ends(band.abort_low, band.abort_high, band.unit)
    return say("{good}; it ends {ends}", good=good, ends=ends) if ends else good


def _between(low: float | None, high: float | None, unit: str) -> str:
    if low is not None and high is not None:
        return say("{low} to {high} {unit}", low=short(low), high=short(high), unit=unit)
    if low is not None:
        return say("at least {low} {unit}", low=short(low), unit=unit)
    if high is not None:
        return say("at most {high} {unit}", high=short(high), unit=unit)
    return say("no band")


def _ends(low: float | None, high: float | None, unit: str) -> str:
    if low is not None and high is not None:
        words = "under {low} or over {high} {unit}"
        return say(words, low=short(low), high=short(high), unit=unit)
    if low is not None:
        return say("under {low} {unit}", low=short(low), unit=unit)
    return say("over {high} {unit}", high=short(high), unit=unit) if high is not None else ""


def _outside(reading: float, low: float | None, high: float | None) -> bool:
    return (low is not None and reading < low) or (high is not None and reading > high)
