"""The run-in watch on made-up runs: motors that run away, and spindles that warm up as they should.

Run ``.venv/bin/python bench/watch.py``. Prints how many runaways were called before their winding
reached the temperature of its class, how much sooner than a plain fixed limit, how many before
anything was wrong, how many healthy warm-ups were stopped; then how long one judgment takes.

The physics: winding and frame are two bodies; copper losses rise with the winding's own heat. A
shorted turn adds losses that grow and feed on the heat; a failing drive sends a current that creeps
up; a dragging bearing does so more slowly. All sizes are invented, wide on purpose.
"""

from __future__ import annotations

import argparse
import math
import time
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from statistics import median, quantiles
from typing import Literal

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from retrue.science.watch import WatchState, judge
from retrue.science.watch_limits import Bounds, Limits, class_ceiling_c

Floats = NDArray[np.float64]
Pair = tuple[Floats, Floats]  # seconds, values
Readings = dict[str, Pair]
FAULTS = ("shorted turn", "failing drive", "dragging bearing")
CADENCES = ("typed, one a minute", "typed, one in three minutes", "logged, one a second",
            "logged, one in ten seconds")  # fmt: skip
STEP_S = 2.0
AGAIN_S = 45.0  # who is asked to read again does so after that long
LEAST_S = 360.0  # a fault that runs away sooner than the longest silence cannot be watched for
COPPER_PER_KELVIN = 0.00393
SEED = 20261126
RISES = {4: (15.0, 18.0), 5: (18.0, 21.0), 6: (20.0, 23.0), 7: (22.0, 25.0), 8: (25.0, 25.0)}


