"""What the lift asks."""

from __future__ import annotations

from retrue.cases.move.mass_fields import EXTRAS, HEIGHT, MASS, MASS_FROM
from retrue.cases.reckon.method import Field

FIELDS = (
    MASS,
    MASS_FROM,
    EXTRAS,
    Field(
        id="legs",
        name="legs of the sling",
        sort="whole",
        default=2,
        mark="common practice: a rigid load hangs on two of them",
        help="Count the legs that go to the hook, one to four.",
        group="the sling",
    ),
    Field(
        id="angle_deg",
        name="angle of a leg from the horizontal",
        unit="deg",
        help="Measure it, or give the length of a leg and how far apart its ends are.",
        group="the sling",
    ),
    Field(
        id="leg_mm", name="length of a leg", unit="mm", help="From hook to lift point.",
        group="the sling",
    ),
    Field(
        id="spread_mm",
        name="distance between opposite lift points",
        unit="mm",
        help="Straight across, over the hook.",
        group="the sling",
    ),
    Field(
        id="hitch",
        name="hitch",
        sort="choice",
        default="vertical",
        choices=(("vertical", "straight to a lift point"), ("choker", "choker"),
                 ("basket", "basket")),
        help="How the sling takes hold.",
        group="the sling",
    ),
    Field(
        id="equalised",
        name="gear that shares the load between three legs was fitted and proved",
        sort="flag",
        default=False,
        help="Leave it no where nobody has proved it.",
        group="the sling",
    ),
    Field(
        id="leg_rated_kg",
        name="rating of one leg, straight",
        unit="kg",
        help="On its tag; no tag, no lift.",
        group="the sling",
    ),
    Field(
        id="hook_rated_kg",
        name="rating of crane, hoist or beam",
        unit="kg",
        help="At the reach it will work at.",
        group="the sling",
    ),
    Field(
        id="centre",
        name="how the centre of gravity is known",
        sort="choice",
        choices=(
            ("drawing", "lifting drawing"),
            ("cells", "load cells"),
            ("plate", "marked on the machine"),
            ("unknown", "not known"),
        ),
        help="Take it from the lifting drawing, or weigh it on three or four load cells.",
        group="the centre of gravity",
    ),
    Field(
        id="cells",
        name="load cells: x mm, y mm, kg; next one",
        sort="text",
        help="Three or more, as 0,0,900; 2000,0,1400.",
        group="the centre of gravity",
    ),
    Field(
        id="off_centre_mm",
        zero=True,
        name="how far the hook is from the centre of gravity, along the spread",
        unit="mm",
        help="Zero where the hook hangs over it.",
        group="the centre of gravity",
    ),
    Field(
        id="span_mm", name="tilt: distance between the supports", unit="mm",
        help="Of the line it tilts about and the other one.", group="its height",
    ),
    Field(
        id="moved_kg", zero=True, name="tilt: what the lower support reads more", unit="kg",
        help="On the load cell, after less before.", group="its height",
    ),
    Field(
        id="tilt_deg", name="tilt", unit="deg", help="A few degrees, on packing.",
        group="its height",
    ),
    HEIGHT,
    Field(
        id="half_width_mm",
        name="from the centre of gravity to the nearest edge of support",
        unit="mm",
        help="Seen from above, to the line between two feet.",
        group="its height",
    ),
)  # fmt: skip
