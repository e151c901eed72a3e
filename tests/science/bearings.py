"""Made-up recordings of bearings: impacts through two resonances, noise, and what else turns.

The truth is known, so that a diagnosis can be counted. Nothing here is taken from what is tested.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg import eigh

from retrue.base.chance import stream

# Ball count, ball and pitch diameter, contact angle: two of a public test rig, one spindle bearing.
GEOMETRIES = (
    (9, 7.94, 39.04, 0.0),
    (8, 6.746, 28.5, 0.0),
    (9, 7.9375, 38.5, 0.0),
    (16, 8.4074, 71.501, 15.17),
    (8, 5.969, 31.623, 0.0),
    (19, 9.525, 78.5, 15.0),
)
DEFECTS = ("outer_race", "inner_race", "rolling_element", "healthy")
BESIDE = ("lobes", "lobes_mistyped", "hum", "pump", "gear")  # healthy, and what draws lines
NOISES_DB = (6.0, 0.0, -6.0)  # impacts over noise, root-mean-square, all frequencies


@dataclass(frozen=True, eq=False)
class Made:
    """One recording and its truth."""

    acceleration: np.ndarray
    rate_hz: float
    shaft_hz: float
    geometry: tuple[int, float, float, float]
    truth: str
    belt_hz: float


def resonances(draw, rate_hz):
    """Acceleration of the second of two masses after a knock on the first, as a function of time.

    Two masses, two springs, damping of 2 to 5 % in each mode.
    """
    masses = np.array([1.0, draw.uniform(0.3, 1.5)])
    one, two = draw.uniform(0.5, 1.5, 2)
    stiffness = np.array([[one + two, -two], [-two, two]])
    squares, shapes = eigh(stiffness, np.diag(masses))
    low = 2 * np.pi * draw.uniform(0.12, 0.2) * rate_hz
    omegas = np.sqrt(squares / squares[0]) * low
    dampings = draw.uniform(0.02, 0.05, 2)

    def ring(t):
        made = np.zeros_like(t)
        for mode in range(2):
            if omegas[mode] > np.pi * rate_hz * 0.9:
                continue
            weight = shapes[0, mode] * shapes[1, mode]
            fade, turn = dampings[mode] * omegas[mode], omegas[mode]
            made += weight * turn * np.exp(-fade * t) * np.sin(turn * t)
        return np.where(t >= 0, made, 0.0)

    return ring, 6 / (dampings.min() * low)


def ringing(times, heights, ring, lasts, rate_hz, frames):
    """Knocks at any times, each one rung through the resonances."""
    made = np.zeros(frames)
    long = int(lasts * rate_hz)
    for at, height in zip(times, heights, strict=True):
        first = int(np.ceil(at * rate_hz))
        last = min(first + long, frames)
        if 0 <= first < frames:
            made[first:last] += height * ring(np.arange(first, last) / rate_hz - at)
    return made


def load_zone(angle):
    """How hard a ball is pressed at an angle from the middle of the load (half the ring loaded)."""
    return np.clip(np.cos(angle), 0, None) ** 1.5


def knocks(defect, geometry, shaft_hz, slip, seconds, draw):
    """Times and heights of the impacts of one defect."""
    balls, ball, pitch, angle = geometry
    ratio = ball / pitch * np.cos(np.radians(angle))
    cage = shaft_hz * (1 - ratio) / 2
    rate = {
        "outer_race": balls * cage,
        "inner_race": balls * (shaft_hz - cage),
        "rolling_element": shaft_hz * pitch / ball * (1 - ratio**2),
    }[defect] * (1 + slip)
    gaps = (1 + 0.01 * draw.standard_normal(int(rate * seconds) + 20)) / rate
    times = np.cumsum(gaps) - draw.uniform(0, 1) / rate
    times = times[(times >= 0) & (times < seconds)]
    heights = 1 + 0.1 * draw.standard_normal(len(times))
    start = draw.uniform(0, 2 * np.pi)
    if defect == "inner_race":
        heights *= load_zone(2 * np.pi * shaft_hz * times + start)
    if defect == "rolling_element":
        heights *= np.where(np.arange(len(times)) % 2, 1.0, 0.6)  # outer race, inner race
        heights *= load_zone(2 * np.pi * cage * (1 + slip) * times + start)
    return times, heights


def recording(
    seed: int,
    defect: str,
    over_noise_db: float,
    *,
    geometry: tuple[int, float, float, float] | None = None,
    seconds: float = 4.0,
    slip: float | None = None,
) -> Made:
    """One recording of a shaft with unbalance and a belt, on a bearing that may have a defect.

    Slip is 1 to 3 % of the defect's frequency, either way, and each interval differs by 1 %.
    """
    draw = stream(seed, "bearing", defect, f"{over_noise_db:g}")
    geometry = geometry or GEOMETRIES[int(draw.integers(len(GEOMETRIES)))]
    rate_hz = float(draw.choice([12000.0, 12800.0, 25600.0]))
    shaft_hz = float(draw.uniform(12, 55))
    frames = int(seconds * rate_hz)
    t = np.arange(frames) / rate_hz
    if slip is None:
        slip = float(draw.choice([-1, 1]) * draw.uniform(0.01, 0.03))
    ring, lasts = resonances(draw, rate_hz)
    belt_hz = shaft_hz * float(draw.uniform(0.15, 0.35))
    noise = draw.standard_normal(frames)
    for frequency, depth in ((shaft_hz, 0.25), (belt_hz, 0.2), (2 * belt_hz, 0.2), (100.0, 0.1)):
        phase = draw.uniform(0, 2 * np.pi)
        noise *= 1 + depth * draw.uniform(0, 1) * np.cos(2 * np.pi * frequency * t + phase)
    made = noise
    for order, size in ((1, 2.0), (2, 0.8), (3, 0.4)):
        for frequency in (order * shaft_hz, order * belt_hz):
            phase = draw.uniform(0, 2 * np.pi)
            made = made + size * draw.uniform(0, 1) * np.sin(2 * np.pi * frequency * t + phase)
    strays = int(draw.integers(0, 4))  # somebody knocks against the table
    if draw.uniform() < 0.25:  # something touches once a turn, or a belt's joint knocks
        turn = shaft_hz if draw.uniform() < 0.5 else belt_hz
        times = np.arange(draw.uniform(0, 1) / turn, seconds, 1 / turn)
        touch = ringing(times, np.ones(len(times)), ring, lasts, rate_hz, frames)
        made = made + draw.uniform(0.2, 0.6) * touch / np.sqrt(np.mean(touch**2))
    loud = 10 ** (over_noise_db / 20)
    unit = ring(np.arange(int(lasts * rate_hz)) / rate_hz)
    hard = 8 * draw.uniform(0, 1, strays) / np.abs(unit).max()
    made = made + ringing(draw.uniform(0, seconds, strays), hard, ring, lasts, rate_hz, frames)
    if defect != "healthy":
        times, heights = knocks(defect, geometry, shaft_hz, slip, seconds, draw)
        impacts = ringing(times, heights, ring, lasts, rate_hz, frames)
        made = made + impacts * loud / np.sqrt(np.mean(impacts**2))
    typed_hz = shaft_hz * (1 + draw.uniform(-0.003, 0.003))  # as a person reads a speed
    return Made(made, rate_hz, typed_hz, geometry, defect, belt_hz)


def beside(seed: int, sort: str) -> tuple[Made, dict[str, float]]:
    """A healthy bearing beside something else that knocks or hums, and what of it turns.

    Lobes (jaws, a coupling) 3 to 8 times a turn, at the typed speed or one up to 3 % off; hum of
    50 or 60 Hz; a pump of nine uneven pistons; a gear of another shaft. Half have no unbalance.
    """
    draw = stream(seed, "beside", sort)
    geometry = GEOMETRIES[int(draw.integers(len(GEOMETRIES)))]
    rate_hz, seconds = float(draw.choice([12000.0, 25600.0])), 4.0
    shaft_hz = float(draw.uniform(12, 55))
    mains = float(draw.choice([50.0, 60.0])) * (1 + draw.uniform(-0.001, 0.001))
    if sort == "hum":  # the shaft turns so that a race, or a ball, would draw its line there
        shaft_hz = _meeting(draw, geometry, 2 * mains)
        shaft_hz *= max(np.ceil(12 / shaft_hz), draw.integers(1, 4))
    t = np.arange(int(seconds * rate_hz)) / rate_hz
    made = draw.standard_normal(len(t))
    others: dict[str, float] = {}
    if draw.uniform() < 0.5:
        made = made + draw.uniform(0.2, 2.0) * np.sin(2 * np.pi * shaft_hz * t)
    if sort == "hum":
        depths = enumerate(draw.uniform(0.1, 0.6, 3), start=1)
        made = made * (1 + sum(one * np.cos(4 * np.pi * k * mains * t) for k, one in depths))
    else:
        ring, lasts = resonances(draw, rate_hz)
        times, heights, others = _train(draw, sort, shaft_hz, geometry, seconds)
        knock = ringing(times, heights, ring, lasts, rate_hz, len(t))
        made = made + 10 ** draw.uniform(-0.3, 0.6) * knock / np.sqrt(np.mean(knock**2))
    off = 0.03 if sort == "lobes_mistyped" else 0.003
    typed_hz = shaft_hz * (1 + draw.uniform(-off, off))
    return Made(made, rate_hz, typed_hz, geometry, "healthy", 0.0), others


def _meeting(draw, geometry, hertz):
    """Turns a second at which one of a bearing's lines meets a frequency within its slip."""
    balls, ball, pitch, angle = geometry
    ratio = ball / pitch * np.cos(np.radians(angle))
    lines = (balls * (1 - ratio) / 2, balls * (1 + ratio) / 2, pitch / ball * (1 - ratio**2))
    return float(hertz / lines[int(draw.integers(3))] * (1 + draw.uniform(-0.03, 0.03)))


