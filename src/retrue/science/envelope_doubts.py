"""What speaks against naming a part: what turns, hums or meshes so near that it may draw the line.

A whole multiple of the shaft (jaws, lobes, a coupling), of the mains, of another shaft (pistons,
vanes, teeth), or a series of lines with a spacing of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.science.envelope_lines import Comb, Envelope, Fit, decibels, floor_of

Floats = NDArray[np.float64]
BOTH_MAINS = (50.0, 60.0)
MOST_HUM = 20  # multiples of the mains that are looked at
MOST_OTHER = 40  # multiples of another shaft: pistons, vanes, teeth
SEEN_DB = 20.0  # the shaft's own line tells its speed from here on
SECOND = 0.1  # a second line with that share of its power: it is not known which is the shaft's
MISREAD = 0.01  # the shaft's own line lies farther off than that: the speed was not the typed one
SIDES_DB = 15.0  # both sidebands of a cage so strong: nothing but a ball draws them
SERIES = range(2, 41)  # a line may be one of many of something slower
APART = 5  # lines nearer than that many steps are not told apart
OWN_SIDE = 0.04  # so near to a sideband of its own it says nothing
SIDES = (-2, -1, 1, 2)  # all of these lines beside it
STANDS = 10.0  # strength from which a line beside it stands out
OVER = 6.0  # and how far over the middle of what is around it


@dataclass(frozen=True, slots=True)
class Turning:
    """What is known of all that turns: ``seen_hz`` is the shaft's own line, if it has one."""

    shaft_hz: float  # as typed
    seen_hz: float | None
    slip: float
    mains_hz: tuple[float, ...]
    shafts_hz: tuple[float, ...] = ()


def mains_of(mains_hz: float | None) -> tuple[float, ...]:
    """Which mains may hum.

    Parameters
    ----------
    mains_hz : float or None
        None where nobody has said: both; 0 for none.

    Returns
    -------
    tuple of float

    Examples
    --------
    >>> mains_of(None), mains_of(60.0), mains_of(0.0)
    ((50.0, 60.0), (60.0,), ())
    """
    if mains_hz is None:
        return BOTH_MAINS
    return (mains_hz,) if mains_hz > 0 else ()


def turning(
    lines: NDArray[np.complex128], seconds: float, shaft_hz: float, slip: float,
    mains_hz: float | None, others_hz: Mapping[str, float] | None,
) -> Turning:  # fmt: skip
    """What turns, with the shaft's speed as the recording itself shows it.

    Parameters
    ----------
    lines : ndarray, shape (frames // 2 + 1,)
        Fourier transform of the recording.
    seconds : float
        Of the recording.
    shaft_hz : float
        As typed.
    slip : float
        How far lines are looked for, as a share.
    mains_hz : float or None
    others_hz : mapping of str to float or None
        What else turns; of a belt no far multiple is feared.

    Returns
    -------
    Turning

    References
    ----------
    By definition: unbalance shakes once a turn. The limits are our own.

    Examples
    --------
    >>> t = np.arange(20000) / 5000
    >>> noise = 0.1 * np.random.Generator(np.random.Philox(1)).standard_normal(20000)
    >>> seen = np.fft.rfft(np.sin(2 * np.pi * 30.1 * t) + noise)
    >>> round(turning(seen, 4.0, 30.0, 0.03, None, None).seen_hz, 1)
    30.1
    """
    mains = mains_of(mains_hz)
    shafts = tuple(hz for name, hz in (others_hz or {}).items() if name != "belt")
    return Turning(shaft_hz, _seen(lines, seconds, shaft_hz, slip, mains), slip, mains, shafts)


def _seen(
    lines: NDArray[np.complex128], seconds: float, shaft_hz: float, slip: float,
    mains: tuple[float, ...],
) -> float | None:  # fmt: skip
    """The one strong line near the typed speed; None where there is none, or two, or hum."""
    upto = min(int(3 * shaft_hz * seconds), len(lines) - 1)
    shaped = lines[1:upto] / 2 - (lines[: upto - 1] + lines[2 : upto + 1]) / 4  # Hann
    power = np.concatenate([[0.0], np.abs(shaped) ** 2])
    strength = power / floor_of(power)
    wide = max(slip * shaft_hz * seconds, 3.0)
    low, high = round(shaft_hz * seconds - wide), round(shaft_hz * seconds + wide) + 1
    at = low + int(power[low:high].argmax())
    rest = power[low:high].copy()
    rest[max(at - low - 3, 0) : at - low + 4] = 0.0
    if decibels(float(strength[at])) < SEEN_DB or rest.max(initial=0.0) > SECOND * power[at]:
        return None
    before, top, after = np.sqrt(power[at - 1 : at + 2])
    found = float((at + 2 * (after - before) / (before + 2 * top + after)) / seconds)
    return None if _hums(found, mains, 1.5 / seconds) else found


def _hums(hertz: float, mains: tuple[float, ...], near_hz: float) -> bool:
    return any(
        abs(hertz - order * each) <= near_hz for each in mains for order in range(1, MOST_HUM + 1)
    )


