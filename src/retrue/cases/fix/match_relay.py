"""Relay: may this one replace that one; a safety relay never by a plain one."""

from __future__ import annotations

from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.fix.match_coil import COIL_FIELDS, SUPPRESSION, coil_rows
from retrue.cases.fix.match_rows import (
    CHECKED,
    COMMON,
    NEEDED,
    OFFERED,
    YES_NO,
    Property,
    fields_of,
    range_words,
    rows_of,
    settled,
    ticked,
    told,
)
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.wake.matching_rows import Row, told_with
from retrue.cases.wake.pairs import named
from retrue.science.control_contact import CONTROL_LOADS, contact, control_load
from retrue.science.fitting import between, provided
from retrue.science.motor_match import Fits

CONTROL = "IEC 60947-5-1 (AC secondary source, DC from memory)"
SAFE = "ISO 13849-1 (from memory)"
SORTS = (("control", "control relay"), ("time", "time relay"), ("safety", "safety relay"))
LEVELS = tuple((one, later("level {letter}", letter=one)) for one in "abcde")
STEPS = tuple((one, later("category {name}", name=one)) for one in ("B", "1", "2", "3", "4"))
FUNCTIONS = (("on", "late on"), ("off", "late off"), ("pulse", "one pulse"), ("blink", "blinks"),
             ("star", "star-delta"))  # fmt: skip

CONTACTS = (
    Property(id="volts", name=later("volts of what it switches"), how="least", unit="V",
             rule=later("its ratings are given at no lower volts"), source=CONTROL,
             new="At which its ratings are printed."),
    Property(id="changeovers", name=later("changeover contacts"), how="least", whole=True,
             zero=True,
             rule=later("no fewer"), source="by definition", old="Count those that have wires."),
    Property(id="make_contacts", name=later("contacts that make"), how="least", whole=True,
             zero=True, rule=later("no fewer"), source="by definition",
             old="Count those that have wires."),
    Property(id="break_contacts", name=later("contacts that break"), how="least", whole=True,
             zero=True, rule=later("no fewer"), source="by definition",
             old="Count those that have wires."),
    Property(id="least_load_ampere", name=later("smallest current it must carry"), how="most",
             unit="A", asked=False, source="its document",
             rule=later("its contacts carry so little: else they film over"),
             old="An input of a control takes a few thousandths."),
    Property(id="guided", name=later("contacts guided by force"), how="there",
             rule=later("where one contact tells of the other"), source="IEC 61810-3, from memory",
             old="Look whether a safety circuit reads it back; by an electrician.",
             remedy=later("Only one with guided contacts; who answers for safety decides.")),
)  # fmt: skip
BODY = (
    Property(id="pins", name=later("pins, socket"), how="words", source=COMMON,
             rule=later("the same pins by number; a like shape is not enough"),
             remedy=later("Compare both pin drawings, number by number; or change the socket "
                          "too.")),
    Property(id="wide_mm", name=later("width"), how="most", unit="mm", rule=later("no wider"),
             source="by definition"),
    Property(id="high_mm", name=later("height"), how="most", unit="mm", rule=later("no higher"),
             source="by definition"),
)  # fmt: skip
TIMES = (
    Property(
        id="function",
        name=later("what it does with time"),
        how="same",
        choices=FUNCTIONS,
        rule=later("the same"),
        source="by definition",
    ),
)
SECONDS = Property(id="seconds", name=later("time it is set to"), how="least", unit="s", rule="",
                   source="", new="The longest it can be set to.")  # fmt: skip  # fmt: skip
