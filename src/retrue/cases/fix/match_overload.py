"""Overload relay: may this one replace that one; range, class, reset, lost phase, and its line."""

from __future__ import annotations

from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.fix.match_motor_line import LINE_FIELDS, LOAD, line
from retrue.cases.fix.match_rows import (
    COMMON,
    NEEDED,
    OFFERED,
    Property,
    fields_of,
    range_words,
    rows_of,
    settled,
    told,
)
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.wake.matching_rows import Row
from retrue.science.fitting import at_most, between
from retrue.science.motor_match import Fits
from retrue.science.overload import (
    CLASS_TIMES,
    holds_and_trips_ampere,
    setting_ampere,
    trips_after_s,
)
from retrue.science.protection import TRIP_S
from retrue.science.protection_nec import overload

LIMITS = later("IEC 60947-4-1, limits of operation (from memory, unverified)")
CLASSES = later("IEC 60947-4-1, trip classes at 7.2 times the setting (from memory, unverified)")
RESETS = (("hand", "by hand"), ("self", "by itself"), ("both", "to be chosen"))
SPEEDS = tuple(TRIP_S)  # rising

KEPT = (
    Property(id="lost_phase", name=later("trips when a phase is lost"), how="there",
             rule=later("where the old one does, and with any motor that nobody watches"),
             source="IEC 60947-4-1, from memory", old="A mark of three lines, one broken."),
    Property(id="warm_cabinet", name=later("made up for the warmth of its cabinet"), how="there",
             rule=later("where the old one is"), source="IEC 60947-4-1, from memory", asked=False),
    Property(id="make_contacts", name=later("contacts that make"), how="least", whole=True,
             zero=True, rule=later("no fewer"), source="by definition",
             old="Count those that have wires."),
    Property(id="break_contacts", name=later("contacts that break"), how="least", whole=True,
             zero=True, rule=later("no fewer"), source="by definition",
             old="Count those that have wires."),
    Property(id="fuse_ampere", name=later("fuse or breaker before it"), how="least", unit="A",
             rule=later("no larger than the new one allows before it"), source="its document",
             old="There now; read by an electrician.", new="Largest that is printed on it."),
    Property(id="mounting", name=later("mounting"), how="words", source=COMMON,
             rule=later("the same: under which contactor, or by itself on a rail")),
)  # fmt: skip
FIELDS = (
    Field(id="need_ampere", name="amps on the motor's plate", unit="A",
          help="At the voltage and connection in use; never of a table.", group=NEEDED),
    Field(id="inside_delta", name="it sits inside the delta, not in the line", sort="flag",
          default=False, help="In star-delta starters: follow the wires, dead.", group=NEEDED),
    Field(id="need_class", name="trip class: needed", sort="choice",
          choices=tuple((name, name) for name in SPEEDS), help="Printed on the old one.",
          group=NEEDED),
    Field(id="need_reset", name="how it is reset: needed", sort="choice", choices=RESETS[:2],
          help="As it is set now.", group=NEEDED),
    Field(id="start_s", name="time to run up", unit="s", help="By a watch, at its last starts.",
          group=NEEDED),
    Field(id="start_times", name="current while it runs up, in times of its plate",
          default=CLASS_TIMES, mark="the current of the classes",
          help="On the plate or in its document.", group=NEEDED),
    Field(id="set_ampere", name="what it will be set to", unit="A",
          help="Leave it empty, and it is set to what is reckoned here.", group=OFFERED),
    *fields_of(KEPT),
    Field(id="has_low_ampere", name="its range from", unit="A", help="Printed on it.",
          group=OFFERED),
    Field(id="has_high_ampere", name="its range to", unit="A", help="Printed on it.",
          group=OFFERED),
    Field(id="has_class", name="trip class: offered", sort="choice",
          choices=tuple((name, name) for name in SPEEDS), help="Printed on it.", group=OFFERED),
    Field(id="has_reset", name="how it is reset: offered", sort="choice", choices=RESETS,
          help="In its document.", group=OFFERED),
    Field(id="line_volts", name="volts of the line", unit="V", help="By NFPA 70 only.",
          group="its line"),
    *LINE_FIELDS,
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Every property of an overload relay against the one it replaces and against its motor.

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
    >>> made = reckon(values_of(METHOD, {"need_ampere": "8.5", "has_low_ampere": "9",
    ...     "has_high_ampere": "13"}))
    >>> made.answer, made.against[0].field
    ('no_go', 'has_low_ampere')
    """
    draft = Draft("match_overload", say("Overload relay"), FIELDS, values)
    rows = [_range(draft), *_set(draft), _class(draft), *_starts(draft), _reset(draft)]
    rows += rows_of(draft, KEPT)
    plate = draft.said("need_ampere")
    line(draft, plate, plate, draft.said("line_volts"))
    return settled(draft, rows)


def _range(draft: Draft) -> Row:
    plate = draft.said("need_ampere")
    low, high = draft.said("has_low_ampere"), draft.said("has_high_ampere")
    setting = None
    if plate is not None:
        setting = setting_ampere(plate, inside_delta=draft.get("inside_delta"))
        holds, trips = holds_and_trips_ampere(setting)
        draft.figure("setting_ampere", say("set it to"), setting, "A", 2,
                     "the motor's plate (IEC 60947-4-1, from memory)")  # fmt: skip
        draft.figure("holds_ampere", say("holds for 2 h"), holds, "A", 2, LIMITS)
        draft.figure("trips_ampere", say("trips within 2 h"), trips, "A", 2, LIMITS)
    return told(draft, say("range"), setting, range_words(low, high), between(low, high, setting),
                ("need_ampere", "has_low_ampere" if low is None or (
                    setting is not None and setting < low) else "has_high_ampere"),
                rule=say("holds the motor's plate; inside a delta the plate over 1.73"),
                source="IEC 60947-4-1 (from memory); root three by definition",
                unit="A" if setting is not None else "")  # fmt: skip


def _set(draft: Draft) -> list[Row]:
    """No higher than the plate by IEC, 125 or 115 per cent of it by NFPA 70."""
    plate, set_to = draft.said("need_ampere"), draft.said("set_ampere")
    if plate is None or set_to is None:
        return []
    low, high = draft.said("has_low_ampere"), draft.said("has_high_ampere")
    most, source = plate, "IEC 60204-1, IEC 60947-4-1, from memory"
    if draft.get("code") == "nec":
        factor, rise = max(1.0, draft.get("service_factor")), draft.said("rise_kelvin")
        most = overload(plate, service_factor=factor, rise_kelvin=rise).setting_ampere
        source = LOAD
    if draft.get("inside_delta"):
        most = setting_ampere(most, inside_delta=True)
    return [
        told(
            draft,
            say("setting"),
            most,
            set_to,
            at_most(set_to, most) if between(low, high, set_to) != "no" else "no",
            ("need_ampere", "set_ampere"),
            unit="A",
            source=source,
            rule=say(
                "inside its range, no higher than the motor's plate; by NFPA 70 125 per cent of "
                "it with a service factor of 1.15 or a rise of 40 K, else 115"
            ),
            remedy=say(
                "Set it inside its range, and no higher; where it trips, look at the motor."
            ),
        )
    ]


def _class(draft: Draft) -> Row:
    """A faster one may trip at every start, a slower one lets motor and cable grow warmer."""
    needs, has = draft.said("need_class"), draft.said("has_class")
    fits: Fits = "ask"
    more = ""
    if needs and has:
        fits = "yes" if needs == has else "ask"
        more = (say("A slower one only where motor and cable bear it: ask an electrician.")
                if SPEEDS.index(has) > SPEEDS.index(needs) else
                say("A faster one may trip at every start: time how long it runs up."))  # fmt: skip
        window = trips_after_s(has, CLASS_TIMES)
        draft.figure("soonest_s", say("trips from cold, at 7.2 times, not before"), window[0], "s",
                     1, CLASSES)  # fmt: skip
        draft.figure("latest_s", say("and not after"), window[1], "s", 1, CLASSES)
    return told(draft, say("trip class"), needs, has, fits, ("need_class", "has_class"),
                rule=say("the same: 10A trips in 2 to 10 s, 10 in 4 to 10, 20 in 6 to 20, 30 in 9 "
                         "to 30"), source=CLASSES, remedy=more)  # fmt: skip


def _starts(draft: Draft) -> list[Row]:
    start, has = draft.said("start_s"), draft.said("has_class")
    if start is None or not has:
        return []
    try:
        soonest, _ = trips_after_s(has, draft.get("start_times"))
    except Unusable as refusal:
        draft.refused(refusal, "start_times")
        return []
    return [told(draft, say("time to run up"), start, soonest, "yes" if start < soonest else "no",
                 ("start_s", "has_class"), unit="s",
                 rule=say("shorter than the soonest that its class may trip at that current"),
                 source=CLASSES,
                 remedy=say("Find out why it starts so slowly, or ask an electrician for a slower "
                            "class."))]  # fmt: skip


def _reset(draft: Draft) -> Row:
    """One that resets by itself starts a motor that nobody expects."""
    needs, has = draft.said("need_reset"), draft.said("has_reset")
    fits: Fits = "ask"
    if needs and has:
        fits = "yes" if has in (needs, "both") else "no" if needs == "hand" else "ask"
    shown = dict(RESETS)
    return told(draft, say("reset"), shown.get(needs), shown.get(has), fits,
                ("need_reset", "has_reset"),
                rule=say("by hand where it was by hand: no motor may start by itself"),
                source="IEC 60204-1, 7.3 and 7.5, from memory")  # fmt: skip


METHOD = Method(
    id="match_overload",
    title=later("Overload relay"),
    what=later("Whether an overload relay may replace another, and where it is set."),
    fields=FIELDS,
    cautions=("X02", "X05", "X29"),
    reckon=reckon,
    standard="IEC 60947-4-1; NFPA 70, 430.32",
    example=("--need-ampere", "12.4", "--has-low-ampere", "10", "--has-high-ampere", "14",
             "--need-class", "10", "--has-class", "10", "--code", "nec", "--service-factor",
             "1.15", "--horsepower", "10", "--line-volts", "460"),
)  # fmt: skip
