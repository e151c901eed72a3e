"""An exact machine of two axes with errors that are known: what instruments would read on it.

The tool point is worked out position by position; nothing here is linear in the errors, and nothing
here comes from the signatures that the program fits.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """Errors of two axes, in the units a person would say them in."""

    scale_x: float = 0.0  # µm/m, positive: the axis travels too far
    scale_y: float = 0.0
    squareness: float = 0.0  # µm/m, angle from +X to +Y over 90 degrees
    lost_x: float = 0.0  # µm
    lost_y: float = 0.0
    lag_x: float = 0.0  # ms behind the command
    lag_y: float = 0.0
    side_x: float = 0.0  # µm: the slide of X steps along Y when X turns round
    side_y: float = 0.0
    bow_x: float = 0.0  # µm: X runs out along Y by this at the reference radius, as a parabola
    bow_radius_mm: float = 150.0
    cyclic_x: float = 0.0  # µm either way, once a pitch
    cyclic_phase: float = 0.7
    pitch_mm: float = 10.0
    stick_0: float = 0.0  # µm: sticks past the reversal at 0 degrees, at the reference feed
    stick_feed: float = 2000.0  # mm/min
    stick_rad: float = math.radians(3.0)

    def point(self, x: Floats, y: Floats, way_x: Floats, way_y: Floats) -> tuple[Floats, Floats]:
        """Where the tool stands, millimetres; ``way_x`` is the sign of the speed of X."""
        turns = 2 * np.pi * x / self.pitch_mm + self.cyclic_phase
        along_x = x * (1 + self.scale_x * 1e-6) - way_x * self.lost_x / 2e3
        along_x = along_x + self.cyclic_x / 1e3 * np.sin(turns) + way_y * self.side_y / 2e3
        along_y = y * (1 + self.scale_y * 1e-6) - way_y * self.lost_y / 2e3
        along_y = along_y + self.bow_x / 1e3 * (x / self.bow_radius_mm) ** 2
        along_y = along_y + way_x * self.side_x / 2e3
        lean = self.squareness * 1e-6
        return along_x - along_y * math.sin(lean), along_y * math.cos(lean)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """How a circle is set up and run; the centre is where the set-up stands off, micrometres."""

    radius_mm: float = 150.0
    feed_mm_min: float = 1000.0
    centre_x: float = 0.0
    centre_y: float = 0.0
    points: int = 720
    noise: float = 0.0


def circle(
    machine: Machine, bar: Bar, direction: int, chance: np.random.Generator | None = None
) -> tuple[Floats, Floats]:
    """Angles in radians and what the bar reads, micrometres."""
    angle = (np.arange(bar.points) + 0.5) * 2 * np.pi / bar.points
    turning = direction * bar.feed_mm_min / 60 / bar.radius_mm  # rad/s
    x = bar.radius_mm * np.cos(angle - turning * machine.lag_x / 1e3)
    y = bar.radius_mm * np.sin(angle - turning * machine.lag_y / 1e3)
    way_x, way_y = -direction * np.sign(np.sin(angle)), direction * np.sign(np.cos(angle))
    tool_x, tool_y = machine.point(x, y, way_x, way_y)
    past = np.mod(direction * angle, 2 * np.pi) / machine.stick_rad
    share = (bar.feed_mm_min / machine.stick_feed) ** 2 * machine.bow_radius_mm / bar.radius_mm
    stick = machine.stick_0 * share * past * np.exp(1 - past)
    tool_x = tool_x + bar.centre_x / 1e3 + stick / 1e3 * np.cos(angle)
    tool_y = tool_y + bar.centre_y / 1e3 + stick / 1e3 * np.sin(angle)
    read = (np.hypot(tool_x, tool_y) - bar.radius_mm) * 1e3
    if chance is not None and bar.noise:
        read = read + bar.noise * chance.standard_normal(bar.points)
    return angle, read


def circle_rows(
    machine: Machine, bars: Sequence[Bar], chance: np.random.Generator | None = None
) -> bytes:
    """A file of circles in both directions, as it would be kept; one set-up."""
    lines = ["direction,angle_deg,deviation_um,radius_mm,feed_mm_min"]
    for bar in bars:
        for word, direction in (("ccw", 1), ("cw", -1)):
            angle, read = circle(machine, bar, direction, chance)
            for a, r in zip(np.degrees(angle), read, strict=True):
                lines.append(f"{word},{a:.4f},{r:.4f},{bar.radius_mm:g},{bar.feed_mm_min:g}")
    return ("\n".join(lines) + "\n").encode()


def at_rest(machine: Machine, axis: str, place_mm: Floats, way: float) -> tuple[Floats, Floats]:
    """How far off one axis stands along and across itself, the other axis at rest, micrometres."""
    still = np.zeros_like(place_mm)
    ways = still + way
    if axis == "X":
        x, y = machine.point(place_mm, still, ways, still)
        return (x - place_mm) * 1e3, y * 1e3
    x, y = machine.point(still, place_mm, still, ways)
    return (y - place_mm) * 1e3, x * 1e3


def positioning(
    machine: Machine,
    axis: str,
    targets_mm: Sequence[float],
    noise: float,
    chance: np.random.Generator,
) -> str:
    """Five runs to each target, both approaches, as a file; an axis at rest does not lag."""
    lines = ["target_mm,approach,run,deviation_um"]
    targets = np.asarray(targets_mm, dtype=np.float64)
    for run in range(1, 6):
        for word, way in (("forward", 1.0), ("backward", -1.0)):
            off, _ = at_rest(machine, axis, targets, way)
            off = off + noise * chance.standard_normal(len(targets))
            lines += [f"{t:g},{word},{run},{o:.3f}" for t, o in zip(targets, off, strict=True)]
    return "\n".join(lines) + "\n"


def backlash(machine: Machine, axis: str, noise: float, chance: np.random.Generator) -> str:
    """An indicator against the table at three places, come to from both sides, as a file."""
    lines = ["place,approach,run,reading_um"]
    for place, at in (("low", -90.0), ("middle", 0.0), ("high", 90.0)):
        for run in (1, 2, 3):
            for word, way in (("forward", 1.0), ("backward", -1.0)):
                off, _ = at_rest(machine, axis, np.array([at]), way)
                read = off[0] + noise * chance.standard_normal()
                lines.append(f"{place},{word},{run},{read:.3f}")
    return "\n".join(lines) + "\n"


def straightness(machine: Machine, noise: float, chance: np.random.Generator) -> str:
    """An indicator of Y along a straightedge while X runs to plus, as a file."""
    places = np.linspace(-100.0, 100.0, 21)
    _, across = at_rest(machine, "X", places, 1.0)
    across = across + noise * chance.standard_normal(len(places))
    rows = [f"{p:g},{a:.3f}" for p, a in zip(places, across, strict=True)]
    return "\n".join(["position_mm,height_um", *rows]) + "\n"


def diagonals(machine: Machine, radius_mm: float) -> str:
    """Diameters at 45 and 135 degrees less nominal, mean of both directions, as a file."""
    lines = ["diagonal_deg,diameter_um"]
    for degrees in (45, 135):
        angle = math.radians(degrees) + np.array([0.0, math.pi])
        spans = []
        for direction in (-1.0, 1.0):
            ways = -direction * np.sign(np.sin(angle)), direction * np.sign(np.cos(angle))
            x, y = machine.point(radius_mm * np.cos(angle), radius_mm * np.sin(angle), *ways)
            spans.append(math.hypot(x[0] - x[1], y[0] - y[1]) - 2 * radius_mm)
        lines.append(f"{degrees},{1e3 * sum(spans) / 2:.4f}")
    return "\n".join(lines) + "\n"
