"""A floor plan as pieces to draw."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from retrue.base.say import say
from retrue.cases.move.drawings import FloorDrawing, FloorGap, FloorPiece, FloorSort, Point
from retrue.cases.move.floor_route import Route
from retrue.cases.move.floor_zones import Floor, Standing, Zone, clashes
from retrue.cases.move.plane import box, inside

FAR_TIMES = 4.0  # a passage that many times wider than asked gets no dimension of its own
_STANDING: dict[str, FloorSort] = {
    "machine": "machine",
    "other": "other",
    "column": "column",
    "joint": "joint",
    "hall_door": "hall_door",
    "walk": "service",
}


def drawn(floor: Floor, spaces: tuple[Zone, ...], routes: tuple[Route, ...]) -> FloorDrawing:
    """The plan as plain values.

    Parameters
    ----------
    floor : Floor
    spaces : tuple of Zone
    routes : tuple of Route

    Returns
    -------
    FloorDrawing
        Back to front: spaces, ways, lines, what stands.

    Examples
    --------
    >>> from retrue.cases.move.floor_things import Thing
    >>> from retrue.cases.move.floor_zones import placed
    >>> floor = placed([Thing(what="shop", width_mm=5000, depth_mm=4000),
    ...     Thing(what="machine", name="mill", x_mm=900, width_mm=2000, depth_mm=1000)])
    >>> [(piece.sort, piece.name) for piece in drawn(floor, (), ()).pieces]
    [('machine', 'mill')]
    """
    met = {name for one, other in clashes(floor) for name in (one.name, other)}
    pieces = [_space(zone) for zone in spaces]
    pieces += [
        FloorPiece(sort="route", name=say("the way in"), outline=_indoors(floor, route))
        for route in routes
        if len(route.points) > 1
    ]
    pieces += [_piece(one, met) for one in (*floor.walks, *floor.lines, *floor.solids)]
    hall = floor.hall or _round_all(floor)
    return FloorDrawing(outline=hall, pieces=tuple(pieces), gaps=tuple(_gaps(floor, spaces)))


def _space(zone: Zone) -> FloorPiece:
    return FloorPiece(sort=zone.sort, name=zone.name, outline=zone.outline, machine=zone.machine,
                      clash=not zone.free, hinge=zone.hinge)  # fmt: skip


def _piece(one: Standing, met: set[str]) -> FloorPiece:
    return FloorPiece(sort=_STANDING[one.thing.what], name=one.name, outline=one.outline,
                      clash=one.name in met)  # fmt: skip


def _indoors(floor: Floor, route: Route) -> tuple[Point, ...]:
    """A way from the last point before the door on."""
    outside = [not inside(floor.hall, point) for point in route.points]
    last = max((place for place, out in enumerate(outside) if out), default=0)
    return route.points[min(last, len(route.points) - 2) :]


def _round_all(floor: Floor) -> tuple[Point, ...]:
    """Where nobody knows the walls: an outline round what stands there."""
    left, low, right, high = box([point for one in floor.solids for point in one.outline])
    return ((left, low), (right, low), (right, high), (left, high))


def _gaps(floor: Floor, spaces: tuple[Zone, ...]) -> Iterator[FloorGap]:
    """Where each machine stands, and the room before open cabinets."""
    for one in floor.machines if floor.hall else ():
        yield from _from_walls(box(floor.hall), one.outline)
    for zone in spaces:
        near = zone.clear_mm <= FAR_TIMES * zone.needed_mm
        if zone.sort == "cabinet_front" and near and zone.face is not None:
            yield FloorGap(
                name=zone.name,
                start=zone.face[0],
                end=zone.face[1],
                width_mm=zone.clear_mm,
                least_mm=zone.needed_mm,
                enough=zone.free,
            )


def _from_walls(
    hall: tuple[float, float, float, float], machine: tuple[Point, ...]
) -> Iterator[FloorGap]:
    """Where a machine stands: from the nearer wall on either axis."""
    left, low, right, high = box(machine)
    west, east = _corner(machine, 0, min), _corner(machine, 0, max)
    south, north = _corner(machine, 1, min), _corner(machine, 1, max)
    ways = (
        (say("from the left wall"), (hall[0], west[1]), west, left - hall[0]),
        (say("from the right wall"), east, (hall[2], east[1]), hall[2] - right),
        (say("from the lower wall"), (south[0], hall[1]), south, low - hall[1]),
        (say("from the upper wall"), north, (north[0], hall[3]), hall[3] - high),
    )
    for pair in (ways[:2], ways[2:]):
        name, start, end, length = min(pair, key=lambda way: way[3])
        if length > 0:
            yield FloorGap(name=name, start=start, end=end, width_mm=length)


def _corner(machine: tuple[Point, ...], axis: int, far: Callable[..., float]) -> Point:
    """The corner nearest a wall; of a side along it, a place on that side."""
    reach = far(point[axis] for point in machine)
    nearest = [point for point in machine if abs(point[axis] - reach) < 1.0]
    if len(nearest) == 1:
        return nearest[0]
    share = 0.88 if axis == 0 else 0.1
    low, high = (far(point[1 - axis] for point in nearest) for far in (min, max))
    along = low + share * (high - low)
    return (reach, along) if axis == 0 else (along, reach)
