"""Door and route: does it go through, with the room that hands need, and round the corner."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.route import turns_corner

MARGIN_MM = 50.0

FIELDS = (
    Field(id="width_mm", name="width of the machine", unit="mm",
          help="As it will travel: its smaller side, doors and panel folded.",
          group="the machine"),
    Field(id="length_mm", name="length of the machine", unit="mm",
          help="As it will travel: its longer side.", group="the machine"),
    Field(id="height_mm", name="height of the machine", unit="mm",
          help="To its highest point: roof unit, lamp, motor, head up.", group="the machine"),
    Field(id="stripped_height_mm", name="height with what can come off taken off", unit="mm",
          help="Roof unit, motor, chimney off; measure to the next highest point.",
          group="the machine"),
    Field(id="under_mm", zero=True, name="height of skates, forks or pallet under it", unit="mm",
          default=120.0, mark="common practice, no source", help="Measure the skates.",
          group="the machine"),
    Field(id="door_width_mm", name="width of the narrowest door", unit="mm",
          help="Clear, with the leaf open.", group="the way"),
    Field(id="door_height_mm", name="height of the lowest door", unit="mm",
          help="Clear; look up for pipes, lamps and crane rails on the whole way.",
          group="the way"),
    Field(id="margin_mm", zero=True,
          name="room to spare on each side", unit="mm", default=MARGIN_MM,
          mark="common practice, no source", help="50 mm at least.", group="the way"),
    Field(id="corner_in_mm", name="width of the passage before a corner", unit="mm",
          help="Where the way turns: before the turn.", group="the way"),
    Field(id="corner_out_mm", name="width of the passage after it", unit="mm",
          help="Where the way turns: after the turn.", group="the way"),
    Field(id="step_mm", name="highest step or sill on the way", unit="mm", default=0.0,
          mark="none seen", help="Skates do not climb: plates or a ramp.", group="the way"),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Whether the machine goes through, and by how much.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said.

    Returns
    -------
    Reckoning

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"width_mm": "2100", "height_mm": "2850",
    ...     "door_width_mm": "2800", "door_height_mm": "2900"}))
    >>> made.answer, made.needs[0].key
    ('no_go', 'door_work')
    """
    draft = Draft("door", say("Door and route"), FIELDS, values)
    margin = draft.get("margin_mm")
    spare = [_height(draft, margin), _width(draft, margin)]
    _corner(draft, margin)
    if draft.get("step_mm") > 0:
        draft.notes.append(
            say("A step of {step} mm: steel plates or a short ramp, planned as one.",
                step=number(draft.get("step_mm")))
        )  # fmt: skip
    known = [one for one in spare if one is not None]
    told = number(min(known)) if known else ""
    return draft.done(say("It goes through with {spare} mm to spare.", spare=told))


def _height(draft: Draft, margin: float) -> float | None:
    height, door = draft.wanted("height_mm"), draft.wanted("door_height_mm")
    if height is None or door is None:
        return None
    under = draft.get("under_mm")
    spare = door - height - under
    draft.figure("height_spare_mm", say("room above"), spare, "mm", 0, later("by definition"))
    if spare >= margin:
        return float(spare)
    stripped = draft.said("stripped_height_mm")
    if stripped is not None:
        low = door - stripped - under
        draft.figure("stripped_spare_mm", say("room above with that off"), low, "mm")
        if low >= margin:
            draft.need("strip_top", say("what stands highest taken off and put on again"), "E28")
            draft.notes.append(
                say("It goes through only with what stands highest taken off: labels first.")
            )
            return float(low)
    short = margin - spare if stripped is None else margin - (door - stripped - under)
    draft.stop(
        say("the door is {short} mm too low", short=number(short)),
        say("Lower skates, take off what stands highest, another way in, or the lintel raised."),
        "door_height_mm",
    )
    draft.need("door_work", say("an opening made higher or another way in"), "E29")
    return None


def _width(draft: Draft, margin: float) -> float | None:
    width, door = draft.wanted("width_mm"), draft.wanted("door_width_mm")
    if width is None or door is None:
        return None
    spare = (door - width) / 2.0
    draft.figure("width_spare_mm", say("room on each side"), spare, "mm", 0, later("by definition"))
    if spare >= margin:
        return float(spare)
    draft.stop(
        say("the door is {short} mm too narrow", short=number(2.0 * (margin - spare))),
        say("Turn it end on, take off what sticks out, another way in, or the frame out."),
        "door_width_mm",
    )
    draft.need("door_work", say("an opening made wider or another way in"), "E29")
    return None


def _corner(draft: Draft, margin: float) -> None:
    before, after = draft.said("corner_in_mm"), draft.said("corner_out_mm")
    if before is None and after is None:
        return
    before, after = draft.wanted("corner_in_mm"), draft.wanted("corner_out_mm")
    width, length = draft.wanted("width_mm"), draft.wanted("length_mm")
    if None in (before, after, width, length):
        return
    turned = turns_corner(length, width + 2.0 * margin, before, after)
    draft.figure(
        "corner_spare_mm", say("room left in the corner"), turned.spare_mm, "mm", 0,
        later("geometry (by definition)"),
    )  # fmt: skip
    if turned.spare_mm < 0:
        draft.stop(
            say("it does not turn the corner: {short} mm are lacking",
                short=number(-turned.spare_mm)),
            say("Turn it on the spot on four skates, lift it round, or take another way."),
            "corner_in_mm",
        )  # fmt: skip


METHOD = Method(
    id="door",
    title=later("Door and route"),
    what=later("Whether the machine goes through the door and round the corner, and by how much."),
    fields=FIELDS,
    cautions=("X20", "X50"),
    reckon=reckon,
    standard=later("geometry; margins are common practice, no source"),
    example=("--width-mm", "1900", "--height-mm", "2500", "--door-width-mm", "2800",
             "--door-height-mm", "2900"),
)  # fmt: skip
