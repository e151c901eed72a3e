"""What is asked of a bearing that shall replace another."""

from __future__ import annotations

from retrue.base.say import later
from retrue.cases.fix.match_rows import (
    CHECKED,
    COMMON,
    NEEDED,
    OFFERED,
    Property,
    fields_of,
)
from retrue.cases.reckon.method import Field
from retrue.science.bearing_choice import PRECISION

TYPES = (("groove", "deep groove ball"), ("angular", "angular contact ball"),
         ("cylinder", "cylindrical roller"), ("taper", "tapered roller"),
         ("thrust", "thrust, of a screw"), ("needle", "needle"))  # fmt: skip
SETS = (("single", "single"), ("universal", "universal, one batch"),
        ("back_to_back", "pair, back to back"), ("face_to_face", "pair, face to face"),
        ("tandem", "pair, one behind the other"), ("set", "set of three and more"))  # fmt: skip
PRELOADS = (("none", "none"), ("light", "light"), ("medium", "medium"), ("heavy", "heavy"),
            ("special", "by a number"))  # fmt: skip
GAPS = (("C2", "C2"), ("CN", "normal"), ("C3", "C3"), ("C4", "C4"))
SEALS = (("open", "open"), ("shield", "shields"), ("near", "seals that do not touch"),
         ("touch", "seals that touch"))  # fmt: skip
CAGES = (("steel", "steel"), ("brass", "brass"), ("plastic", "polyamide"),
         ("phenolic", "phenolic fabric"), ("peek", "PEEK"))  # fmt: skip
BALLS = (("steel", "steel"), ("ceramic", "ceramic"))
ASK_MAKER = later("Ask a maker of bearings with both numbers, the speed and the way it is greased.")

SORT_FIELDS = (
    Property(id="type", name=later("sort of bearing"), how="same", choices=TYPES,
             rule=later("the same"), source="by definition"),
)  # fmt: skip
SIZE = tuple(
    Property(id=id, name=name, how="same", unit="mm", rule=later("the same"),
             source="ISO 15, ISO 492", old="Printed as its number, or measured on the ring.")
    for id, name in (("bore_mm", later("bore")), ("outside_mm", later("outside diameter")),
                     ("width_mm", later("width of one")))
)  # fmt: skip
INSIDE = (
    Property(id="angle_deg", name=later("contact angle"), how="same", unit="deg", zero=True,
             rule=later("the same: it decides stiffness and speed"), source=COMMON,
             old="In the letters behind its number: many of spindles have 15 or 25."),
    Property(id="precision", name=later("precision class"), how="class",
             choices=tuple((one, one) for one in PRECISION), rule=later("no lower"),
             source="ISO 492", old="Behind its number; ABEC 7 is P4, ABEC 5 is P5."),
    Property(id="preload", name=later("preload class"), how="same", choices=PRELOADS, unlike="ask",
             rule=later("the same; more is hotter, less is softer"), source=COMMON,
             remedy=ASK_MAKER),
    Property(id="preload_newton", name=later("preload"), how="near", unit="N", yes_share=0.1,
             unlike="ask", asked=False, rule=later("within a tenth"), source="judgement, no source",
             remedy=ASK_MAKER),
    Property(id="gap", name=later("gap inside"), how="same", choices=GAPS, unlike="ask",
             asked=False, rule=later("the same"), source="ISO 5753-1", remedy=ASK_MAKER),
    Property(id="balls", name=later("balls or rollers of"), how="same", choices=BALLS, unlike="ask",
             rule=later("the same; ceramic ones want another preload"), source=COMMON,
             remedy=ASK_MAKER),
    Property(id="cage", name=later("cage"), how="same", choices=CAGES, unlike="ask",
             rule=later("the same; it bounds speed and heat"), source="its document",
             remedy=ASK_MAKER),
    Property(id="static_kn", name=later("static load rating"), how="least", unit="kN", asked=False,
             rule=later("no lower"), source="ISO 76"),
)  # fmt: skip
BODY = (
    Property(id="marks", name=later("its marks"), how="words", source=COMMON,
             rule=later("the same number and letters; letters of two makers differ"),
             old="All that stands on its ring.", new="All that stands on its ring.",
             remedy=ASK_MAKER),
    Property(id="seal", name=later("seal"), how="same", choices=SEALS, unlike="ask",
             rule=later("the same: a seal that touches lowers the speed, oil-air wants it open"),
             source="its document", remedy=ASK_MAKER),
    Property(id="grease", name=later("grease or oil"), how="words", source=COMMON,
             rule=later("the same words; two greases may not bear each other"),
             old="On the lubrication plate, or in the manual.",
             remedy=later("Ask whether both bear each other, or have the old one washed out.")),
)  # fmt: skip
RATING = Property(id="rating_kn", name=later("dynamic load rating"), how="least", unit="kN",
                  rule="",
                  source="")  # fmt: skip
SET = Property(id="set", name=later("pair or set"), how="same", choices=SETS, rule="", source="",
               old="Marks on the outer rings that point over all of them.")  # fmt: skip
FIELDS = (
    *fields_of((*SORT_FIELDS, *SIZE, *INSIDE, SET, RATING, *BODY)),
    Field(id="has_most_rpm", name="highest speed, greased or oiled as here", unit="rpm",
          help="In its document.", group=OFFERED),
    Field(id="speed_rpm", name="highest speed of the shaft", unit="rpm", help="As it is run.",
          group=NEEDED),
    Field(id="load_kn", name="load on the bearing", unit="kN",
          help="Equal load of cut, belt and preload; from who designs spindles.", group=NEEDED),
    Field(id="wanted_hours", name="hours it shall run", unit="h", help="20,000 is usual.",
          group=NEEDED),
    Field(id="whole_set", name="all of it new, one maker, one set", sort="flag",
          help="Never one old beside one new.", group=CHECKED),
)  # fmt: skip
