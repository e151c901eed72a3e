"""Overload: does the contactor fit what it switches, does the relay hold and trip as it should."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.wake.pairs import named
from retrue.cases.wake.relay import RELAY_FIELDS, relay
from retrue.science.overload import CATEGORIES, HEATERS, contactor, made_and_broken_ampere

TABLE_7 = later("IEC 60947-4-1, table 7 (from memory, unverified)")
SIZES = (9, 12, 18, 25, 32, 40, 50, 65, 80, 95, 115, 150)  # common practice, no source
SWITCHED, CONTACTOR = "what is switched", "the contactor"

FIELDS = (
    Field(id="load_ampere", name="amps on the motor's plate", unit="A",
          help="At the voltage and connection in use.", group=SWITCHED),
    Field(id="category", name="how it is switched", sort="choice", default="AC-3",
          mark="as most motors of a machine",
          choices=tuple((one.id, f"{one.id}: {one.load}") for one in CATEGORIES.values()),
          help="A motor that is jogged, plugged or reversed is AC-4.", group=SWITCHED),
    Field(id="contactor_ratings", name="rating by category, at that voltage", sort="text",
          help="As printed on it: AC-1 25; AC-3 12.", group=CONTACTOR),
    *RELAY_FIELDS,
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Contactor and relay against their motor.

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
    >>> made = reckon(values_of(METHOD, {"load_ampere": "8.5", "contactor_ratings": "AC-3 9",
    ...     "set_ampere": "8.5", "trip_class": "10"}))
    >>> made.answer, [f.value for f in made.figures if f.key == "makes_ampere"]
    ('go', [85.0])
    """
    draft = Draft("overload", say("Contactor and overload"), FIELDS, values)
    load = draft.wanted("load_ampere")
    if load is None:
        return draft.done("")
    kind = draft.get("category")
    makes, breaks = made_and_broken_ampere(kind, load)
    draft.figure("makes_ampere", say("must make"), makes, "A", 0, TABLE_7)
    draft.figure("breaks_ampere", say("must break"), breaks, "A", 0, TABLE_7)
    ask_for = next((size for size in SIZES if size >= load), None)
    draft.figure("size_ampere", say("ask for a contactor rated, in that category"),
                 None if ask_for is None else float(ask_for), "A", 0,
                 "common sizes: common practice, no source",
                 why="" if ask_for else say("larger than the common sizes"))  # fmt: skip
    if draft.said("contactor_ratings"):
        _contactor(draft, kind, load)
    elif draft.said("set_ampere") is None:
        draft.wanted("contactor_ratings")
    if kind not in HEATERS:  # a heater has no relay of this sort
        draft.wanted("set_ampere")
        draft.wanted("trip_class")
    relay(draft, load)
    return draft.done(say("Rated {load} A or more in {kind}; the relay at {load} A.",
                          load=number(load, 1), kind=kind))  # fmt: skip


def _contactor(draft: Draft, kind: str, load: float) -> None:
    text = draft.said("contactor_ratings")
    try:
        rated = dict(named(text, field="contactor_ratings", what=say("category and amps"),
                           unit="A"))  # fmt: skip
        fits = contactor(kind, load, rated)
    except Unusable as refusal:
        draft.lack(refusal.reason, refusal.remedy, "contactor_ratings")
        return
    if fits == "too_small":
        draft.stop(
            say("the contactor is too small for {load} A in {kind}",
                load=number(load, 1), kind=kind),
            say("Fit one rated {load} A or more in {kind}, same coil volts.",
                load=number(load, 1), kind=kind),
            "contactor_ratings",
        )  # fmt: skip
    elif fits == "ask":
        draft.lack(
            say("only milder ratings of the contactor are known"),
            say("Get its rating in {kind}: one is never converted into another.", kind=kind),
            "contactor_ratings",
        )


METHOD = Method(
    id="overload",
    title=later("Contactor and overload"),
    what=later("Whether a contactor fits what it switches, and where its overload relay trips."),
    fields=FIELDS,
    cautions=("X02", "X03", "X05", "X29"),
    reckon=reckon,
    standard="IEC 60947-4-1",
    example=("--load-ampere", "8.5", "--contactor-ratings", "AC-1 25; AC-3 9", "--set-ampere",
             "8.5", "--trip-class", "10"),
)  # fmt: skip