@dataclass(frozen=True, slots=True)
class Run:
    """One made-up run: what was read, what was true, what it is held against."""

    sort: str
    cadence: str
    readings: Readings
    limits: Limits
    lasts_s: float
    true: Readings
    onset_s: float = math.inf
    reached_s: float = math.inf  # the winding is truly as hot as its class allows
    fixed_s: float = math.inf  # the first reading at or over that
    lower_s: float = math.inf  # the first reading within 20 K of it


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one run."""

    run: Run
    called_s: float
    reasons: tuple[str, ...]
    holds: int


def motor(
    rng: Generator, sort: str, ceiling_c: float, room_c: float
) -> tuple[Floats, Floats, Floats, float, float]:
    """Seconds, winding in degrees, current in amperes; rated current; when it went wrong."""
    rated = rng.uniform(10, 60)
    idle = rated * rng.uniform(0.08, 0.22)
    healthy = rng.uniform(12, 45)  # kelvin, settled
    inner, outer = rng.uniform(0.25, 0.5) * healthy, 0.0
    outer = healthy - inner
    winding_s, frame_s = rng.uniform(150, 480), rng.uniform(1200, 3600)
    onset = rng.uniform(0, 3600)
    grows_s = rng.uniform(240, 1800)
    size = rng.uniform(2.5, 8.0) * (ceiling_c - room_c) / 100 * 40 / healthy
    feeds = rng.uniform(25, 60)
    shows = rng.uniform(0.02, 0.10)  # of the rated current, for losses once more as large
    count = int((onset + 4 * 3600) / STEP_S)
    winding, frame = room_c, room_c
    at = np.arange(count, dtype=np.float64) * STEP_S
    hot, amps = np.empty(count), np.empty(count)
    for place in range(count):
        late = max(0.0, at[place] - onset)
        extra, current = 0.0, idle
        if sort == "shorted turn":
            extra = size * (1 - math.exp(-late / grows_s))
            extra *= min(math.exp((winding - room_c - healthy) / feeds), 20.0) if late else 1.0
            current += rated * shows * extra
        elif late:
            slow = 1.0 if sort == "failing drive" else 2.0
            current *= 1 + (math.sqrt(1 + size) - 1) * (1 - math.exp(-late / (slow * grows_s)))
        copper = (current / idle) ** 2 if sort != "shorted turn" else 1.0 + extra
        losses = copper * (1 + COPPER_PER_KELVIN * (winding - room_c))
        out = (winding - frame) / inner
        winding += STEP_S / winding_s * (losses - out) * inner
        frame += STEP_S / frame_s * (out - (frame - room_c) / outer) * outer
        hot[place], amps[place] = winding, current
        if winding > ceiling_c + 15:
            at, hot, amps = at[: place + 1], hot[: place + 1], amps[: place + 1]
            break
    return at, hot, amps, rated, onset


def runaway(rng: Generator, cadences: tuple[str, ...] = CADENCES) -> Run:
    """A motor that reaches the temperature of its class if nobody stops it."""
    while True:
        sort, cadence = str(rng.choice(FAULTS)), str(rng.choice(cadences))
        ceiling_c = class_ceiling_c(str(rng.choice(["B", "F", "H"])))
        room_c = rng.uniform(8, 28)
        at, hot, amps, rated, onset = motor(rng, sort, ceiling_c, room_c)
        reached = float(at[np.argmax(hot >= ceiling_c)])
        if hot[-1] > ceiling_c and reached - onset >= LEAST_S:
            break
    lag_s, gain = rng.uniform(5, 45), rng.uniform(0.98, 1.01)
    seen = room_c + (lagged(at, hot, lag_s) - room_c) * gain
    true = {"winding": (at, seen), "amps": (at, amps)}
    noise = {"winding": rng.uniform(0.1, 0.5), "amps": rng.uniform(0.002, 0.012) * rated}
    readings, good = read_all(rng, cadence, true, noise)
    limits = Limits(
        channels={
            "winding": Bounds(ceiling_c=ceiling_c, must=True),
            "amps": Bounds(rated=rated, expected_low=0.05 * rated, expected_high=0.25 * rated,
                           abort_high=0.35 * rated, must=True),
        },
        room_c=room_c, step_minutes=30.0,
    )  # fmt: skip
    winding = good["winding"]
    readings = short_of(limits, cadence, readings, good)
    return Run(
        sort, cadence, readings, limits, float(at[-1]), true, onset, reached,
        first_over(winding, ceiling_c), first_over(winding, ceiling_c - 20),
    )  # fmt: skip


def healthy(rng: Generator, cadences: tuple[str, ...] = CADENCES) -> Run:
    """A spindle that warms up as it should, with a peak when its grease is displaced."""
    cadence = str(rng.choice(cadences))
    step = int(rng.choice(list(RISES)))
    expected, most = RISES[step]
    at = np.arange(0.0, rng.uniform(60, 120) * 60, STEP_S)
    room_c = rng.uniform(8, 28)
    while True:
        before = rng.uniform(0, 0.7) * expected
        settles = rng.uniform(0.5, 0.9) * expected
        slow = rng.uniform(8, 35) * 60
        peak, comes, rises, falls = (
            rng.uniform(1, 6), rng.uniform(4, 35) * 60, rng.uniform(5, 15) * 60,
            rng.uniform(8, 40) * 60,
        )  # fmt: skip
        bump = shape(at - comes, rises, falls)
        nose = before + (settles - before) * (1 - np.exp(-at / slow)) + peak * bump
        per_min = float(np.diff(nose[:: int(60 / STEP_S)]).max())
        if nose.max() < most - 1.0 and room_c + nose.max() < 58 and per_min < 0.85:
            break
    rated = rng.uniform(10, 60)
    idle = rated * rng.uniform(0.08, 0.19)
    stiff = rated * rng.uniform(0, 0.02) * np.exp(-at / 600)
    amps = idle + stiff + rated * rng.uniform(0.005, 0.04) * bump
    rise, winding_s = rng.uniform(12, 45), rng.uniform(8, 40) * 60
    start = rng.uniform(0, 0.6) * rise
    winding = start + (rise - start) * (1 - np.exp(-at / winding_s)) * (1 + 0.03 * bump)
    drift = rng.uniform(-2, 2) * at / at[-1]
    room = room_c + drift
    true = {"nose": (at, room + nose), "winding": (at, room + winding), "amps": (at, amps)}
    noise = {"nose": rng.uniform(0.05, 0.3), "winding": rng.uniform(0.1, 0.5),
             "amps": rng.uniform(0.002, 0.012) * rated}  # fmt: skip
    readings, good = read_all(rng, cadence, true, noise)
    limits = Limits(
        channels={
            "nose": Bounds(expected_high=55.0, abort_high=60.0, expected_rise_kelvin=expected,
                           abort_rise_kelvin=most, rate_hold=0.5, rate_stop=1.0, must=True),
            "winding": Bounds(ceiling_c=class_ceiling_c(str(rng.choice(["B", "F", "H"])))),
            "amps": Bounds(rated=rated, expected_low=0.05 * rated, expected_high=0.25 * rated,
                           abort_high=0.35 * rated),
        },
        room_c=room_c, step_minutes=30.0,
    )  # fmt: skip
    readings = short_of(limits, cadence, readings, good)
    return Run("healthy", cadence, readings, limits, float(at[-1]), true)


def short_of(limits: Limits, cadence: str, readings: Readings, good: Readings) -> Readings:
    """Typing errors that stay short of what stops: one past it is a stop at once, as it should."""
    if not cadence.startswith("typed"):
        return readings
    left = {}
    for name, (times, seen) in readings.items():
        bounds = limits.channels[name]
        tops = [one for one in (bounds.abort_high, bounds.ceiling_c) if one is not None]
        if bounds.abort_rise_kelvin is not None and limits.room_c is not None:
            tops.append(limits.room_c + bounds.abort_rise_kelvin)
        own = good[name][1]
        left[name] = (times, np.where((seen != own) & (seen > min(tops)), own, seen))
    return left


def shape(late: Floats, rises: float, falls: float) -> Floats:
    """A bump of height one that rises and falls."""
    up = np.where(late < 0, 0.0, np.minimum(late / rises, 1.0))
    up = up * up * (3 - 2 * up)
    return np.asarray(up * np.exp(-np.maximum(late - rises, 0.0) / falls))


def lagged(at: Floats, seen: Floats, lag_s: float) -> Floats:
    """What a sensor that follows slowly shows."""
    share = 1 - math.exp(-float(at[1] - at[0]) / lag_s)
    out, value = np.empty_like(seen), float(seen[0])
    for place, one in enumerate(seen.tolist()):
        value += share * (one - value)
        out[place] = value
    return out


def read_all(
    rng: Generator, cadence: str, true: Readings, noise: dict[str, float]
) -> tuple[Readings, Readings]:
    """What was read, and the same without its bad readings, as a plain alarm is given it."""
    times = moments_of(rng, cadence, float(next(iter(true.values()))[0][-1]))
    typed = cadence.startswith("typed")
    pairs = {name: read(rng, typed, times, true[name], noise[name]) for name in true}
    return ({name: (times, bad) for name, (_, bad) in pairs.items()},
            {name: (times, good) for name, (good, _) in pairs.items()})  # fmt: skip


def moments_of(rng: Generator, cadence: str, lasts_s: float) -> Floats:
    """When it is read: a logger to the second, a person about when it is due."""
    every = {"typed, one a minute": 60.0, "typed, one in three minutes": 180.0,
             "logged, one a second": 1.0, "logged, one in ten seconds": 10.0}[cadence]  # fmt: skip
    times = np.arange(0.0, lasts_s + 1e-9, every)
    if cadence.startswith("typed"):
        times = np.maximum.accumulate(np.maximum(times + rng.uniform(-20, 20, len(times)), 0.0))
        times = times[np.r_[True, np.diff(times) > 5]]
    return times


def read(
    rng: Generator, typed: bool, times: Floats, true: Pair, sd: float
) -> tuple[Floats, Floats]:
    """Readings with noise and rounding; then with now and then a bad one."""
    seen = np.interp(times, *true) + rng.normal(0, sd, len(times))
    if typed:
        step = 0.1 if float(np.max(true[1])) < 20 else float(rng.choice([0.1, 0.5, 1.0]))
        seen = np.round(seen / step) * step
    bad = rng.random(len(times)) < (0.004 if typed else 0.0005)
    wrong = seen * rng.choice([0.1, 1.4, 2.0, 10.0], len(times))
    return seen, np.where(bad, wrong, seen)


def first_over(read_so_far: Pair, limit: float) -> float:
    """When the first reading was at or over a limit, as a plain alarm would call."""
    times, values = read_so_far
    over = np.flatnonzero(values >= limit)
    return float(times[over[0]]) if len(over) else math.inf


def watched(run: Run) -> Outcome:
    """Judge a run from its beginning until it is called; who is asked to read again does so."""
    holds, left = 0, moments(run)
    readings = dict(run.readings)
    while left:
        moment = left.pop()
        state = judge(until(readings, moment), run.limits, moment)
        if state.call in ("stop", "no_reading"):
            return Outcome(run, moment, grave(state), holds)
        holds += state.call == "hold"
        asked = [r.channel for r in state.reasons if r.code == "read_again"]
        if asked and run.cadence.startswith("typed") and moment + AGAIN_S < run.lasts_s:
            for name in asked:
                readings[name] = with_one(readings[name], moment + AGAIN_S, run.true[name])
            left = sorted({*left, moment + AGAIN_S}, reverse=True)
    return Outcome(run, math.inf, (), holds)


def with_one(read_so_far: Pair, moment: float, true: Pair) -> Pair:
    """One more reading, a good one."""
    seconds, values = read_so_far
    place = int(np.searchsorted(seconds, moment))
    value = float(np.interp(moment, *true))
    return np.insert(seconds, place, moment), np.insert(values, place, value)


def grave(state: WatchState) -> tuple[str, ...]:
    """Why it was called."""
    return tuple(f"{r.channel} {r.code}" for r in state.reasons if r.call in ("stop", "no_reading"))


def moments(run: Run) -> list[float]:
    """Every typed reading and a minute and a half after it, or each half minute; the last first."""
    if run.cadence.startswith("logged"):
        return list(np.arange(0.0, run.lasts_s, 30.0)[::-1].tolist())
    read_at = np.concatenate([seconds for seconds, _ in run.readings.values()])
    return sorted({*read_at.tolist(), *(read_at + 91).tolist()}, reverse=True)


def until(readings: Readings, moment: float) -> Readings:
    """What was read until then."""
    ends = {name: int(np.searchsorted(s, moment, "right")) for name, (s, _) in readings.items()}
    return {name: (s[: ends[name]], v[: ends[name]]) for name, (s, v) in readings.items()}


def one(
    sort: Literal["runaway", "healthy"],
    seed: int,
    number: int,
    cadences: tuple[str, ...] = CADENCES,
) -> Outcome:
    """One run by its number."""
    rng = np.random.default_rng([seed, sort == "healthy", number])
    return watched(runaway(rng, cadences) if sort == "runaway" else healthy(rng, cadences))


def play(
    sort: Literal["runaway", "healthy"], count: int, seed: int, processes: int = 1
) -> list[Outcome]:
    """So many runs of one sort."""
    task = partial(one, sort, seed)
    if processes == 1:
        return [task(number) for number in range(count)]
    with ProcessPoolExecutor(processes) as pool:
        return list(pool.map(task, range(count), chunksize=8))


def in_time(outcome: Outcome) -> bool:
    """Called after it went wrong and before its winding was as hot as its class allows."""
    return outcome.run.onset_s <= outcome.called_s < outcome.run.reached_s


def lead_minutes(outcomes: Iterable[Outcome], lower: bool = False) -> list[float]:
    """Minutes that a plain fixed limit would have called later; a run's end where never."""
    fixed = [(o, o.run.lower_s if lower else o.run.fixed_s) for o in outcomes]
    return [(min(at, o.run.lasts_s) - o.called_s) / 60 for o, at in fixed if in_time(o)]