def doubt(known: Turning, envelope: Envelope, comb: Comb, one: Fit) -> str:
    """Why a line that stands out may not be that part's.

    Parameters
    ----------
    known : Turning
    envelope : Envelope
        In which it stands.
    comb : Comb
        Of the part.
    one : Fit
        Where it stands.

    Returns
    -------
    str
        Empty where nothing speaks against it.

    References
    ----------
    Resolution of a spectrum, kinematics (by definition); what is near enough is our own.

    Examples
    --------
    >>> seen = Envelope((1e3, 3e3), 0.25, np.ones(800), np.ones(800))
    >>> race = Comb("outer_race", 91.5, ((1, 0), (2, 0), (3, 0)), 30.0, 0.03, (6, 1))
    >>> doubt(Turning(30.0, None, 0.03, ()), seen, race, Fit(0.984, (90.0, 40.0, 20.0), 150.0, 9))
    'The line stands at 3 times the shaft: jaws, lobes or a coupling may draw it too.'
    """
    hertz, step = comb.base_hz * one.ratio, envelope.step_hz
    if known.seen_hz and abs(known.seen_hz / known.shaft_hz - 1) > MISREAD + step / known.shaft_hz:
        return say(
            "It turned at {seen} rpm, not at what was said: give that speed.",
            seen=f"{60 * known.seen_hz:.0f}",
        )
    if _is_of_a_series(envelope, comb, one, known):
        return say("The line belongs to the series of something slower.")
    ball = comb.name == "rolling_element" and decibels(min(one.heights[2:])) >= SIDES_DB
    if ball:
        return ""
    order = near_shaft(known, hertz, step)
    if order:
        return say(
            "The line stands at {order} times the shaft: jaws, lobes or a coupling may draw it "
            "too.", order=f"{order}",
        )  # fmt: skip
    if _hums(hertz, known.mains_hz, 2.5 * step + 0.002 * hertz):
        return say("The line stands at a multiple of the mains: hum may draw it too.")
    if any(_near(hertz, shaft, step, 0.005, MOST_OTHER) for shaft in known.shafts_hz):
        return say("The line stands at a multiple of something else that turns.")
    return ""


def near_shaft(known: Turning, hertz: float, step_hz: float) -> int:
    """Which whole multiple of the shaft a line cannot be told from.

    Parameters
    ----------
    known : Turning
        Where the shaft's own line shows its speed, only the resolution counts; else the typed
        speed may be off as far as lines are looked for.
    hertz : float
        Of the line.
    step_hz : float
        Between two lines of the spectrum.

    Returns
    -------
    int
        0: none.

    References
    ----------
    By definition.

    Examples
    --------
    >>> near_shaft(Turning(30.0, None, 0.03, ()), 91.5, 0.25)
    3
    >>> near_shaft(Turning(30.0, 30.01, 0.03, ()), 92.5, 0.25)
    0
    """
    share = 0.002 if known.seen_hz else known.slip
    for shaft in {known.shaft_hz, known.seen_hz or known.shaft_hz}:
        order = _near(hertz, shaft, step_hz, share, 10**6)
        if order:
            return order
    return 0


def _near(hertz: float, base_hz: float, step_hz: float, share: float, most: int) -> int:
    """The order of the multiple that is nearer than can be told apart; 0 for none."""
    order = max(round(hertz / base_hz), 1)
    tolerance = (2.5 + 0.3 * order) * step_hz + share * hertz
    return order if order <= most and abs(hertz - order * base_hz) <= tolerance else 0


def _is_of_a_series(envelope: Envelope, comb: Comb, one: Fit, known: Turning) -> bool:
    """Whether the lines of something slower stand on both sides of it."""
    step, strength = envelope.step_hz, envelope.strength
    first = comb.base_hz * one.ratio
    for order in SERIES:
        slower = first / order
        if slower < APART * step:
            break
        if _is_own(slower, comb.side_hz, step, known):
            continue
        if all(_height(strength, (first + side * slower) / step) > STANDS for side in SIDES):
            return True
    return False


def _is_own(slower_hz: float, side_hz: float, step_hz: float, known: Turning) -> bool:
    """Whether it is so near to a sideband of the comb's own that nothing follows."""
    share = 0.005 if known.seen_hz else OWN_SIDE
    near = max(share * slower_hz, 2.5 * step_hz)
    return side_hz > 0 and any(abs(slower_hz - side * side_hz) < near for side in range(1, 5))


def _height(strength: Floats, at: float) -> float:
    """How strong a line is there; zero where it does not stand out from what is around it."""
    middle = round(at)
    near = strength[max(middle - 1, 0) : middle + 2]
    if not len(near):
        return 0.0
    around = np.concatenate(
        [strength[max(middle - 12, 0) : max(middle - 3, 0)], strength[middle + 4 : middle + 13]]
    )
    top = float(near.max())
    return top if len(around) and top > OVER * float(np.median(around)) else 0.0
