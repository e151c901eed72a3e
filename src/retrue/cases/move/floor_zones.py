"""Where each thing of a floor plan stands, and how much room each door and service space has."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from retrue.base.say import later, say
from retrue.cases.move.drawings import FloorSort, Point
from retrue.cases.move.floor_things import HANGS, Thing
from retrue.cases.move.plane import (
    TOUCH_MM,
    Frame,
    Outline,
    box,
    cut,
    edges,
    from_point,
    inside,
    overlap,
    rectangle,
    sector,
)

SLIDE_MM = 80.0  # thickness of a sliding door where nobody has said
_SORTS: dict[str, FloorSort] = {
    "machine": "machine",
    "other": "other",
    "column": "column",
    "joint": "joint",
    "hall_door": "hall_door",
    "walk": "service",
    "door": "door_swing",
    "slide": "door_slide",
    "cabinet": "cabinet_swing",
    "operator": "operator",
    "service": "service",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A thing where it stands, turned."""

    thing: Thing
    name: str
    outline: Outline
    frame: Frame  # of its own front left corner, along its front


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A space that must be free, and how far it is."""

    sort: FloorSort
    name: str
    machine: str
    outline: Outline
    needed_mm: float
    clear_mm: float  # up to the first thing in its way
    by: str = ""  # what that is
    hinge: Point | None = None
    face: tuple[Point, Point] | None = None  # where clear_mm is measured from, and its end

    @property
    def free(self) -> bool:
        """Whether nothing stands in it."""
        return self.clear_mm >= self.needed_mm - TOUCH_MM


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """A floor plan: the hall, what stands in it, what must be free."""

    hall: Outline
    solids: tuple[Standing, ...]  # machines, others, columns
    lines: tuple[Standing, ...]  # joints, doors of the hall
    walks: tuple[Standing, ...]
    hangs: tuple[tuple[Thing, Standing], ...]  # with the machine each hangs on

    @property
    def machines(self) -> tuple[Standing, ...]:
        """Those whose doors and service count."""
        return tuple(one for one in self.solids if one.thing.what == "machine")


def placed(things: Sequence[Thing]) -> Floor:
    """Put every thing in its place.

    Parameters
    ----------
    things : sequence of Thing
        As checked by ``check_things``.

    Returns
    -------
    Floor
        ``hall`` is empty where nobody has said where the walls are.

    Examples
    --------
    >>> made = placed([Thing(what="machine", width_mm=2000, depth_mm=1000, turn_deg=90)])
    >>> made.machines[0].outline[0]
    (1000.0, 0.0)
    """
    corners = tuple((one.x_mm, one.y_mm) for one in things if one.what == "corner")
    halls = [one for one in things if one.what == "shop"]
    hall = _standing(halls[0], 0).outline if halls else corners
    counted = [_standing(one, place) for place, one in enumerate(things, 1)]
    owners = [one for one in counted if one.thing.what in ("machine", "other")]
    machines = [one for one in owners if one.thing.what == "machine"] or owners
    hangs = []
    for thing in (one for one in things if one.what in HANGS):
        named = [one for one in owners if thing.of and one.name == thing.of]
        hangs.append((thing, (named or machines)[0]))
    return Floor(
        hall=hall,
        solids=tuple(o for o in counted if o.thing.what in ("machine", "other", "column")),
        lines=tuple(o for o in counted if o.thing.what in ("joint", "hall_door")),
        walks=tuple(o for o in counted if o.thing.what == "walk"),
        hangs=tuple(hangs),
    )


def _standing(thing: Thing, place: int) -> Standing:
    """A thing turned about its own corner, then set down by the corner of its room."""
    frame = Frame((0.0, 0.0), thing.turn_deg)
    deep = 0.0 if thing.what in ("joint", "hall_door") else thing.depth_mm
    left, low, _, _ = box(rectangle(frame, 0.0, 0.0, thing.width_mm, deep))
    moved = Frame((thing.x_mm - left, thing.y_mm - low), thing.turn_deg)
    outline = rectangle(moved, 0.0, 0.0, thing.width_mm, deep)
    told = thing.name or f"{_WORDS.get(thing.what, thing.what)} {place}"
    return Standing(thing=thing, name=told, outline=outline if deep else outline[:2], frame=moved)


_WORDS = {
    "machine": later("machine"),
    "other": later("other machine"),
    "column": later("column"),
    "joint": later("slab joint"),
    "hall_door": later("door of the hall"),
    "walk": later("way to keep free"),
    "door": later("door"),
    "slide": later("sliding door"),
    "cabinet": later("cabinet"),
    "operator": later("operator"),
    "service": later("service"),
}


def side_frame(one: Standing, side: str) -> tuple[Frame, float]:
    """A side of a machine, and how long it is.

    Parameters
    ----------
    one : Standing
    side : str
        front, right, rear, left.

    Returns
    -------
    (Frame, float)
        Its origin is the right end for who stands before that side; along runs to the left end,
        across leads away from the machine.
    """
    wide, deep = one.thing.width_mm, one.thing.depth_mm
    ends = {
        "front": ((wide, 0.0), 180.0, wide),
        "right": ((wide, deep), 270.0, deep),
        "rear": ((0.0, deep), 0.0, wide),
        "left": ((0.0, 0.0), 90.0, deep),
    }
    (along, across), turn, length = ends[side]
    return Frame(one.frame.at(along, across), one.frame.along_deg + turn), length


def zones(floor: Floor, passage_mm: float) -> tuple[Zone, ...]:
    """Every space that a door, a cabinet, the operator or a service needs, and what it has.

    Parameters
    ----------
    floor : Floor
    passage_mm : float
        To be kept in front of an open cabinet, from its face.

    Returns
    -------
    tuple of Zone
        In the order of the rows; a cabinet gives two: its leaf and the room before it.
    """
    made: list[Zone] = []
    for thing, owner in floor.hangs:
        name = thing.name or _WORDS[thing.what]
        if thing.what in ("door", "cabinet"):
            made.append(_leaf(floor, thing, owner, name))
        else:
            wide = thing.width_mm + (thing.swing_mm if thing.what == "slide" else 0.0)
            deep = (thing.depth_mm or SLIDE_MM) if thing.what == "slide" else thing.depth_mm
            made.append(_strip(floor, thing, owner, name, _SORTS[thing.what], wide, deep))
        if thing.what == "cabinet":
            told = say("before {name}, open", name=name)
            made.append(
                _strip(floor, thing, owner, told, "cabinet_front", thing.swing_mm, passage_mm)
            )
    return tuple(made)


def _leaf(floor: Floor, thing: Thing, owner: Standing, name: str) -> Zone:
    """What a hinged leaf sweeps, and how long it might be before it hits something."""
    frame, length = side_frame(owner, thing.side or "front")
    if thing.hinge == "right":
        hinge = frame.at(length - thing.x_mm - thing.swing_mm, thing.y_mm)
        starts, by = frame.along_deg, thing.swing_deg
        low = starts
    else:
        hinge = frame.at(length - thing.x_mm, thing.y_mm)
        starts, by = frame.along_deg + 180.0, -thing.swing_deg
        low = starts + by
    outline = sector(hinge, starts, by, thing.swing_mm)

    def reach(solid: Sequence[Point]) -> float:
        kept = cut(cut(solid, hinge, low), hinge, low + abs(by) + 180.0)
        if not kept:
            return math.inf
        return 0.0 if len(kept) > 2 and inside(kept, hinge) else from_point(kept, hinge)

    clear, blocker = _first(floor, owner, reach, outline, thing.swing_mm)
    return Zone(sort=_SORTS[thing.what], name=name, machine=owner.name, outline=outline,
                needed_mm=thing.swing_mm, clear_mm=clear, by=blocker, hinge=hinge)  # fmt: skip


def _strip(
    floor: Floor,
    thing: Thing,
    owner: Standing,
    name: str,
    sort: FloorSort,
    wide: float,
    deep: float,
) -> Zone:
    """A rectangle before a side, and how deep it is up to the first thing in it."""
    frame, length = side_frame(owner, thing.side or "front")
    width = wide or length
    right = length - thing.x_mm - width
    outline = rectangle(frame, right, thing.y_mm, width, deep)
    clear, blocker = _first(
        floor, owner, lambda solid: _across(frame, solid, right, width, thing.y_mm), outline, deep
    )
    middle = right + width / 2
    face = (frame.at(middle, thing.y_mm), frame.at(middle, thing.y_mm + min(clear, 20 * deep)))
    return Zone(sort=sort, name=name, machine=owner.name, outline=outline, needed_mm=deep,
                clear_mm=clear, by=blocker, face=face)  # fmt: skip


def _across(frame: Frame, solid: Sequence[Point], right: float, width: float, base: float) -> float:
    """How far the first point of an outline is before a piece of a side."""
    own = [frame.of(point) for point in solid]
    kept = cut(own, (0.0, base), 0.0)
    kept = cut(kept, (right, 0.0), 270.0)
    kept = cut(kept, (right + width, 0.0), 90.0)
    return min((across - base for _, across in kept), default=math.inf)


def _first(
    floor: Floor,
    owner: Standing,
    reach: Callable[[Sequence[Point]], float],
    outline: Outline,
    needed: float,
) -> tuple[float, str]:
    """The nearest of all that may stand in the way: how far, and its name."""
    found = [(reach(one.outline), one.name) for one in floor.solids if one is not owner]
    walls = min((reach(edge) for edge in edges(floor.hall)), default=math.inf)
    held = not floor.hall or all(inside(floor.hall, point) for point in outline)
    if walls >= needed and not held:
        walls = 0.0  # it begins behind the wall
    found.append((walls, say("the wall")))
    clear, name = min(found)
    return max(0.0, clear), name if math.isfinite(clear) else ""


def room_round(floor: Floor, one: Standing) -> tuple[tuple[str, float, str], ...]:
    """How much room each side of a machine has, over its whole length.

    Parameters
    ----------
    floor : Floor
    one : Standing

    Returns
    -------
    tuple of (side, mm, what stands there)
    """
    made = []
    for side in ("front", "right", "rear", "left"):
        frame, length = side_frame(one, side)
        found = [
            (_across(frame, solid.outline, 0.0, length, 0.0), solid.name)
            for solid in floor.solids
            if solid is not one
        ]
        found += [
            (_across(frame, edge, 0.0, length, -TOUCH_MM), say("the wall"))
            for edge in edges(floor.hall)
        ]
        clear, name = min(found, default=(math.inf, ""))
        if math.isfinite(clear):
            made.append((side, max(0.0, round(clear, 3)), name))
    return tuple(made)


def clashes(floor: Floor) -> tuple[tuple[Standing, str], ...]:
    """What stands in something else or outside the hall: the thing, and what it meets.

    Parameters
    ----------
    floor : Floor

    Returns
    -------
    tuple of (Standing, str)
    """
    made = []
    for place, one in enumerate(floor.solids):
        if one.thing.what != "column" and floor.hall and not within(floor.hall, one.outline):
            made.append((one, say("the wall")))
        made += [
            (one, other.name)
            for other in floor.solids[place + 1 :]
            if overlap(one.outline, other.outline)
            and (one.thing.what, other.thing.what) != ("column", "column")
        ]
    return tuple(made)


def within(hall: Outline, outline: Outline) -> bool:
    """Whether a convex outline lies in a hall of any shape.

    Parameters
    ----------
    hall, outline : sequence of (float, float)

    Returns
    -------
    bool
    """
    if not all(inside(hall, point) for point in outline):
        return False
    return not any(overlap(edge, outline) for edge in edges(hall))
