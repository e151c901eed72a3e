"""Floor plan: does it fit with doors open and parts pulled, and does it get to its place."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.formatter import number
from retrue.base.say import later, say
from retrue.cases.move.drawings import Point
from retrue.cases.move.floor_drawing import drawn
from retrue.cases.move.floor_fields import FIELDS, PRACTICE, things_of
from retrue.cases.move.floor_route import Route, widest
from retrue.cases.move.floor_things import COLUMNS, Thing, check_things, read_things
from retrue.cases.move.floor_zones import (
    Floor,
    Standing,
    Zone,
    clashes,
    placed,
    room_round,
    within,
    zones,
)
from retrue.cases.move.plane import edges, from_point, inside, overlap
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Method, Values
from retrue.cases.reckon.reckoning import Listing, Reckoning

IN_WALL_MM = 50.0  # how far the opening of a door may be drawn beside its wall
GEOMETRY = later("geometry (by definition)")
MOST_SHARED = 6  # pairs of spaces told that lie over one another


def reckon(values: Values) -> Reckoning:
    """Whether everything has its room.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said; ``plan`` holds the bytes of a table.

    Returns
    -------
    Reckoning

    Raises
    ------
    Unreadable, Unusable
        The table cannot be used; each cell is named by row and column.

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"shop_width_mm": "9 m", "shop_depth_mm": "6 m",
    ...     "width_mm": "2100", "depth_mm": "2300", "x_mm": "1500", "y_mm": "1500",
    ...     "cabinet_mm": "700"}))
    >>> made.answer, next(f.value for f in made.figures if f.key == "cabinet_front_mm")
    ('go', 2200.0)
    """
    draft = Draft("floor", say("Floor plan"), FIELDS, values)
    things = _things(draft)
    check_things(things)
    floor = placed(things)
    if not floor.hall:
        draft.lack(say("the walls of the hall are not known"),
                   say("Measure the hall from wall to wall, and draw its columns."),
                   "shop_width_mm")  # fmt: skip
    if not floor.machines:
        draft.lack(say("the footprint of the machine is not known"),
                   say("Take it from its layout drawing or measure it at the seller's."),
                   "width_mm")  # fmt: skip
    spaces = zones(floor, draft.get("passage_mm"))
    _stand(draft, floor)
    _spaces(draft, spaces)
    _walks(draft, floor)
    _round(draft, floor)
    routes = _routes(draft, floor)
    _shared(draft, spaces)
    draft.drawing = drawn(floor, spaces, routes) if floor.hall or floor.solids else None
    return draft.done(_headline(spaces))


def _things(draft: Draft) -> tuple[Thing, ...]:
    given = draft.said("plan")
    content = given.encode() if isinstance(given, str) else given
    rows = read_things(content, say("the floor plan")) if content else ()
    return (*rows, *things_of(draft.get, draft.said))


def _headline(spaces: tuple[Zone, ...]) -> str:
    spare = [zone.clear_mm - zone.needed_mm for zone in spaces if math.isfinite(zone.clear_mm)]
    if not spare:
        return say("It stands free in the hall.")
    return say("It fits: {count} spaces are free, the tightest with {spare} mm to spare.",
               count=number(len(spaces)), spare=number(min(spare)))  # fmt: skip


def _stand(draft: Draft, floor: Floor) -> None:
    """Inside the hall, in nothing else, and over which joint."""
    for one, other in clashes(floor):
        draft.stop(
            say("{name} stands in {other}", name=one.name, other=other),
            say("Move or turn it; measure both again."),
            "x_mm",
        )
    for line in floor.lines:
        for one in floor.machines:
            if line.thing.what == "joint" and overlap(line.outline, one.outline):
                draft.notes.append(
                    say("{joint} runs under {name}: it will not keep its level there. Stand it on "
                        "one slab, or ask for a foundation.", joint=line.name, name=one.name)
                )  # fmt: skip


def _spaces(draft: Draft, spaces: tuple[Zone, ...]) -> None:
    for zone in spaces:
        if not zone.free:
            draft.stop(
                say("{space} of {name} lacks {short} mm, {by} is in the way", space=zone.name,
                    name=zone.machine, short=number(math.ceil(zone.needed_mm - zone.clear_mm)),
                    by=zone.by),
                say("Move or turn the machine, or what is in the way."),
                "x_mm",
            )  # fmt: skip
    fronts = [zone.clear_mm for zone in spaces if zone.sort == "cabinet_front"]
    if fronts and math.isfinite(min(fronts)):
        draft.figure("cabinet_front_mm", say("room before the open cabinet, from its face"),
                     min(fronts), "mm", 0, GEOMETRY)  # fmt: skip
    if spaces:
        rows = tuple(
            (zone.name, zone.machine, zone.needed_mm,
             zone.clear_mm if math.isfinite(zone.clear_mm) else None, zone.by)
            for zone in spaces
        )  # fmt: skip
        draft.listings.append(
            Listing(title=say("Spaces that must be free"),
                    columns=("space", "of", "needed_mm", "clear_mm", "up to"), rows=rows)
        )  # fmt: skip


def _walks(draft: Draft, floor: Floor) -> None:
    """Ways to keep free: wide enough, and nothing in them."""
    least = draft.get("walk_mm") if floor.walks else 0.0
    for one in floor.walks:
        wide = min(one.thing.width_mm, one.thing.depth_mm)
        if wide < least:
            draft.stop(
                say("{name} is {wide} mm wide", name=one.name, wide=number(wide)),
                say("Give it {least} mm or what the fire rules ask.", least=number(least)),
                "walk_mm",
            )
        met = [solid.name for solid in floor.solids if overlap(one.outline, solid.outline)]
        if floor.hall and not within(floor.hall, one.outline):
            met.append(say("the wall"))
        if met:
            draft.stop(
                say(
                    "{things} in the way of {name}", things=", ".join(map(str, met)), name=one.name
                ),
                say("Move it out of the way that must be kept free."),
                "walk_mm",
            )


def _round(draft: Draft, floor: Floor) -> None:
    rows = tuple(
        (one.name, say(side), clear, what)
        for one in floor.machines
        for side, clear, what in room_round(floor, one)
    )
    if rows:
        draft.listings.append(
            Listing(title=say("Room round it"), columns=("machine", "side", "room_mm", "up to"),
                    rows=rows)
        )  # fmt: skip
        draft.figure("least_room_mm", say("least room on any side"), min(row[2] for row in rows),
                     "mm", 0, GEOMETRY)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Opening:
    ends: tuple[Point, Point]
    outward: Point
    wide: float


def _routes(draft: Draft, floor: Floor) -> tuple[Route, ...]:
    """The way in of each machine, past all that stands there already."""
    doors = [one for one in floor.lines if one.thing.what == "hall_door"]
    if not doors or not floor.hall or not floor.machines:
        return ()
    opening = _opening(draft, floor, max(doors, key=lambda one: one.thing.width_mm))
    if opening is None:
        return ()
    made = []
    for place, one in enumerate(floor.machines, 1):
        needed = min(one.thing.width_mm, one.thing.depth_mm) + 2.0 * draft.get("margin_mm")
        others = [solid.outline for solid in floor.solids if solid is not one]
        route = widest(floor.hall, opening.ends, opening.outward, others, one.outline)
        made.append(route)
        _way(draft, one, opening, route, needed, "" if place == 1 else f"_{place}")
    return tuple(made)


def _opening(draft: Draft, floor: Floor, door: Standing) -> _Opening | None:
    """The door of the hall in the wall it lies in."""
    first, last = door.outline[0], door.outline[1]
    for (ax, ay), (bx, by) in edges(floor.hall):
        wall = ((ax, ay), (bx, by))
        if from_point(wall, first) <= IN_WALL_MM and from_point(wall, last) <= IN_WALL_MM:
            length = math.hypot(bx - ax, by - ay)
            normal = ((by - ay) / length, (ax - bx) / length)
            middle = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
            step = (middle[0] + 100 * normal[0], middle[1] + 100 * normal[1])
            if inside(floor.hall, step):
                normal = (-normal[0], -normal[1])
            return _Opening((first, last), normal, door.thing.width_mm)
    draft.lack(
        say("{name} does not lie in a wall of the plan", name=door.name),
        say("Measure where its opening begins along the wall."),
        "hall_door_at_mm",
    )
    return None


def _way(
    draft: Draft, one: Standing, opening: _Opening, route: Route, needed: float, tail: str
) -> None:
    draft.figure(f"way_needed_mm{tail}", say("width that {name} needs on its way", name=one.name),
                 needed, "mm", 0, GEOMETRY)  # fmt: skip
    draft.figure(f"way_mm{tail}", say("narrowest place on the widest way to it, about"),
                 route.width_mm, "mm", 0, GEOMETRY)  # fmt: skip
    if opening.wide < needed:
        draft.stop(
            say("the door of the hall is {short} mm too narrow for {name}",
                short=number(needed - opening.wide), name=one.name),
            say("Take off what sticks out, another way in, or the frame out."),
            "hall_door_mm",
        )  # fmt: skip
        draft.need("door_work", say("an opening made wider or another way in"), "E29")
    elif route.width_mm + 2.0 * route.grid_mm < needed:
        draft.stop(
            say("the way to its place is about {wide} mm wide, {name} needs {needed} mm",
                wide=number(route.width_mm), name=one.name, needed=number(needed)),
            say("Clear the way first, or bring it in before what stands in it."),
            "margin_mm",
        )  # fmt: skip
    elif route.width_mm < needed:
        draft.notes.append(
            say("The way to the place of {name} is tight: measure its narrowest place.",
                name=one.name)
        )  # fmt: skip
    diagonal = math.hypot(one.thing.width_mm, one.thing.depth_mm)
    draft.figure(f"turning_mm{tail}", say("its diagonal: what it takes to turn on the spot"),
                 diagonal, "mm", 0, GEOMETRY)  # fmt: skip


def _shared(draft: Draft, spaces: tuple[Zone, ...]) -> None:
    """Spaces of two machines that lie over one another: never both at once."""
    told = [
        say("{one} of {name} and {two} of {other}", one=a.name, name=a.machine, two=b.name,
            other=b.machine)
        for place, a in enumerate(spaces)
        for b in spaces[place + 1 :]
        if a.machine != b.machine and len(a.outline) == 4 and len(b.outline) == 4
        and overlap(a.outline, b.outline)
    ]  # fmt: skip
    if told:
        draft.notes.append(
            say("Not both at once: {pairs}.", pairs="; ".join(map(str, told[:MOST_SHARED])))
        )


METHOD = Method(
    id="floor",
    title=later("Floor plan"),
    what=later("Whether a machine fits with its doors open and its parts pulled, and gets there."),
    fields=FIELDS,
    cautions=("X20", "X01"),
    reckon=reckon,
    standard=later("geometry; widths are {how}", how=PRACTICE),
    example=("--shop-width-mm", "9 m", "--shop-depth-mm", "6 m", "--width-mm", "2100",
             "--depth-mm", "2300", "--x-mm", "1500", "--y-mm", "1500", "--cabinet-mm", "700"),
    columns=COLUMNS,
)  # fmt: skip
