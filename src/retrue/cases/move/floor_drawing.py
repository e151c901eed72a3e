"""A floor plan as pieces to draw."""

from __future__ import annotations

import math
from collections.abc import Iterator

from retrue.base.say import say
from retrue.cases.move.drawings import FloorDrawing, FloorGap, FloorPiece, FloorSort
from retrue.cases.move.floor_route import Route
from retrue.cases.move.floor_zones import Floor, Standing, Zone, clashes
from retrue.cases.move.plane import box

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
    met = {one.name for pair in clashes(floor) for one in (pair[0],)}
    met |= {other for _, other in clashes(floor)}
    met |= {zone.by for zone in spaces if not zone.free}
    pieces = [_space(zone) for zone in spaces]
    pieces += [
        FloorPiece(sort="route", name=say("the way in"), outline=route.points)
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


def _round_all(floor: Floor) -> tuple[tuple[float, float], ...]:
    """Where nobody knows the walls: an outline round what stands there."""
    left, low, right, high = box([point for one in floor.solids for point in one.outline])
    return ((left, low), (right, low), (right, high), (left, high))


def _gaps(floor: Floor, spaces: tuple[Zone, ...]) -> Iterator[FloorGap]:
    """Where each machine stands, and the room before open cabinets."""
    if floor.hall:
        hall = box(floor.hall)
        for one in floor.machines:
            left, low, right, high = box(one.outline)
            across, up = (low + high) / 2, (left + right) / 2
            if left - hall[0] > 0:
                yield FloorGap(name=say("from the left wall"), start=(hall[0], across),
                               end=(left, across), width_mm=left - hall[0])  # fmt: skip
            if low - hall[1] > 0:
                yield FloorGap(name=say("from the lower wall"), start=(up, hall[1]),
                               end=(up, low), width_mm=low - hall[1])  # fmt: skip
    for zone in spaces:
        known = zone.face is not None and math.isfinite(zone.clear_mm)
        if zone.sort == "cabinet_front" and known and zone.face is not None:
            yield FloorGap(
                name=zone.name,
                start=zone.face[0],
                end=zone.face[1],
                width_mm=zone.clear_mm,
                least_mm=zone.needed_mm,
                enough=zone.free,
            )
