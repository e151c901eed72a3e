"""Hose: may this one replace that one, by bore, pressure, heat, fluid, bend, length, ends, date."""

from __future__ import annotations

from retrue.base.formatter import short
from retrue.base.say import later, say
from retrue.cases.fix.match_rows import (
    NEEDED,
    Property,
    fields_of,
    rows_of,
    settled,
    told,
)
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.wake.matching_rows import Row
from retrue.science.hose import BURST_TIMES, burst_bar, flow_m_s, long_enough, young_enough
from retrue.science.motor_match import enough

BURST = later("SAE J517, ISO 7751: four times (secondary source)")
LONG = later("up to 4 per cent shorter under pressure (from memory, unverified)")
AGE = later("DIN 20066: two years on a shelf, six in all (from memory)")
PARTS = (("hydraulic", "hydraulics"), ("lube", "lubrication"), ("air", "compressed air"),
         ("coolant", "coolant"))  # fmt: skip
OIL = ("hydraulic", "lube")  # never fewer than four times
FLUIDS = (("mineral", "mineral oil"), ("ester", "ester"), ("glycol", "water and glycol"),
          ("emulsion", "coolant, oil in water"), ("grease", "grease"),
          ("air", "compressed air"))  # fmt: skip
ASK_CHART = later("Ask its maker's list of fluids; the lining may swell.")

PLAIN = (
    Property(id="bore_mm", name=later("inside diameter"), how="near", unit="mm", yes_share=0.05,
             ask_share=0.3, rule=later("the same within a twentieth; narrower starves, wider is "
                                     "asked"), source="ISO 4397"),
    Property(id="bar", name=later("working pressure"), how="least", unit="bar",
             rule=later("no lower than the highest there is, peaks too"),
             source="ISO 4413 (from memory)", old="On the gauge or the unit's plate, and peaks."),
)  # fmt: skip
REST = (
    Property(id="low_c", name=later("coldest"), how="most", unit="°C", signed=True,
             rule=later("it bears as cold as it gets"), source="its document", asked=False),
    Property(id="high_c", name=later("hottest"), how="least", unit="°C", signed=True,
             rule=later("it bears as hot as the fluid gets"), source="its document"),
    Property(id="fluid", name=later("fluid"), how="same", choices=FLUIDS, unlike="ask",
             rule=later("made for that fluid"), source="ISO 7751, its document", remedy=ASK_CHART),
    Property(id="bend_mm", name=later("bend, radius"), how="most", unit="mm",
             rule=later("bends as tightly as there is room"), source="its document",
             old="Radius of its tightest bend, slide at its end too."),
    Property(id="end_one", name=later("fitting at one end"), how="words", source="ISO 12151",
             rule=later("the same thread, cone and angle; like threads of two systems leak"),
             remedy=later("Have both measured with thread gauges where hoses are made.")),
    Property(id="end_two", name=later("fitting at the other end"), how="words", source="ISO 12151",
             rule=later("the same thread, cone and angle"),
             remedy=later("Have both measured with thread gauges where hoses are made.")),
    Property(id="sleeve", name=later("sleeve or guard over it"), how="there",
             rule=later("where a person stands beside it"), source="ISO 4413 (from memory)"),
    Property(id="suction", name=later("bears suction"), how="there", asked=False,
             rule=later("where a pump sucks through it"), source="its document"),
    Property(id="static", name=later("carries static away"), how="there", asked=False,
             rule=later("where it is asked for"), source="its document"),
)  # fmt: skip
BURSTS = Property(id="burst_bar", name=later("burst pressure"), how="least", unit="bar", rule="",
                  source="")  # fmt: skip
LENGTH = Property(id="length_mm", name=later("length, with its fittings"), how="near", unit="mm",
                  rule="", source="")  # fmt: skip
