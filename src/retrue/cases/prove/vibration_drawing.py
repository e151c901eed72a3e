"""The picture of a vibration: its envelope where a bearing was looked at, else its velocity."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.cases.prove.deed import Options
from retrue.cases.prove.sense_drawing import ExpectedLine, SpectrumDrawing
from retrue.cases.prove.vibration_read import Signal
from retrue.cases.prove.vibration_words import PARTS, concluded
from retrue.science.envelope import Diagnosis
from retrue.science.envelope_combs import BELT_SLIP, SHAFT_SLIP
from retrue.science.spectrum_lines import SpectrumLine
from retrue.science.vibration import spectrum

Floats = NDArray[np.float64]
MOST_POINTS = 1200
DEFECTS = ("outer_race", "inner_race", "rolling_element", "cage")


def drawing(
    signal: Signal, found: Diagnosis | None, lines: tuple[SpectrumLine, ...], options: Options
) -> SpectrumDrawing:
    """What the picture shows.

    Parameters
    ----------
    signal : Signal
    found : Diagnosis or None
    lines : tuple of SpectrumLine
        Of what turns, in the spectrum as recorded.
    options : mapping
        ``high_hz``, ``slip_share``, ``speed_rpm``.

    Returns
    -------
    SpectrumDrawing

    Examples
    --------
    >>> one = Signal(name="a", values=np.sin(np.arange(4000.0)), rate_hz=4000.0,
    ...     quantity="velocity")
    >>> made = drawing(one, None, (), {"high_hz": 1000.0, "speed_rpm": None})
    >>> made.unit, made.sort, max(made.frequency_hz) <= 1000
    ('mm/s', 'spectrum', True)
    """
    if found is not None:
        return _envelope(found, options)
    integrate = signal.quantity == "acceleration" and signal.calibrated
    seen = spectrum(signal.values, signal.rate_hz, integrate=integrate)
    inside = seen.frequency_hz <= options["high_hz"]
    if integrate:
        inside &= seen.frequency_hz >= 2.0
    frequency, rms = _thinned(seen.frequency_hz[inside], seen.rms[inside])
    return SpectrumDrawing(
        frequency_hz=frequency,
        amplitude=rms,
        unit="mm/s" if signal.calibrated else "",
        lines=tuple(
            ExpectedLine(
                name=PARTS.get(one.name, one.name), expected_hz=one.expected_hz,
                found_hz=one.found_hz, score_db=one.score_db,
            )
            for one in lines
        ),
        speed_rpm=options["speed_rpm"],
    )  # fmt: skip


def _envelope(found: Diagnosis, options: Options) -> SpectrumDrawing:
    slip = float(options["slip_share"])
    widths: dict[str, float] = dict.fromkeys(DEFECTS, slip) | {"shaft": SHAFT_SLIP}
    frequency, amplitude = _thinned(found.frequency_hz[2:], found.amplitude[2:])
    most = max(amplitude, default=0.0) or 1.0
    named = (PARTS[found.conclusion],) if found.conclusion in DEFECTS else ()
    return SpectrumDrawing(
        frequency_hz=frequency,
        amplitude=tuple(one / most for one in amplitude),
        unit="",
        sort="envelope",
        lines=tuple(
            ExpectedLine(
                name=PARTS.get(one.name, one.name), expected_hz=one.expected_hz,
                low_hz=one.expected_hz * (1 - widths.get(one.name, BELT_SLIP)),
                high_hz=one.expected_hz * (1 + widths.get(one.name, BELT_SLIP)),
                found_hz=one.found_hz, score_db=one.score_db,
            )
            for one in found.lines
        ),
        named=named,
        conclusion=concluded(found.conclusion, found.others_said),
        speed_rpm=options["speed_rpm"],
    )  # fmt: skip


def _thinned(frequency: Floats, height: Floats) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """No more points than a picture shows; of each stretch the highest, so that no line is lost."""
    step = -(-len(frequency) // MOST_POINTS) or 1
    if step == 1:
        return tuple(frequency.tolist()), tuple(height.tolist())
    starts = range(0, len(frequency), step)
    best = [at + int(height[at : at + step].argmax()) for at in starts]
    return tuple(frequency[best].tolist()), tuple(height[best].tolist())
