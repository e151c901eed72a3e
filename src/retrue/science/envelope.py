"""Envelope spectrum of a bearing: which of its parts is struck, or that it cannot be told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.say import say
from retrue.science.bearing import Bearing, frequencies
from retrue.science.envelope_combs import combs_of, distractors_of
from retrue.science.envelope_doubts import Turning, doubt, mains_of, turning
from retrue.science.envelope_lines import (
    Comb,
    Envelope,
    Fit,
    bands,
    decibels,
    envelope_of,
    fit,
    surprise,
    transform,
    without,
)

Floats = NDArray[np.float64]
Conclusion = Literal[
    "outer_race", "inner_race", "rolling_element", "cage", "nothing_found", "not_conclusive"
]
SURE = 1e-6  # noise alone would show a named defect less often than this
FAINT = 0.1  # less than this is more than noise, and yet not enough to name it
FOUND_DB = 12.0  # a line is told as found from here on
NAMED_DB = 18.0  # and may carry a conclusion from here on
BESIDE_DB = 9.0  # a second line of its comb is there
RIVAL = 0.25  # another defect whose evidence is that share of the best one's is a rival
SPEED_OFF = 0.005  # a speed that was read off a display is so far off
SHARP = 0.01  # the fourth line of a cage over its first; a ball in its load swells too softly
FEWEST_TURNS = 40.0  # of the shaft, that its defects can be told apart
RACES = ("outer_race", "inner_race", "rolling_element")


@dataclass(frozen=True, slots=True)
class Line:
    """One line that was looked for. ``score_db`` is over the median of its neighbourhood."""

    name: str
    expected_hz: float
    found_hz: float | None
    score_db: float


@dataclass(frozen=True, slots=True, eq=False)
class Diagnosis:
    """What an envelope spectrum tells.

    Attributes
    ----------
    lines : tuple of Line
        Defects of the bearing, then shaft and what else turns.
    conclusion : str
    why : str
        One sentence.
    band_hz : tuple of float
        In which the resonance was taken.
    frequency_hz, amplitude : ndarray, shape (lines,)
        Envelope spectrum of that band.
    others_said : bool
        Somebody said what else turns; else what is named holds only if nothing else does.
    """

    lines: tuple[Line, ...]
    conclusion: Conclusion
    why: str
    band_hz: tuple[float, float]
    frequency_hz: Floats
    amplitude: Floats
    others_said: bool = True


@dataclass(slots=True)
class _Look:
    """Every comb in one band."""

    envelope: Envelope
    cleared: Floats  # without what is no defect
    fits: dict[str, Fit]
    raw: dict[str, Fit]  # before that was taken out
    others: dict[str, Fit]


def diagnose(
    acceleration: ArrayLike,
    rate_hz: float,
    shaft_hz: float,
    bearing: Bearing,
    slip: float = 0.03,
    *,
    band_hz: tuple[float, float] | None = None,
    others_hz: Mapping[str, float] | None = None,
    mains_hz: float | None = None,
) -> Diagnosis:
    """Which part of a bearing is struck.

    Parameters
    ----------
    acceleration : array_like, shape (frames,)
        Any unit.
    rate_hz : float
        Readings a second.
    shaft_hz : float
        Turns a second.
    bearing : Bearing
    slip : float
        How far lines may lie off what pure rolling gives, as a share.
    band_hz : tuple of float or None
        Band of the resonance; None takes the one in which an expected line stands out most.
    others_hz : mapping of str to float or None
        What else turns: belt, second shaft. None where nobody has said; then no cage is named, and
        a race only "if nothing else turns near".
    mains_hz : float or None
        50 or 60; 0 for none; None where nobody has said: both may hum.

    Returns
    -------
    Diagnosis
        ``not_conclusive`` unless one defect explains its lines and nothing else does.

    Raises
    ------
    ValueError
        Too few turns, or a rate too low for any band.

    References
    ----------
    McFadden and Smith (1984); Randall and Antoni, Mech. Syst. Signal Process. 25 (2011). The
    thresholds are our own, set on made-up recordings and counted on others.

    Examples
    --------
    >>> t = np.arange(48000) / 12000
    >>> knocks = np.zeros(48000)
    >>> knocks[::112] = 1.0  # 107.14 Hz
    >>> rung = np.convolve(knocks, np.exp(-t[:200] * 500) * np.sin(18850 * t[:200]))[:48000]
    >>> noise = 0.02 * np.random.Generator(np.random.Philox(3)).standard_normal(48000)
    >>> diagnose(rung + noise, 12000, 29.95, Bearing(9, 7.94, 39.04)).conclusion
    'outer_race'
    """
    seen = np.asarray(acceleration, dtype=np.float64)
    found = frequencies(bearing, shaft_hz)
    tried = (band_hz,) if band_hz else bands(rate_hz, found.inner_race_hz)
    if not tried:
        raise ValueError("the rate is too low for an envelope")
    if len(seen) / rate_hz * shaft_hz < FEWEST_TURNS:
        raise ValueError("too few turns")
    combs = combs_of(found, shaft_hz, slip + SPEED_OFF)
    others = distractors_of(shaft_hz, others_hz, mains_of(mains_hz))
    most = 4.5 * max(comb.base_hz for comb in combs.values())
    lines, seconds = transform(seen, rate_hz)
    looks = [_look(envelope_of(lines, seconds, one, most), combs, others) for one in tried]
    known = turning(lines, seconds, shaft_hz, slip + SPEED_OFF, mains_hz, others_hz)
    best, conclusion, why = _concluded(looks, combs, others_hz, known)
    spectrum = best.envelope
    return Diagnosis(
        lines=_lines(best, combs, others, conclusion),
        conclusion=conclusion,
        why=why,
        band_hz=spectrum.band_hz,
        frequency_hz=spectrum.step_hz * np.arange(len(spectrum.power), dtype=np.float64),
        amplitude=np.sqrt(spectrum.power),
        others_said=others_hz is not None,
    )


def _look(envelope: Envelope, combs: dict[str, Comb], others: dict[str, Comb]) -> _Look:
    step = envelope.step_hz
    cleared = envelope.strength
    fitted = {}
    for name, comb in others.items():
        one = fit(comb, step, envelope.strength)
        fitted[name] = one
        if surprise(one.evidence, len(comb.lines), one.trials) < FAINT:
            cleared = without(cleared, step, comb, one.ratio)
    fits = {name: fit(comb, step, cleared) for name, comb in combs.items()}
    raw = {name: fit(comb, step, envelope.strength) for name, comb in combs.items()}
    return _Look(envelope, cleared, fits, raw, fitted)


def _concluded(
    looks: list[_Look], combs: dict[str, Comb], others_hz: Mapping[str, float] | None,
    known: Turning,
) -> tuple[_Look, Conclusion, str]:  # fmt: skip
    best = max(looks, key=lambda look: max(look.fits[name].evidence for name in RACES))
    name = max(RACES, key=lambda one: best.fits[one].evidence)
    if _chance(best, name, combs, looks) > FAINT:
        return _cage_or_nothing(looks, combs, others_hz, best)
    against = doubt(known, best.envelope, combs[name], best.fits[name])
    conclusion, why = _named(best, name, combs, looks, against)
    if conclusion == name:
        return best, conclusion, explained(others_hz is not None)
    return best, conclusion, why


def _chance(look: _Look, name: str, combs: dict[str, Comb], looks: list[_Look]) -> float:
    one = look.fits[name]
    return surprise(one.evidence, len(combs[name].lines), one.trials * len(looks))


def explained(others_said: bool) -> str:
    """Why a part is named, and what that rests on.

    Parameters
    ----------
    others_said : bool
        Somebody said what else turns.

    Returns
    -------
    str

    Examples
    --------
    >>> explained(True)
    'Its lines stand out, and nothing that was said to turn explains them.'
    """
    if others_said:
        return say("Its lines stand out, and nothing that was said to turn explains them.")
    return say(
        "Its lines stand out, if nothing else turns near this frequency: nobody said what else "
        "turns."
    )


def _named(
    look: _Look, name: str, combs: dict[str, Comb], looks: list[_Look], against: str
) -> tuple[Conclusion, str]:
    """The strongest race or rolling element, unless something speaks against naming it."""
    one = look.fits[name]
    beside = max(one.heights[1:])
    if _chance(look, name, combs, looks) > SURE or decibels(one.heights[0]) < NAMED_DB:
        return "not_conclusive", say("A line is there, too faint to be named.")
    if decibels(beside) < BESIDE_DB:
        return "not_conclusive", say("One line stands alone; a defect draws more than one.")
    if name == "rolling_element" and decibels(max(one.heights[2:])) < BESIDE_DB:
        return "not_conclusive", say("A ball's line comes with the cage's beside it; here not.")
    if any(look.raw[other].evidence > one.evidence for other in RACES if other != name):
        return "not_conclusive", say("A stronger line may be the shaft's, or another part's.")
    if against:
        return "not_conclusive", against
    if _is_outshone(look, name, combs):
        return "not_conclusive", say("A stronger line among them is explained by nothing.")
    for rival in (other for other in RACES if other != name):
        if _rivals(look, name, rival, combs, looks):
            return "not_conclusive", say("Two parts of the bearing would explain the lines.")
    named: Conclusion = name  # type: ignore[assignment]  # one of the three
    return named, ""


def _is_outshone(look: _Look, name: str, combs: dict[str, Comb]) -> bool:
    """Whether a line among those of the races is stronger than the one named, and not its own."""
    step, one = look.envelope.step_hz, look.fits[name]
    left = without(look.cleared, step, combs[name], one.ratio)
    low, high = 0.7 * combs["outer_race"].base_hz, 1.2 * combs["inner_race"].base_hz
    among = left[int(low / step) : int(high / step) + 1]
    return bool(among.max(initial=0.0) > one.heights[0])


def _rivals(look: _Look, name: str, rival: str, combs: dict[str, Comb], looks: list[_Look]) -> bool:
    """Whether a rival stays when the best is taken out, or the best goes with a strong rival."""
    step = look.envelope.step_hz
    best, other = look.fits[name], look.fits[rival]
    left = fit(combs[rival], step, without(look.cleared, step, combs[name], best.ratio))
    trials = left.trials * len(looks)
    if surprise(left.evidence, len(combs[rival].lines), trials) < SURE:
        return left.evidence > RIVAL * best.evidence
    if other.evidence < RIVAL * best.evidence:
        return False
    kept = fit(combs[name], step, without(look.cleared, step, combs[rival], other.ratio))
    return kept.evidence < RIVAL * best.evidence


def _cage_or_nothing(
    looks: list[_Look],
    combs: dict[str, Comb],
    others_hz: Mapping[str, float] | None,
    best: _Look,
) -> tuple[_Look, Conclusion, str]:
    look = max(looks, key=lambda one: one.fits["cage"].evidence)
    one = look.fits["cage"]
    chance = _chance(look, "cage", combs, looks)
    if chance > FAINT:
        if _is_hidden(looks, combs):
            why = say("A line stands where the shaft, a belt or the mains draw theirs.")
            return best, "not_conclusive", why
        return best, "nothing_found", say("No line of a defect stands out from the noise.")
    enough = sum(decibels(height) >= BESIDE_DB for height in one.heights) >= 3
    if chance > SURE or not enough or decibels(one.heights[0]) < NAMED_DB:
        return look, "not_conclusive", say("A line of the cage is there, too faint to be named.")
    if others_hz is None:
        why = say("The cage would draw this line, and so may a belt: say what else turns.")
        return look, "not_conclusive", why
    if one.heights[-1] < SHARP * one.heights[0]:
        why = say("The cage would draw this line, and so may one ball as it passes the load.")
        return look, "not_conclusive", why
    return look, "cage", explained(True)


def _is_hidden(looks: list[_Look], combs: dict[str, Comb]) -> bool:
    """Whether a race or a ball would have a line, had the others' lines not been taken out."""
    return any(
        surprise(
            look.raw[name].evidence, len(combs[name].lines), look.raw[name].trials * len(looks)
        )
        < SURE
        for look in looks
        for name in RACES
    )


def _lines(
    look: _Look, combs: dict[str, Comb], others: dict[str, Comb], conclusion: str
) -> tuple[Line, ...]:
    """Each line that was looked for; what the named part explains is no line of another part."""
    step, fits = look.envelope.step_hz, dict(look.fits)
    if conclusion in combs:
        left = without(look.cleared, step, combs[conclusion], fits[conclusion].ratio)
        fits |= {name: fit(comb, step, left) for name, comb in combs.items() if name != conclusion}
    made = []
    for name, comb in {**combs, **others}.items():
        one = fits.get(name) or look.others[name]
        score = decibels(one.heights[0])
        where = comb.base_hz * one.ratio
        made.append(Line(name, comb.base_hz, where if score >= FOUND_DB else None, score))
    return tuple(made)