def _train(draw, sort, shaft_hz, geometry, seconds):
    """Times and heights of knocks that are no bearing's, and what it is that turns."""
    if sort.startswith("lobes"):
        lines = {k: _meeting(draw, geometry, k * 1.0) for k in range(3, 9)}
        order = min(lines, key=lambda k: abs(lines[k] - 1)) if draw.uniform() < 0.7 else int(
            draw.integers(3, 9)
        )  # fmt: skip
        times = np.arange(draw.uniform(0, 1) / shaft_hz, seconds, 1 / (order * shaft_hz))
        return times, 1 + 0.05 * draw.standard_normal(len(times)), {}
    if sort == "pump":
        turn = shaft_hz / _meeting(draw, geometry, 9.0)  # nine a turn meet a line of the bearing
        times = np.arange(draw.uniform(0, 1) / turn, seconds, 1 / (9 * turn))
        pistons = 1 + draw.uniform(0.05, 0.3) * draw.standard_normal(9)
        return times, np.resize(pistons, len(times)), {"pump": turn}
    turn = shaft_hz * float(draw.uniform(0.3, 2.0))  # a gear on another shaft, its wheel not round
    teeth = int(draw.integers(7, 30))
    times = np.arange(draw.uniform(0, 1) / turn, seconds, 1 / (teeth * turn))
    heights = 1 + draw.uniform(0.1, 0.5) * np.cos(2 * np.pi * turn * times)
    return times, heights, {"gear": turn}