def judgment_ms() -> float:
    """Median time of one judgment of three hours, eight channels, one reading a second."""
    rng, at = np.random.default_rng(SEED), np.arange(10_800.0)
    warm = 1 - np.exp(-at / 1800)
    readings: Readings = {
        name: (at, 21 + rise * warm + rng.normal(0, 0.2, len(at)))
        for name, rise in (("nose", 17), ("winding", 40), ("motor_case", 25), ("room", 0))
    }
    readings |= {
        name: (at, level + rng.normal(0, level / 50, len(at)))
        for name, level in (("amps", 6.0), ("sound_db", 72.0), ("pressure_bar", 35.0),
                            ("vibration_mm_s", 1.1))
    }  # fmt: skip
    limits = healthy(rng).limits
    took = []
    for _ in range(11):
        begins = time.perf_counter()
        judge(readings, limits, 10_800.0)
        took.append((time.perf_counter() - begins) * 1000)
    return median(took)


def show(seed: int, count: int, processes: int) -> None:
    away, well = (play(sort, count, seed, processes) for sort in ("runaway", "healthy"))
    good = [o for o in away if in_time(o)]
    early = [o for o in away if o.called_s < o.run.onset_s]
    print(f"seed {seed}: runaways called in time {len(good)} of {count}; before anything was wrong "
          f"{len(early)}; too late {count - len(good) - len(early)}")  # fmt: skip
    for lower, what in ((False, "at the class"), (True, "20 K below the class")):
        leads = lead_minutes(away, lower)
        if len(leads) > 1:
            low, high = quantiles(leads, n=20)[0], quantiles(leads, n=20)[-1]
            print(f"  lead over a fixed limit {what}: median {median(leads):.1f} min, "
                  f"from {low:.1f} to {high:.1f}, least {min(leads):.1f}")  # fmt: skip
    left = [(o.run.reached_s - o.called_s) / 60 for o in good]
    print(
        f"  left until the class is reached: median {median(left):.1f} min, least {min(left):.1f}"
    )
    stopped = [o for o in well if math.isfinite(o.called_s)]
    print(f"  healthy warm-ups not called: {count - len(stopped)} of {count}")
    for o in (*(o for o in away if not in_time(o)), *stopped):
        print(f"    {o.run.sort}, {o.run.cadence}: onset {o.run.onset_s / 60:.1f}, "
              f"called {o.called_s / 60:.1f}, reached {o.run.reached_s / 60:.1f} min; "
              f"{', '.join(o.reasons)}")  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--count", type=int, default=500)
    parser.add_argument("--seeds", type=int, nargs="+", default=[SEED])
    parser.add_argument("--processes", type=int, default=1)
    asked = parser.parse_args()
    for seed in asked.seeds:
        show(seed, asked.count, asked.processes)
    print(f"one judgment of three hours at one reading a second: {judgment_ms():.0f} ms")


if __name__ == "__main__":
    main()
