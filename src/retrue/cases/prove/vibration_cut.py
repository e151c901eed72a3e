"""What a recorder did to a vibration: tops cut off, also below full scale; a mean off zero."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.recording import Recording
from retrue.science.sampling import clipped_share

Floats = NDArray[np.float64]
OFFSET = 0.1  # a mean of more than that share of half its span is told
OVER_FULL = 1e-3
FEWEST_STEPS = 4  # different values; of fewer nothing is told of flat tops
MANY = 6  # times at an end and off it, that it is more than chance
LONG = 10.0  # readings on the end at a time


def told_offset(values: Floats, unit: str) -> tuple[str, ...]:
    """What is said of a mean away from zero, which eats the range of the recorder.

    Parameters
    ----------
    values : ndarray, shape (frames,)
    unit : str
        Of them, as it is said.

    Returns
    -------
    tuple of str
        Empty where the mean is small beside the span.

    Examples
    --------
    >>> told_offset(np.array([-1.0, 1.0]), "g"), len(told_offset(np.array([1.0, 3.0]), "g"))
    ((), 1)
    """
    mean = float(values.mean())
    if abs(mean) <= OFFSET * float(np.ptp(values)) / 2:
        return ()
    return (
        say("It stands {mean} {unit} off zero; that is taken off. Was it not the pull of the "
            "earth, look at sensor and recorder.", mean=number(mean, 3), unit=unit),
    )  # fmt: skip


def cut_off(recording: Recording, channel: int, values: Floats) -> float:
    """The share that is cut off: at full scale, or flat at an end of its own below it.

    Parameters
    ----------
    recording : Recording
    channel : int
        Counted from 1.
    values : ndarray, shape (frames,)
        Of that channel, full scale one. A file of floats that goes over it is not cut off there.

    Returns
    -------
    float
        0 to 1.

    References
    ----------
    Our own: what is cut off leaves its end steeply; a quiet tone of few steps does not.

    Examples
    --------
    >>> wave = np.clip(0.9 * np.sin(np.arange(4000) * 0.1), -0.5, 0.5)
    >>> one = Recording(name="a", samples=wave[:, None].astype(np.float32), rate_hz=4000.0)
    >>> cut_off(one, 1, wave) > 0.5
    True
    """
    flat = clipped_share(values) if _falls_off_its_ends(values) else 0.0
    if float(np.abs(values).max()) > 1 + OVER_FULL:
        return flat
    return max(recording.clipped(channel), flat)


def _falls_off_its_ends(values: Floats) -> bool:
    """Whether it leaves its largest or smallest value steeply, as what is cut off does.

    A slow quiet tone of few steps lies on its last step for a while, but on the next one as well.
    """
    steps = np.unique(values)
    if len(steps) < FEWEST_STEPS:
        return False
    least = float(np.diff(steps).min())
    for end in (steps[-1], steps[0]):
        at = np.flatnonzero(np.diff((values == end).astype(np.int8)))
        at = at[(at > 0) & (at < len(values) - 2)]
        if len(at) < MANY:
            continue
        rises = values[at + 1] == end  # onto the end; else off it
        beside, further = np.where(rises, at, at + 1), np.where(rises, at - 1, at + 2)
        gap = float(np.median(np.abs(values[beside] - end)))
        stays = float(np.mean(values[beside] == values[further]))
        lies = 2 * float((values == end).sum()) / len(at)
        if gap > 2.5 * least or (lies >= LONG and stays < 0.5):
            return True
    return False
