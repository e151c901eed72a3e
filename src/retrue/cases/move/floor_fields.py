"""What the floor plan asks where nobody has a file: one machine in one hall, as rows of a plan."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from retrue.base.say import later, say
from retrue.cases.move.floor_things import Thing
from retrue.cases.reckon.method import Field

HALL, WALL, MACHINE, ROOM = "the hall", "the door of the hall", "the machine", "room it needs"
PRACTICE = "common practice, from memory, unverified"
_SIDES = (("front", "front"), ("right", "right"), ("rear", "rear"), ("left", "left"))
_WALLS = (
    ("front", "lower on the plan"), ("right", "right"), ("rear", "upper on the plan"),
    ("left", "left"),
)  # fmt: skip


def _side(id: str, name: str, usual: str) -> Field:
    return Field(id=id, name=name, sort="choice", choices=_SIDES, default=usual,
                 help="Seen by who stands before its front.", group=ROOM)  # fmt: skip


FIELDS = (
    Field(id="plan", name="floor plan as a table", sort="file",
          help="CSV, a row for each thing; its rows come beside the fields below.", group=HALL),
    Field(id="shop_width_mm", name="width of the hall", unit="mm",
          help="Inside, from wall to wall, left to right.", group=HALL),
    Field(id="shop_depth_mm", name="depth of the hall", unit="mm",
          help="Inside, from the lower to the upper wall of the plan.", group=HALL),
    Field(id="hall_door_mm", name="width of the door of the hall", unit="mm",
          help="Clear, with its leaf open.", group=WALL),
    Field(id="hall_door_wall", name="wall it is in", sort="choice", choices=_WALLS,
          default="front", help="As drawn.", group=WALL),
    Field(id="hall_door_at_mm", name="from the left or lower end of that wall to the door",
          unit="mm", default=0.0, help="To the nearer edge of its opening.", group=WALL),
    Field(id="name", name="name of the machine", sort="text", help="As on its labels.",
          group=MACHINE),
    Field(id="width_mm", name="width of the machine, along its front", unit="mm",
          help="Footprint with what stays on it.", group=MACHINE),
    Field(id="depth_mm", name="depth of the machine", unit="mm", help="From front to rear.",
          group=MACHINE),
    Field(id="x_mm", zero=True, name="from the left wall to the machine", unit="mm",
          help="To its nearest corner, as it will stand.", group=MACHINE),
    Field(id="y_mm", zero=True, name="from the lower wall to the machine", unit="mm",
          help="To its nearest corner, as it will stand.", group=MACHINE),
    Field(id="turn_deg", name="turned by", unit="deg", default=0.0, signed=True,
          help="Counter-clockwise; at zero its front looks to the lower wall.", group=MACHINE),
    Field(id="operator_mm", name="room before its front", unit="mm", default=900.0,
          mark=PRACTICE, help="Where who works at it stands.", group=ROOM),
    Field(id="door_mm", name="leaf of its hinged door", unit="mm",
          help="Width of the leaf; two leaves: the larger.", group=ROOM),
    Field(id="cabinet_mm", name="leaf of the cabinet's door", unit="mm",
          help="Width of the widest leaf.", group=ROOM),
    _side("cabinet_side", "side of the cabinet", "rear"),
    Field(id="passage_mm", name="room before the open cabinet", unit="mm", default=900.0,
          mark=PRACTICE + ": 900 to 1000", help="From its face.", group=ROOM),
    Field(id="screw_mm", name="room to pull the longest screw", unit="mm",
          help="Its length and a hand.", group=ROOM),
    _side("screw_side", "side it is pulled to", "right"),
    Field(id="motor_mm", name="room to pull the spindle motor or spindle", unit="mm",
          help="Its length and the hoist.", group=ROOM),
    _side("motor_side", "side it comes out", "left"),
    Field(id="bar_feed_mm", name="length of the bar feed with its bar", unit="mm",
          help="Behind the spindle; the longest bar.", group=ROOM),
    _side("bar_feed_side", "side of the bar feed", "left"),
    Field(id="conveyor_mm", name="chip conveyor with its bin, and room to pull it", unit="mm",
          help="How far it sticks out and is drawn out.", group=ROOM),
    _side("conveyor_side", "side of the chip conveyor", "right"),
    Field(id="walk_mm", name="least width of a way to keep free", unit="mm", default=800.0,
          mark=PRACTICE, help="Escape ways: what the local fire rules say.", group=ROOM),
    Field(id="margin_mm", name="room to spare on each side on the way in", unit="mm",
          default=50.0, mark="common practice, no source", help="50 mm at least.", group=ROOM),
)  # fmt: skip
_SERVICE = (
    ("screw", later("pull the screw")),
    ("motor", later("pull the spindle motor")),
    ("bar_feed", later("bar feed")),
    ("conveyor", later("chip conveyor")),
)


def things_of(get: Callable[[str], Any], said: Callable[[str], Any]) -> tuple[Thing, ...]:
    """The fields as rows of a plan.

    Parameters
    ----------
    get : callable
        A field's value or its default.
    said : callable
        A field's value, None where nobody has said.

    Returns
    -------
    tuple of Thing
        Only what was said.

    Examples
    --------
    >>> said = {"shop_width_mm": 9000.0, "shop_depth_mm": 6000.0}
    >>> [thing.what for thing in things_of(said.get, said.get)]
    ['shop']
    """
    things = []
    wide, deep = said("shop_width_mm"), said("shop_depth_mm")
    if wide and deep:
        things.append(Thing(what="shop", width_mm=wide, depth_mm=deep))
        if said("hall_door_mm"):
            things.append(_hall_door(get, said, wide, deep))
    if said("width_mm") and said("depth_mm"):
        things += _machine(get, said)
    return tuple(things)


def _hall_door(
    get: Callable[[str], Any], said: Callable[[str], Any], wide: float, deep: float
) -> Thing:
    at = get("hall_door_at_mm") or 0.0
    x, y, turn = {
        "front": (at, 0.0, 0.0),
        "rear": (at, deep, 0.0),
        "left": (0.0, at, 90.0),
        "right": (wide, at, 90.0),
    }[get("hall_door_wall") or "front"]
    name = say("door of the hall")
    return Thing(what="hall_door", name=name, x_mm=x, y_mm=y, turn_deg=turn,
                 width_mm=said("hall_door_mm"))  # fmt: skip


def _machine(get: Callable[[str], Any], said: Callable[[str], Any]) -> list[Thing]:
    name = said("name") or say("machine")
    things = [
        Thing(what="machine", name=name, width_mm=said("width_mm"), depth_mm=said("depth_mm"),
              x_mm=said("x_mm") or 0.0, y_mm=said("y_mm") or 0.0, turn_deg=get("turn_deg") or 0.0),
        Thing(what="operator", name=say("operator"), of=name, side="front",
              depth_mm=get("operator_mm") or 0.0),
    ]  # fmt: skip
    if said("door_mm"):
        things.append(Thing(what="door", name=say("its door"), of=name, side="front",
                            swing_mm=said("door_mm")))  # fmt: skip
    if said("cabinet_mm"):
        side = get("cabinet_side") or "rear"
        things.append(
            Thing(
                what="cabinet", name=say("cabinet"), of=name, side=side, swing_mm=said("cabinet_mm")
            )
        )
    for id, told in _SERVICE:
        if said(f"{id}_mm"):
            side = get(f"{id}_side") or "right"
            things.append(
                Thing(what="service", name=told, of=name, side=side, depth_mm=said(f"{id}_mm"))
            )
    return things
