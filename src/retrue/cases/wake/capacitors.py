"""Capacitors of a bus after a rest: which sources ask for what, and who does it."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field
from retrue.cases.reckon.reckoning import Listing
from retrue.science.capacitor import (
    LEAST_CAPACITY_PERCENT,
    OLD_YEARS,
    REJECT_SHARE,
    asked,
    capacity_left_percent,
    component_minutes,
    leaks_too_much,
    slowest,
)

REST, SHEET = "its rest", "from the specialist's or the workshop's sheet"

REST_FIELDS = (
    Field(id="idle_months", name="months since it last had its volts", zero=True,
          help="From its last record; ask the seller. 5 years are read as well.", group=REST),
    Field(id="age_years", name="age of the capacitors in years", zero=True,
          help="A date is printed on them: year and week.", group=REST),
    Field(id="document_hours", name="time that the drive's own document asks", unit="h", zero=True,
          help="In the drive's manual, storage; it goes before every other source. 0: it asks"
          " nothing, and a specialist signs for that.", group=REST),
    Field(id="brought_back", name="a drive specialist has signed for it", sort="flag",
          help="Date, method, document, name and signature.", group=REST),
    Field(id="applied_volts", name="voltage that he applied", unit="V", help="On his sheet.",
          group=SHEET),
    Field(id="resistor_volts", name="voltage left over his resistor after an hour", unit="V",
          zero=True, help="On his sheet.", group=SHEET),
    Field(id="measured_uf", name="capacity as measured, microfarad",
          help="On the workshop's sheet.", group=SHEET),
)  # fmt: skip


def capacitors(draft: Draft) -> None:
    """Say what the rest and age of a bank ask for; a specialist's work, and no recipe of ours.

    Parameters
    ----------
    draft : Draft
        Gets figures, listings and what is lacking.

    Examples
    --------
    >>> from retrue.cases.wake.bus import FIELDS
    >>> draft = Draft("bus", "Bus", FIELDS, {"idle_months": 30.0})
    >>> capacitors(draft)
    >>> [one.reason for one in draft.missing]
    ['it rested 30 months']
    """
    months = draft.wanted("idle_months")
    if months is not None:
        try:
            _rest(draft, months)
        except Unusable as refusal:
            draft.refused(refusal, "idle_months")
    _old(draft)
    _left(draft)
    _leak(draft)


def _rest(draft: Draft, months: float) -> None:
    found, most = asked(months), slowest(months)
    draft.listings.append(
        Listing(
            title=say("The sources disagree: hours that each asks after this rest"),
            columns=(say("source"), say("least"), say("most")),
            rows=tuple(
                (f"{say(one.rule.source)} ({say(one.rule.mark)})", one.least_hours, one.most_hours)
                for one in found
            ),
        )
    )  # fmt: skip
    own = draft.said("document_hours")
    hours = own or most.most_hours  # a document that asks nothing is read by him who signs
    draft.figure("asked_hours", say("hours of the specialist to plan"), hours, "h", 1,
                 say("the drive's own document") if own
                 else say("the slowest of the sources that disagree"))  # fmt: skip
    draft.figure("component_minutes", say("one capacitor off the machine, by the component's rule"),
                 component_minutes(months), "min", 0,
                 "guides to electrolytic capacitors (secondary source)")  # fmt: skip
    if not own:
        draft.notes.append(say("The drive's own document goes before all of these: get it first."))
    if hours > 0 and draft.said("brought_back"):
        draft.wanted("applied_volts")  # a signature without his numbers says nothing
        draft.wanted("resistor_volts")
    elif hours > 0:
        draft.lack(
            say("it rested {months} months", months=number(months)),
            say("A drive specialist brings the bus back, by the drive's own document: plan {hours}"
                " h of his. He hands back bus volts, leakage, ripple, case temperature, method and"
                " signature.", hours=number(hours, 1)),
            "brought_back",
        )  # fmt: skip


def _old(draft: Draft) -> None:
    age = draft.said("age_years")
    if age is not None and age >= OLD_YEARS and draft.said("measured_uf") is None:
        draft.lack(
            say("its capacitors are {age} years old", age=number(age)),
            say("A workshop measures capacity and leakage before they get their volts."),
            "measured_uf",
        )


def _left(draft: Draft) -> None:
    measured, printed = draft.said("measured_uf"), draft.said("capacity_uf")
    if measured is None:
        return
    if printed is None:
        draft.wanted("capacity_uf")
        return
    left = capacity_left_percent(measured, printed)
    draft.figure("capacity_left_percent", say("of its capacity is left"), left, "%", 0,
                 "under 80 % it is replaced: common practice, no source")  # fmt: skip
    if left < LEAST_CAPACITY_PERCENT:
        draft.stop(say("{left} % of its capacity is left", left=number(left)),
                   say("A drive workshop replaces the bank."), "measured_uf")  # fmt: skip


def _leak(draft: Draft) -> None:
    applied, over = draft.said("applied_volts"), draft.said("resistor_volts")
    if over is None:
        return
    if applied is None:
        if not any(one.field == "applied_volts" for one in draft.missing):
            draft.wanted("applied_volts")
        return
    try:
        leaks = leaks_too_much(over, applied)
    except Unusable as refusal:
        draft.refused(refusal, "resistor_volts")
        return
    draft.figure("leak_percent", say("still over the resistor after an hour"),
                 100.0 * over / applied, "%", 1,
                 "guides to electrolytic capacitors: under 10 % (secondary source)")  # fmt: skip
    if leaks:
        draft.stop(say("its leakage has not fallen: {percent} % after an hour",
                       percent=number(100.0 * over / applied, 1)),
                   say("Reject it from {limit} % on: the bank is replaced.",
                       limit=number(100 * REJECT_SHARE)),
                   "resistor_volts")  # fmt: skip
