"""How each cause shows on a circular path: one column of micrometres for each unit of the cause."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.science.circle import Path

Floats = NDArray[np.float64]
SPIKE_RAD = np.radians(3.0)  # from the reversal to the top of the spike it leaves
CORE = ("scale_mismatch", "squareness", "reversal_x", "reversal_y", "lag_mismatch")
FURTHER = ("lateral_play_x", "lateral_play_y", "straightness_x", "straightness_y")
SPIKES = ("spike_0", "spike_90", "spike_180", "spike_270")
CYCLIC = ("cyclic_x.sine", "cyclic_x.cosine", "cyclic_y.sine", "cyclic_y.cosine")
SPEEDS = ("radius_at_feed",)
SIZES = ("scale_mean",)
PAIR = "squareness_or_lag_mismatch"


@dataclass(frozen=True, slots=True)
class Frame:
    """What the columns of several circles are told in: reference radius and feed, pitch.

    ``feed_mm_s`` is None where some path does not say its feed.
    """

    radius_mm: float
    feed_mm_s: float | None
    pitch_mm: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Turn:
    """One stretch of a path, with what many columns need of it."""

    path: Path
    frame: Frame
    angle: Floats
    cosine: Floats
    sine: Floats
    side_cosine: Floats  # sign of the cosine, zero at the reversal itself
    side_sine: Floats

    @property
    def way(self) -> int:
        """+1 counter-clockwise, -1 clockwise."""
        return self.path.direction

    @property
    def radius_m(self) -> float:
        """Nominal radius, metres: micrometres for each micrometre per metre."""
        return self.path.radius_mm / 1000

    @property
    def feed_share(self) -> float:
        """Feed over the reference feed; 1 where the feed is not known."""
        feed, reference = self.path.feed_mm_min, self.frame.feed_mm_s
        return 1.0 if feed is None or reference is None else feed / 60 / reference

    @property
    def radius_share(self) -> float:
        """Radius over the reference radius."""
        return self.path.radius_mm / self.frame.radius_mm


def frame_of(paths: Sequence[Path], pitch_mm: float | None = None) -> Frame:
    """What the columns of these paths are told in.

    Parameters
    ----------
    paths : sequence of Path
        All paths that are separated together.
    pitch_mm : float or None
        Of the two screws.

    Returns
    -------
    Frame
        The largest radius and the highest feed are the references.

    Examples
    --------
    >>> nothing = np.zeros(1)
    >>> frame_of([Path(nothing, nothing, 1, 150.0, 600.0)]).feed_mm_s
    10.0
    """
    feeds = [path.feed_mm_min for path in paths]
    known = [feed for feed in feeds if feed is not None]
    feed = max(known) / 60 if len(known) == len(feeds) and known else None
    return Frame(max(path.radius_mm for path in paths), feed, pitch_mm)


def turn(path: Path, frame: Frame, start: int = 0, stop: int | None = None) -> Turn:
    """A stretch of a path, ready for its columns.

    Parameters
    ----------
    path : Path
        Where it was measured.
    frame : Frame
        Of all paths that are separated together.
    start, stop : int
        First point, and the one after the last.

    Returns
    -------
    Turn

    Examples
    --------
    >>> path = Path(np.radians([0.0, 90.0]), np.zeros(2), 1, 150.0)
    >>> turn(path, frame_of([path])).side_sine.tolist()
    [0.0, 1.0]
    """
    angle = path.angle_rad[start:stop]
    cosine, sine = np.cos(angle), np.sin(angle)
    return Turn(path, frame, angle, cosine, sine, _side(cosine), _side(sine))


def _side(values: Floats) -> Floats:
    """The sign; nothing where an axis stands at its reversal."""
    return np.where(np.abs(values) < 1e-12, 0.0, np.sign(values))


def _centre_x(t: Turn) -> Floats:
    return t.cosine


def _centre_y(t: Turn) -> Floats:
    return t.sine


def _radius(t: Turn) -> Floats:
    return np.ones_like(t.angle)


def _scale_mean(t: Turn) -> Floats:
    return np.full_like(t.angle, t.radius_m)


def _radius_at_feed(t: Turn) -> Floats:
    """The loop rounds the circle off: a radius lost with the square of the feed."""
    return np.full_like(t.angle, -(t.feed_share**2) / t.radius_share)


def _scale_mismatch(t: Turn) -> Floats:
    return t.radius_m / 2 * (2 * t.cosine**2 - 1)


def _squareness(t: Turn) -> Floats:
    return -t.radius_m * t.sine * t.cosine


def _reversal_x(t: Turn) -> Floats:
    return t.way / 2 * t.side_sine * t.cosine


def _reversal_y(t: Turn) -> Floats:
    return -t.way / 2 * t.side_cosine * t.sine


def _lag_mismatch(t: Turn) -> Floats:
    """For each millisecond that the first axis lags more; without a feed, for each micrometre."""
    feed = t.path.feed_mm_min
    size = 1.0 if feed is None or t.frame.feed_mm_s is None else feed / 60 / 2
    return 2 * t.way * size * t.sine * t.cosine


def _lateral_play_x(t: Turn) -> Floats:
    return -t.way / 2 * np.abs(t.sine)


def _lateral_play_y(t: Turn) -> Floats:
    return t.way / 2 * np.abs(t.cosine)


def _straightness_x(t: Turn) -> Floats:
    return t.radius_share**2 * t.sine * t.cosine**2


def _straightness_y(t: Turn) -> Floats:
    return t.radius_share**2 * t.cosine * t.sine**2


def _cyclic(phase: Callable[[Floats], Floats], along: str) -> Callable[[Turn], Floats]:
    def column(t: Turn) -> Floats:
        assert t.frame.pitch_mm is not None
        place: Floats = t.cosine if along == "x" else t.sine
        return place * phase(2 * np.pi * t.path.radius_mm / t.frame.pitch_mm * place)

    return column


def _spike(degrees: float) -> Callable[[Turn], Floats]:
    """It sticks at the reversal, then catches up: only after it, in the direction of travel."""

    def column(t: Turn) -> Floats:
        past = np.mod(t.way * (t.angle - np.radians(degrees)), 2 * np.pi) / SPIKE_RAD
        return np.asarray(t.feed_share**2 / t.radius_share * past * np.exp(1 - past))

    return column


COLUMNS: Mapping[str, Callable[[Turn], Floats]] = {
    "centre_x": _centre_x,
    "centre_y": _centre_y,
    "radius": _radius,
    "scale_mean": _scale_mean,
    "radius_at_feed": _radius_at_feed,
    "scale_mismatch": _scale_mismatch,
    "squareness": _squareness,
    PAIR: _squareness,
    "reversal_x": _reversal_x,
    "reversal_y": _reversal_y,
    "lag_mismatch": _lag_mismatch,
    "lateral_play_x": _lateral_play_x,
    "lateral_play_y": _lateral_play_y,
    "straightness_x": _straightness_x,
    "straightness_y": _straightness_y,
    "spike_0": _spike(0.0),
    "spike_90": _spike(90.0),
    "spike_180": _spike(180.0),
    "spike_270": _spike(270.0),
    "cyclic_x.sine": _cyclic(np.sin, "x"),
    "cyclic_x.cosine": _cyclic(np.cos, "x"),
    "cyclic_y.sine": _cyclic(np.sin, "y"),
    "cyclic_y.cosine": _cyclic(np.cos, "y"),
}


def column(id: str, stretch: Turn) -> Floats:
    """What one unit of a cause does to a stretch of a path.

    Parameters
    ----------
    id : str
        A cause; ``centre_x@1`` is that of the circle numbered 1 and leaves all others alone.
    stretch : Turn
        Of shape (n,).

    Returns
    -------
    ndarray, shape (n,)
        Micrometres for each unit: micrometres; micrometres per metre for scale and squareness;
        milliseconds for the lag.

    Notes
    -----
    First order in the deviation over the radius. Positive: the angle from the first axis to the
    second is over 90 degrees; lost motion; the first axis is longer; the first axis lags more;
    play that carries the slide to the second axis' plus side while it runs towards plus.

    References
    ----------
    Knapp, Circular test for three-coordinate measuring machines and machine tools, Precision
    Engineering 5 (1983) (from memory); signatures derived here from r = ex cos + ey sin.

    Examples
    --------
    >>> path = Path(np.radians([45.0]), np.zeros(1), 1, 150.0)
    >>> column("squareness", turn(path, frame_of([path]))).round(6).tolist()
    [-0.075]
    """
    name, _, circle = id.partition("@")
    if circle and int(circle) != stretch.path.circle:
        return np.zeros_like(stretch.angle)
    return COLUMNS[name](stretch)


def standstill_ms(height_um: float, radius_mm: float, feed_mm_min: float) -> float:
    """How long an axis stood still to leave a spike of that height where it turns round.

    Parameters
    ----------
    height_um : float
        Of the spike, outward, from zero up.
    radius_mm : float
        Of the circle.
    feed_mm_min : float
        Along the circle, over zero.

    Returns
    -------
    float
        Milliseconds.

    References
    ----------
    By definition: while one axis stands the other goes on along the tangent, which leaves the
    circle by (feed times standstill) squared over twice the radius.

    Examples
    --------
    >>> [round(standstill_ms(h, 150, f)) for h, f in ((0.0926, 500), (0.37, 1000), (1.4815, 2000))]
    [20, 20, 20]
    """
    return float(np.sqrt(2 * radius_mm * 1000 * height_um)) / (feed_mm_min * 1000 / 60) * 1000
