"""Vibration: how strong, against its own baseline, and what a bearing's envelope says."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, say
from retrue.cases.prove.deed import Cell, Deed, Options, options_of
from retrue.cases.prove.proof import Conditions, Grid, Measured, Proof, Quantity
from retrue.cases.prove.proof import flat as plain
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge
from retrue.cases.prove.vibration_bearing import Known, diagnosed, known_of, others_of
from retrue.cases.prove.vibration_drawing import drawing
from retrue.cases.prove.vibration_options import OPTIONS
from retrue.cases.prove.vibration_read import Signal, as_signal
from retrue.cases.prove.vibration_words import (
    PARTS,
    blames,
    cannot_tell,
    finds,
    headline,
    remedy,
)
from retrue.science.envelope import Diagnosis
from retrue.science.spectrum_lines import SpectrumLine, lines_at, strongest
from retrue.science.vibration import reach_hz, rms_in_band, velocity_rms_mm_s
from retrue.science.vibration_zones import change_db

SHARE = 0.15  # give or take of a sensor held by a magnet, k = 2 (common practice, no source)
UNEVEN_GUARD = 10.0  # of a beat that was brought to an even one, rate over the highest true hertz
STANDARD_BAND = (10.0, 1000.0)
CONCLUSION, SAID = "conclusion", "others_said"


def prove(content: Table | Recording, typed: Mapping[str, Any], conditions: Conditions) -> Proof:
    """What one recording says.

    Parameters
    ----------
    content : Table or Recording
        A table with ``time_s`` and acceleration or velocity, or a file of sound from a sensor.
    typed : mapping
        Options as typed: ``unit``, ``rate_hz``, ``speed_rpm``, ``balls`` ...
    conditions : Conditions
        A limit for the velocity, in mm/s, and the doubt of it.

    Returns
    -------
    Proof
        Drawn from a SpectrumDrawing; ``lines`` and ``conclusion`` among ``more``.

    Raises
    ------
    Unusable
        Something is not said that cannot be guessed, or the recording tells nothing.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> rows = "".join(f"{np.sin(2 * np.pi * 50 * n / 5000):.5f}\\n" for n in range(10000))
    >>> table = read_table(f"acceleration_m_s2\\n{rows}".encode(), "a.csv")
    >>> made = prove(table, {"rate_hz": "5000"}, Conditions())
    >>> round(made.quantities[0].value, 3)
    2.251
    """
    options = options_of(DEED, typed)
    return _proved(as_signal(content, options), options, conditions)


def flat(proof: Proof) -> dict[str, Any]:
    """The proof as plain values for ``--json``.

    Parameters
    ----------
    proof : Proof
        Of :func:`prove`.

    Returns
    -------
    dict
        ``velocity_rms_mm_s``, ``lines``, ``conclusion`` and more; each null with its ``why``.

    Examples
    --------
    >>> flat(Proof(deed="vibration", title="", headline="", quantities=(),
    ...     more={"conclusion": None, "conclusion_why": "No speed."}))["why"]
    {'conclusion': 'No speed.', 'others_said': 'No speed.'}
    """
    told = plain(proof)
    for key in (CONCLUSION, SAID):
        if told.setdefault(key, None) is None:
            told["why"][key] = told.get("conclusion_why", "")
    return told


def _proved(signal: Signal, options: Options, conditions: Conditions) -> Proof:
    speed = options["speed_rpm"]
    known = known_of(options, speed / 60 if speed else None)
    found, missing = diagnosed(signal, options, known)
    band, whole = _band(signal, options)
    velocity = _velocity(signal, band)
    quantities = _quantities(signal, options, conditions, velocity, band, whole)
    lines, strong = _plain_lines(signal, options), _strongest(signal, band)
    conclusion, others_said = (found.conclusion, found.others_said) if found else ("", True)
    return Proof(
        deed="vibration",
        title=DEED.title,
        headline=headline(velocity, band, conclusion, others_said),
        quantities=quantities,
        more=_more(signal, found, lines, missing, known, strong),
        verdict=judge(quantities, conditions),
        finds=(*finds(velocity, options["baseline_mm_s"], options["motor_kw"], lines,
                      whole and band == STANDARD_BAND), *_told(found)),
        blames=blames(conclusion, found.why if found else "", others_said),
        remedy=remedy(conclusion, missing, others_said),
        cannot_tell=cannot_tell(conclusion),
        warnings=_warnings(signal, band, whole),
        cautions=DEED.cautions,
        assumed=(*signal.assumed, *known.assumed, *_assumed(found, options)),
        method=say("Lines of a spectrum divided by 2πf; envelope of the band that tells most."),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=_tables(found, lines, known, strong),
        measures=_measures(signal, quantities, band, whole),
        drawing=drawing(signal, found, lines, options),
    )  # fmt: skip


def _band(signal: Signal, options: Options) -> tuple[tuple[float, float] | None, bool]:
    """The band that can be told, and whether it is the whole one that was asked for."""
    asked = (float(options["low_hz"]), float(options["high_hz"]))
    if asked[0] >= asked[1]:
        raise Unusable(
            say("the band ends before it begins"),
            remedy=say("The usual one is 10 to 1000 Hz."),
            problems=(Problem("high_hz", say("not over its lower end")),),
        )
    low, high = reach_hz(signal.rate_hz, signal.seconds)
    if signal.resampled:
        high = min(high, signal.rate_hz / UNEVEN_GUARD)
    told = (max(asked[0], low), min(asked[1], high))
    if told[0] >= told[1] or not signal.calibrated:
        return None, False
    return told, told == asked


def _velocity(signal: Signal, band: tuple[float, float] | None) -> float | None:
    if band is None:
        return None
    if signal.quantity == "velocity":
        return rms_in_band(signal.values, signal.rate_hz, low_hz=band[0], high_hz=band[1])
    return velocity_rms_mm_s(signal.values, signal.rate_hz, *band)


def _quantities(
    signal: Signal, options: Options, conditions: Conditions, velocity: float | None,
    band: tuple[float, float] | None, whole: bool,
) -> tuple[Quantity, ...]:  # fmt: skip
    doubt = conditions.uncertainty
    if doubt is None and velocity is not None:
        doubt = SHARE * velocity
    asked = {"low": f"{options['low_hz']:g}", "high": f"{options['high_hz']:g}"}
    made = [
        Quantity(
            key="velocity_rms_mm_s", name=say("velocity, {low} to {high} Hz, rms", **asked),
            value=velocity if whole else None, unit="mm/s",
            uncertainty=doubt if whole else None, digits=2, why=_why(signal, band),
        )
    ]  # fmt: skip
    if velocity is not None and band is not None and not whole:
        ends = {"low": f"{band[0]:.4g}", "high": f"{band[1]:.4g}"}
        made.append(
            Quantity(
                key="velocity_part_mm_s", name=say("velocity, {low} to {high} Hz only", **ends),
                value=velocity, unit="mm/s", uncertainty=doubt, digits=2,
            )
        )  # fmt: skip
    if signal.quantity == "acceleration" and signal.calibrated:
        rms = float(signal.values.std())
        name = say("acceleration, all frequencies, rms")
        made.append(Quantity(key="acceleration_rms_m_s2", name=name, value=rms, unit="m/s²",
                             digits=2))  # fmt: skip
    baseline = options["baseline_mm_s"]
    if baseline and velocity:
        made.append(
            Quantity(key="baseline_change_db", name=say("against its own baseline"),
                     value=change_db(velocity, baseline), unit="dB", digits=1, signed=True)
        )  # fmt: skip
    return tuple(made)


def _why(signal: Signal, band: tuple[float, float] | None) -> str:
    if not signal.calibrated:
        return say("Nobody said what full scale of the file is; its lines can still be told.")
    if band is None:
        return say("Too short and too slow a recording for any of the band that was asked for.")
    low, high = f"{band[0]:.4g}", f"{band[1]:.4g}"
    return say("The recording only reaches from {low} to {high} Hz.", low=low, high=high)


def _plain_lines(signal: Signal, options: Options) -> tuple[SpectrumLine, ...]:
    """Shaft and what else turns, in the spectrum as recorded."""
    speed, expected = options["speed_rpm"], dict[str, float]()
    if speed:
        expected |= {"shaft": speed / 60, "shaft_twice": speed / 30}
    others = others_of(options) or {}
    if "belt" in others:
        expected |= {"belt": others["belt"], "belt_twice": 2 * others["belt"]}
    if "teeth" in others:
        expected["teeth"] = others["teeth"]
    return tuple(
        _as_velocity(one, signal) for one in lines_at(signal.values, signal.rate_hz, expected)
    )


def _as_velocity(one: SpectrumLine, signal: Signal) -> SpectrumLine:
    """Its height as velocity, where the unit is known."""
    if one.rms is None or not signal.calibrated:
        return SpectrumLine(one.name, one.expected_hz, one.found_hz, one.score_db, None)
    if signal.quantity == "velocity" or not one.found_hz:
        return one
    rms = 1000 * one.rms / (2 * np.pi * one.found_hz)
    return SpectrumLine(one.name, one.expected_hz, one.found_hz, one.score_db, float(rms))


def _more(
    signal: Signal, found: Diagnosis | None, lines: tuple[SpectrumLine, ...], missing: str,
    known: Known, strong: tuple[tuple[float, float], ...],
) -> dict[str, Any]:  # fmt: skip
    shown = found.lines if found else lines
    return {
        "lines": [
            {"name": one.name, "expected_hz": one.expected_hz, "found_hz": one.found_hz,
             "score_db": one.score_db}
            for one in shown
        ],
        "spectrum_lines": [
            {"name": one.name, "expected_hz": one.expected_hz, "found_hz": one.found_hz,
             "score_db": one.score_db, "velocity_mm_s": one.rms}
            for one in lines
        ],
        "strongest": [
            {"frequency_hz": hertz, "velocity_mm_s": rms} for hertz, rms in strong
        ],
        CONCLUSION: found.conclusion if found else None,
        "conclusion_why": found.why if found else missing,
        "others_said": found.others_said if found else None,
        "between": [
            {"name": part, "low_hz": low, "high_hz": high} for part, low, high in known.between
        ],
        "envelope_band_hz": list(found.band_hz) if found else [],
        "rate_hz": signal.rate_hz,
        "seconds": signal.seconds,
        "clipped_share": signal.clipped_share,
        "calibrated": signal.calibrated,
    }  # fmt: skip


def _strongest(signal: Signal, band: tuple[float, float] | None) -> tuple[tuple[float, float], ...]:
    """The strongest lines of velocity, whatever they come from."""
    if band is None:
        return ()
    return strongest(
        signal.values, signal.rate_hz, low_hz=band[0], high_hz=band[1],
        integrate=signal.quantity == "acceleration",
    )  # fmt: skip


def _assumed(found: Diagnosis | None, options: Options) -> tuple[str, ...]:
    if found is None or options["mains_hz"] is not None:
        return ()
    return (say("Nobody said which mains: lines of 50 and of 60 Hz are both left out."),)


def _told(found: Diagnosis | None) -> tuple[str, ...]:
    if found is None or found.conclusion not in ("nothing_found", "not_conclusive"):
        return ()
    return (found.why,)


def _warnings(signal: Signal, band: tuple[float, float] | None, whole: bool) -> tuple[str, ...]:
    told = list(signal.warnings)
    if signal.clipped_share:
        told.append(
            say("{share} % of the readings are cut off at the end of the range: it is stronger "
                "than told.", share=number(max(100 * signal.clipped_share, 0.01), 2))
        )  # fmt: skip
    if band is not None and not whole:
        told.append(
            say("The band is narrower than asked: do not hold it against a limit of the whole.")
        )
    return tuple(told)


def _tables(
    found: Diagnosis | None, lines: tuple[SpectrumLine, ...], known: Known,
    strong: tuple[tuple[float, float], ...],
) -> tuple[Grid, ...]:  # fmt: skip
    made = []
    columns = (say("line"), say("expected, Hz"), say("found, Hz"), say("over its neighbours, dB"))
    if found is not None:
        rows = tuple(
            (PARTS.get(one.name, one.name), one.expected_hz, one.found_hz, one.score_db)
            for one in found.lines
        )
        made.append(Grid(title=say("Envelope"), columns=columns, rows=rows))
    if lines:
        told = tuple(
            (PARTS.get(one.name, one.name), one.expected_hz, one.found_hz, one.score_db, one.rms)
            for one in lines
        )
        made.append(
            Grid(title=say("Spectrum"), columns=(*columns, say("velocity, mm/s")), rows=told)
        )
    if strong:
        made.append(
            Grid(title=say("Strongest lines"), columns=(say("Hz"), say("velocity, mm/s")),
                 rows=strong, digits=2)
        )  # fmt: skip
    if known.between:
        rows_between = tuple((PARTS[part], low, high) for part, low, high in known.between)
        made.append(
            Grid(title=say("What the count of balls tells"),
                 columns=(say("part"), say("from, Hz"), say("to, Hz")), rows=rows_between)
        )  # fmt: skip
    return tuple(made)


def _measures(
    signal: Signal, quantities: tuple[Quantity, ...], band: tuple[float, float] | None, whole: bool
) -> tuple[Measured, ...]:
    """The belief learns only the band that its measure is defined in, and nothing cut off."""
    first = quantities[0]
    if not whole or band != STANDARD_BAND or signal.clipped_share or first.value is None:
        return ()
    return (Measured(measure="M27", value=first.value, uncertainty=first.uncertainty),)


def _no_cells(options: Options) -> tuple[Cell, ...]:
    return ()


DEED = Deed(
    id="vibration",
    title=later("Vibration"),
    what=later("How strongly it shakes, against its own baseline, and what its bearing’s lines "
               "say."),
    columns=("[time_s]", "acceleration_m_s2"),
    columns_note={
        "time_s": later("seconds; else say the rate"),
        "acceleration_m_s2": later("or acceleration_g, velocity_mm_s, acceleration with its unit"),
    },
    options=OPTIONS,
    cells=_no_cells,
    prove=prove,
    judged=("velocity_rms_mm_s",),
    steps=(
        later("Machine stopped and isolated: fix the sensor on bare metal at the nose, magnet or "
            "stud, its cable tied back."),
        later("Guard shut, no tool or a plain balanced one; run at one steady speed."),
        later("Record ten seconds or more, 2560 readings a second at least, 12 800 for a bearing."),
        later("Stop. The same place, speed and holder the next time."),
    ),
    cautions=(
        later("Fix and take off the sensor only when the spindle stands and cannot start; guard "
            "shut while it turns, nobody in line with chuck or cutter. Local code and licensed "
            "practice go first."),
        later("Quiet lines do not say that a machine may run: this is an estimate for planning."),
    ),
    instrument=later("accelerometer on a magnet or stud"),
    instrument_sorts=("accelerometer",),
    reading_unit="mm/s",
    standard="ISO 20816-1; ISO 13373-3",
    edition="2016; 2015 (from memory)",
    order=15,
)  # fmt: skip