SAFETY = (
    Property(id="category_kept", name=later("category of its safety function"), how="class",
             choices=STEPS, rule=later("no lower"), source=SAFE),
    Property(id="level_kept", name=later("performance level"), how="class", choices=LEVELS,
             rule=later("no lower, reckoned for the whole function"), source=SAFE),
    Property(id="reset", name=later("reset by hand, watched"), how="there",
             rule=later("where the old one asks for it"), source="ISO 13849-1, 5.2.2, from memory"),
    Property(id="channels", name=later("channels that it watches"), how="least", whole=True,
             rule=later("no fewer"), source=SAFE, old="Count the wires of its inputs, dead."),
    Property(id="cross_fault", name=later("finds a fault between its channels"), how="there",
             rule=later("where the old one does"), source=SAFE),
)  # fmt: skip
FIELDS = (
    Field(id="need_sort", name="sort: needed", sort="choice", choices=SORTS,
          help="Printed on the old one; what stop, door or two hands act on is a safety relay.",
          group=NEEDED),
    Field(id="has_sort", name="sort: offered", sort="choice", choices=SORTS,
          help="Printed on it.", group=OFFERED),
    Field(id="load_ampere", name="amps of what it switches", unit="A",
          help="Of coil, valve or brake, on its plate.", group=NEEDED),
    Field(id="category", name="what it switches", sort="choice",
          choices=tuple((one.id, f"{one.id}: {one.load}") for one in CONTROL_LOADS.values()),
          help="A coil is AC-15 on alternating, DC-13 on direct current.", group=NEEDED),
    *fields_of((*CONTACTS, *COIL_FIELDS, SUPPRESSION, *TIMES, SECONDS, *SAFETY, *BODY)),
    Field(id="has_least_seconds", name="the shortest time it can be set to", unit="s", zero=True,
          help="On its dial, all ranges.", group=OFFERED),
    Field(id="has_ratings", name="its contacts by category, at that voltage", sort="text",
          help="As printed on it: AC-15 3; DC-13 2.", group=OFFERED),
    Field(id="safety_agreed", name="who answers for the machine's safety has agreed", sort="flag",
          help="In writing, for this very part in this circuit.", group=CHECKED),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Every property of a relay against the one it replaces.

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
    >>> made = reckon(values_of(METHOD, {"need_sort": "safety", "has_sort": "control"}))
    >>> made.answer, made.against[0].field
    ('no_go', 'has_sort')
    """
    draft = Draft("relay", say("Relay"), FIELDS, values)
    sort = draft.said("need_sort")
    *plain, guided = CONTACTS
    rows = [_sort(draft), *coil_rows(draft), _contact(draft), *rows_of(draft, plain)]
    rows += [_guided(draft, guided)] if sort == "safety" else rows_of(draft, (guided,))
    if sort == "time":
        rows += [*rows_of(draft, TIMES), _seconds(draft)]
    if sort == "safety":
        rows += [*rows_of(draft, SAFETY), _agreed(draft)]
    return settled(draft, [*rows, *rows_of(draft, BODY)])


def _guided(draft: Draft, one: Property) -> Row:
    """Of a safety relay they are never left out, whatever was ticked."""
    has = draft.said("has_guided")
    shown = None if has is None else say(YES_NO[has])
    return told(draft, one.name, say("yes"), shown, provided(has, True),
                ("need_guided", "has_guided"), rule=say("always of a safety relay"),
                source=one.source, remedy="" if has is None else one.remedy)  # fmt: skip


def _seconds(draft: Draft) -> Row:
    needs = draft.said("need_seconds")
    low, high = draft.said("has_least_seconds"), draft.said("has_seconds")
    return told(draft, SECONDS.name, needs, range_words(low, high), between(low, high, needs),
                ("need_seconds", "has_seconds" if high is None else "has_least_seconds"),
                rule=say("within the shortest and the longest it can be set to"),
                source="by definition", unit="" if needs is None else "s")  # fmt: skip


def _sort(draft: Draft) -> Row:
    needs, has = draft.said("need_sort"), draft.said("has_sort")
    fits: Fits = "ask"
    if needs and has:
        fits = "yes" if needs == has else "no"
    more = say("A safety relay only by a safety relay.") if needs == "safety" else ""
    shown = dict(SORTS)
    return told(draft, say("sort"), shown.get(needs), shown.get(has), fits,
                ("need_sort", "has_sort"),
                rule=say("the same; a safety relay never by a plain one"), source=SAFE,
                remedy=more if fits == "no" else "")  # fmt: skip


def _contact(draft: Draft) -> Row:
    load, kind, text = (draft.said(id) for id in ("load_ampere", "category", "has_ratings"))
    fits: Fits = "ask"
    more = ""
    if load is not None and kind:
        one = control_load(kind)
        draft.figure("makes_ampere", say("must make"), one.make_times * load, "A", 1, CONTROL)
        draft.figure("breaks_ampere", say("must break"), one.break_times * load, "A", 1, CONTROL)
    if load is not None and kind and text:
        try:
            rated = dict(named(text, field="has_ratings", what=say("category and amps"), unit="A"))
            fits = contact(kind, load, rated)
            more = say("Get its rating in {kind}: one is never converted into another.", kind=kind)
        except Unusable as refusal:
            draft.lack(refusal.reason, refusal.remedy, "has_ratings")
            text = None
    known = load is not None and kind
    needs = say("{kind} {load}", kind=kind, load=told_with(load, "A")) if known else None
    return told(draft, say("contact, by category"), needs, text, fits,
                ("category" if load is not None else "load_ampere", "has_ratings"),
                rule=say("rated in that category or a heavier one for no less: AC-15 makes 10 "
                         "times, DC-13 breaks a coil's own current"), source=CONTROL,
                remedy=more if fits == "ask" else "")  # fmt: skip


def _agreed(draft: Draft) -> Row:
    return ticked(
        draft, "safety_agreed", say("who answers for the machine's safety has agreed"),
        rule=say("a safety function is his to change, in writing"), source=SAFE,
        remedy=say("Ask him before it is bought; it is proved anew, both channels, after it."),
    )  # fmt: skip


METHOD = Method(
    id="relay",
    title=later("Relay"),
    what=later("Whether a relay may replace another: coil, contacts, pins; safety is kept."),
    fields=FIELDS,
    cautions=("X02", "X05", "X12", "X37"),
    reckon=reckon,
    standard="IEC 60947-5-1; ISO 13849-1",
    example=("--need-sort", "control", "--has-sort", "control", "--need-coil-volts", "24",
             "--has-coil-volts", "24", "--load-ampere", "0.9", "--category", "DC-13",
             "--has-ratings", "AC-15 3; DC-13 1"),
)  # fmt: skip
