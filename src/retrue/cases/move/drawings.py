"""What the pictures of the move show, as plain values; the drawing itself is made elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]  # millimetres; x to the right, y to the rear (up on the plan)
FloorSort = Literal[
    "machine", "door_swing", "door_slide", "cabinet_swing", "operator", "service", "other",
    "column", "joint", "hall_door", "cabinet_front", "route", "wall",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftDrawing:
    """A machine on its slings, seen from the side on which the legs spread most."""

    mass_kg: float
    legs: int
    angle_deg: float  # of a leg, from the horizontal
    leg_kg: float  # pull in the hardest pulled leg
    span_mm: float | None = None  # between the lifting points
    centre_mm: float | None = None  # centre of gravity from the left lifting point; None: unknown
    height_mm: float | None = None  # centre of gravity under the lifting points
    leg_mm: float | None = None  # length of a leg
    rated_kg: float | None = None  # marked on one leg
    machine: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TipDrawing:
    """A machine seen from the side over which it would tip."""

    half_width_mm: float  # from the centre of gravity to the edge it would tip over
    height_mm: float  # centre of gravity over the floor
    tip_deg: float  # at which it stands on that edge
    slope_deg: float | None = None  # the slope or tilt that is to come
    width_mm: float | None = None  # of the machine's feet or skates; None: twice half_width_mm
    machine_height_mm: float | None = None
    machine: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RampDrawing:
    """A machine on a ramp: what pulls, what holds."""

    mass_kg: float
    slope_deg: float
    pull_newton: float  # up the ramp, with what rolling takes
    hold_newton: float  # to stop it rolling back by itself, rolling counted as nothing
    length_mm: float | None = None  # of the ramp, along its slope
    rise_mm: float | None = None
    machine: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DampDrawing:
    """How far bare iron stays above the dew point, over the time that was logged."""

    hours: tuple[float, ...]  # since the first reading
    margin_kelvin: tuple[float, ...]  # iron less dew point
    surface_c: tuple[float, ...] = ()  # of the iron; empty: not shown
    dew_c: tuple[float, ...] = ()  # dew point of the air; empty: not shown
    least_kelvin: float = 3.0  # that ought to be kept
    starts: str = ""  # when the first reading was taken, as a person reads it
    machine: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorPiece:
    """One thing on the floor: its outline, and whether something stands in its way."""

    sort: FloorSort
    name: str
    outline: tuple[Point, ...]  # corners in order; two points: a line (joint, door)
    machine: str = ""  # whose door, cabinet, service space
    clash: bool = False  # something stands in its way, or it stands in the way
    hinge: Point | None = None  # of a swing


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorGap:
    """A clear width that was asked about, drawn as a dimension."""

    name: str
    start: Point
    end: Point
    width_mm: float
    least_mm: float | None = None  # None: only told
    enough: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorDrawing:
    """A floor plan, all in millimetres of the floor."""

    outline: tuple[Point, ...]  # inside of the walls
    pieces: tuple[FloorPiece, ...]
    gaps: tuple[FloorGap, ...] = ()
    title: str = ""


MoveDrawing = LiftDrawing | TipDrawing | RampDrawing | DampDrawing | FloorDrawing
