"""Contactor: may this one replace that one, by category, coil, contacts and room."""

from __future__ import annotations

from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.fix.match_coil import COIL_FIELDS, SUPPRESSION, coil_rows
from retrue.cases.fix.match_rows import (
    COMMON,
    NEEDED,
    OFFERED,
    Property,
    fields_of,
    rows_of,
    settled,
    told,
)
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.wake.matching_rows import Row, told_with
from retrue.cases.wake.pairs import named
from retrue.science.motor_match import Fits
from retrue.science.overload import CATEGORIES, contactor, made_and_broken_ampere

TABLE_7 = later("IEC 60947-4-1, table 7 (from memory, unverified)")
FITS: dict[str, Fits] = {"fits": "yes", "too_small": "no", "ask": "ask"}
KINDS = (("none", "not said"), ("1", "1: may be replaced after a short circuit"),
         ("2", "2: runs on after a short circuit"))  # fmt: skip

CONTACTS = (
    Property(id="volts", name=later("volts it switches"), how="least", unit="V",
             rule=later("its ratings are given at no lower volts"), source="IEC 60947-4-1",
             new="At which its ratings are printed."),
    Property(id="poles", name=later("main poles"), how="least", whole=True, rule=later("no fewer"),
             source="by definition"),
    Property(id="make_contacts", name=later("auxiliary contacts that make"), how="least",
             whole=True, zero=True, rule=later("no fewer, add-on blocks counted"),
             source="by definition", old="Count those that have wires."),
    Property(id="break_contacts", name=later("auxiliary contacts that break"), how="least",
             whole=True, zero=True, rule=later("no fewer, add-on blocks counted"),
             source="by definition", old="Count those that have wires."),
    Property(id="mirror", name=later("mirror contact, read by a safety circuit"), how="there",
             rule=later("one that cannot close while a main pole is welded"),
             source="IEC 60947-4-1, annex F, from memory",
             old="Look whether a safety relay reads back this contact; by an electrician.",
             remedy=later("Only one with a mirror contact; who answers for the machine's safety "
                        "decides.")),
    Property(id="lock", name=later("mechanical lock against its neighbour"), how="there",
             rule=later("where it reverses a motor"), source=COMMON),
)  # fmt: skip
BODY = (
    Property(id="mounting", name=later("mounting"), how="words",
             rule=later("the same rail or screws"),
             source="IEC 60715"),
    Property(id="wide_mm", name=later("width"), how="most", unit="mm", source="by definition",
             rule=later("no wider, with blocks and air")),
    Property(id="high_mm", name=later("height"), how="most", unit="mm", rule=later("no higher"),
             source="by definition"),
    Property(id="deep_mm", name=later("depth"), how="most", unit="mm", rule=later("no deeper"),
             source="by definition"),
    Property(id="starts_per_hour", name=later("switchings an hour"), how="least", asked=False,
             rule=later("no fewer at that current"), source="its document"),
)  # fmt: skip
FIELDS = (
    Field(id="need_ampere", name="amps of what it switches", unit="A",
          help="On the motor's plate, at the volts in use.", group=NEEDED),
    Field(id="category", name="how it switches", sort="choice", default="AC-3",
          mark="as most motors of a machine",
          choices=tuple((one.id, f"{one.id}: {one.load}") for one in CATEGORIES.values()),
          help="A motor that is jogged, plugged or reversed is AC-4.", group=NEEDED),
    *fields_of((*CONTACTS, *COIL_FIELDS, SUPPRESSION, *BODY)),
    Field(id="has_ratings", name="its ratings by category, at that voltage", sort="text",
          help="As printed on it: AC-1 25; AC-3 12.", group=OFFERED),
    Field(id="has_coil_low_volts", name="coil, volts from, where it takes a range", unit="V",
          help="Printed on it.", group=OFFERED),
    Field(id="has_coil_high_volts", name="coil, volts to, where it takes a range", unit="V",
          help="Printed on it.", group=OFFERED),
    Field(id="need_coordination", name="coordination with its short-circuit device", sort="choice",
          choices=KINDS, help="In the machine's papers; else ask.", group=NEEDED),
    Field(id="has_coordination", name="coordination that is tested with that very device",
          sort="choice", choices=KINDS, help="In its maker's table.", group=OFFERED),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Every property of a contactor against the one it replaces.

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
    >>> made = reckon(values_of(METHOD, {"need_ampere": "9", "category": "AC-4",
    ...     "has_ratings": "AC-4 6"}))
    >>> made.answer, [f.value for f in made.figures]
    ('no_go', [108.0, 90.0])
    """
    draft = Draft("contactor", say("Contactor"), FIELDS, values)
    rows = [_rating(draft), *rows_of(draft, CONTACTS), *coil_rows(draft), _coordination(draft)]
    return settled(draft, [*rows, *rows_of(draft, BODY)])


def _rating(draft: Draft) -> Row:
    load, text = draft.said("need_ampere"), draft.said("has_ratings")
    kind = draft.get("category")
    fits: Fits = "ask"
    more = ""
    if load is not None:
        makes, breaks = made_and_broken_ampere(kind, load)
        draft.figure("makes_ampere", say("must make"), makes, "A", 0, TABLE_7)
        draft.figure("breaks_ampere", say("must break"), breaks, "A", 0, TABLE_7)
    if load is not None and text:
        try:
            rated = dict(named(text, field="has_ratings", what=say("category and amps"), unit="A"))
            fits = FITS[contactor(kind, load, rated)]
            more = say("Get its rating in {kind}: one is never converted into another.", kind=kind)
        except Unusable as refusal:
            draft.lack(refusal.reason, refusal.remedy, "has_ratings")
            text = None
    needs = None if load is None else say("{kind} {load}", kind=kind, load=told_with(load, "A"))
    return told(draft, say("category and current"), needs, text, fits,
                ("need_ampere", "has_ratings"),
                rule=say("rated in that category or a heavier one for no less: AC-3 makes 10 and "
                         "breaks 8 times, AC-4 12 and 10, DC-3 and DC-5 4 and 4"),
                source=TABLE_7, remedy=more if fits == "ask" else "")  # fmt: skip


def _coordination(draft: Draft) -> Row:
    """Tested with one device; with another nobody knows."""
    needs, has = draft.said("need_coordination"), draft.said("has_coordination")
    fits: Fits = "ask"
    if needs in ("1", "2") and has in ("1", "2"):
        fits = "yes" if has >= needs else "no"
    shown = {"1": "1", "2": "2"}
    return told(draft, say("coordination"), shown.get(needs), shown.get(has), fits,
                ("need_coordination", "has_coordination"),
                rule=say("type 2 covers type 1, with the very device that stands before it"),
                source="IEC 60947-4-1, 8.2.5, from memory",
                remedy=say("Ask the electrician and the maker's table for device and contactor "
                           "together."))  # fmt: skip


METHOD = Method(
    id="contactor",
    title=later("Contactor"),
    what=later("Whether a contactor may replace another: category, coil, contacts, room."),
    fields=FIELDS,
    cautions=("X02", "X05", "X12"),
    reckon=reckon,
    standard="IEC 60947-4-1",
    example=("--need-ampere", "8.5", "--category", "AC-3", "--need-volts", "400", "--has-ratings",
             "AC-1 25; AC-3 9", "--has-volts", "400", "--need-coil-volts", "24", "--has-coil-volts",
             "24"),
)  # fmt: skip