OWN_SIDES = ("need_burst_bar",)  # reckoned, not asked
FIELDS = (
    Field(id="part", name="of what", sort="choice", choices=PARTS, default="hydraulic",
          mark="what its plate says of it is filled in", help="The unit that it belongs to.",
          group=NEEDED),
    *(one for one in fields_of((*PLAIN, BURSTS, LENGTH, *REST)) if one.id not in OWN_SIDES),
    Field(id="burst_times", name="burst pressure over working pressure", default=BURST_TIMES,
          mark="hydraulics, secondary source", help="Of its standard; air and water ask less.",
          group=NEEDED),
    Field(id="litre_min", name="flow", unit="l/min", help="Of the pump.", group=NEEDED),
    Field(id="has_age_years", name="how long ago it was made, years", zero=True,
          help="Quarter and year are printed on hose and fitting.", group="what is offered"),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Every property of a hose against the one it replaces.

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
    >>> made = reckon(values_of(METHOD, {"need_bar": "70", "has_bar": "80",
    ...     "has_burst_bar": "250"}))
    >>> made.answer, made.against[0].field, made.figures[0].value
    ('no_go', 'has_burst_bar', 280.0)
    """
    draft = Draft("hose", say("Hose"), FIELDS, values)
    draft.get("part")
    rows = [*rows_of(draft, PLAIN), _burst(draft), _length(draft), *rows_of(draft, REST)]
    flow, bore = draft.said("litre_min"), draft.said("has_bore_mm")
    if flow is not None and bore:
        draft.figure("flow_m_s", say("speed of the fluid in it"), flow_m_s(flow, bore), "m/s", 1,
                     "by definition; 2 to 6 is usual under pressure (from memory)")  # fmt: skip
    draft.notes.append(say("A hose under pressure is made and proved by who has the press for its "
                           "fittings; none is mended with a clamp."))  # fmt: skip
    return settled(draft, [*rows, _age(draft)])


def _burst(draft: Draft) -> Row:
    working, has = draft.said("need_bar"), draft.said("has_burst_bar")
    times = draft.get("burst_times")
    if draft.get("part") in OIL:
        times = max(times, BURST_TIMES)
    asked = None if working is None else burst_bar(working, times=times)
    if asked is not None:
        draft.figure("burst_bar", say("it may not burst below"), asked, "bar", 0, BURST)
    fits = enough(has, asked)
    fewer = fits == "yes" and times < BURST_TIMES
    return told(draft, say("burst pressure"), asked, has, "ask" if fewer else fits,
                ("need_bar", "has_burst_bar"), source=BURST, unit="bar",
                rule=say("four times the working pressure or more; with air and water fewer is "
                         "asked"),
                remedy=say("Ask for the standard that allows so few times.") if fewer else "",
                )  # fmt: skip


def _length(draft: Draft) -> Row:
    needs, has = draft.said("need_length_mm"), draft.said("has_length_mm")
    return told(draft, say("length"), needs, has, long_enough(has, needs),
                ("need_length_mm", "has_length_mm"), unit="mm", source=LONG,
                rule=say("reaches when pressure has shortened it, at the far end of its slide; up "
                         "to a tenth longer, with no loop that rubs"),
                remedy=say("A little longer, without a twist and without rubbing.")
                if needs is not None and has is not None else "")  # fmt: skip


def _age(draft: Draft) -> Row:
    years = draft.said("has_age_years")
    shown = None if years is None else say("{years} years", years=short(years))
    return told(draft, say("date"), say("2 years or less"), shown, young_enough(years),
                ("has_age_years", "has_age_years"), source=AGE,
                rule=say("made no longer ago than two years; up to six it is asked"),
                why=say("its date is not known") if years is None else "")  # fmt: skip


METHOD = Method(
    id="hose",
    title=later("Hose"),
    what=later("Whether a hose may replace another: bore, pressure, heat, fluid, bend, ends, "
               "date."),
    fields=FIELDS,
    cautions=("X08", "X02", "X07"),
    reckon=reckon,
    standard="SAE J517; ISO 7751; ISO 4413; DIN 20066",
    example=("--need-bar", "5000 psi", "--has-bar", "350", "--has-burst-bar", "20000 psi",
             "--need-length-mm", "1000", "--has-length-mm", "1050", "--has-age-years",
             "12 months"),
)  # fmt: skip
