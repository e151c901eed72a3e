"""Cell: may this one stand in for the cell that keeps a control's memory; data first."""

from __future__ import annotations

from retrue.base.formatter import number, short
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.fix.match_rows import (
    CHECKED,
    COMMON,
    NEEDED,
    OFFERED,
    Property,
    fields_of,
    rows_of,
    settled,
    ticked,
    told,
)
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Caution, Reckoning
from retrue.cases.wake.matching_rows import Row
from retrue.science.cell_sort import SORTS, stands_in
from retrue.science.memory_cell import cell_years
from retrue.science.motor_match import Fits, enough

LASTS = later("capacity over current, one per cent a year lost by itself (from memory)")
VOLTS_SHARE = 0.05  # of the printed volts (judgement)
WEAK_SHARE = 0.9  # an old one under this share of its printed volts is near its end (judgement)
FRESH_YEARS = 2.0  # since it was made (judgement)
ENDS = (("plain", "plain, in a holder"), ("tabs", "tabs"), ("wires", "wires and plug"))
KINDS = tuple((one.id, one.title) for one in SORTS.values())
MANUAL = (("on", "with the control powered"), ("off", "with the power off"),
          ("unknown", "it does not say"))  # fmt: skip
LITHIUM = Caution(
    text=later("A cell is never charged, shorted, opened, heated or soldered on: it bursts or "
               "burns. "
             "Spent ones go apart, their ends taped."),
    defers_to=later("IEC 60086-4 and -5 (from memory), its maker; local waste rules"),
)  # fmt: skip

CELL = (
    Property(id="cells", name=later("cells in a row"), how="same", whole=True,
             source="by definition",
             rule=later("as many; volts add up")),
    Property(id="mah", name=later("capacity"), how="least", unit="mAh",
             rule=later("no less"), source="by definition"),
    Property(id="plug", name=later("plug"), how="words", source=COMMON,
             rule=later("the same, with both wires in the same places"),
             remedy=later("Measure which wire is plus on the old one, dead and out; a plug may be "
                        "the same and its wires crossed.")),
    Property(id="diameter_mm", name=later("diameter"), how="most", unit="mm",
             rule=later("no larger"),
             source="IEC 60086-2"),
    Property(id="length_mm", name=later("length"), how="near", unit="mm", yes_share=0.02,
             ask_share=0.1, rule=later("within a fiftieth, or the holder does not touch it"),
             source="IEC 60086-2"),
)  # fmt: skip
SORT = Property(id="sort", name=later("chemistry"), how="same", choices=KINDS, rule="", source="",
                old="Letters on it: ER is thionyl, CR manganese dioxide, LR alkaline.")  # fmt: skip
VOLTS = Property(id="volts", name=later("volts, whole pack"), how="near", unit="V",
                 yes_share=VOLTS_SHARE, rule=later("within a twentieth"), source=COMMON,
                 old="Printed on it.")  # fmt: skip
END = Property(id="ends", name=later("its ends"), how="same", choices=ENDS, rule="", source="")
FIELDS = (
    *fields_of((SORT, VOLTS, END, *CELL)),
    Field(id="measured_volts", name="volts of the old one, as measured", unit="V",
          help="By a meter, where the cell can be reached with nothing live beside it.",
          group=NEEDED),
    Field(id="cell_ua", name="current that the memory draws", unit="uA",
          help="In the control's manual.", group=NEEDED),
    Field(id="wanted_years", name="years it shall last", help="As the manual says, or 3.",
          group=NEEDED),
    Field(id="has_age_years", name="how long ago it was made, years", zero=True,
          help="Printed on it, or use-by less its shelf life.", group=OFFERED),
    Field(id="saved", name="the data are copied and read back", sort="flag",
          help="Parameters, offsets, programs, ladder: read back and compared.", group=CHECKED),
    Field(id="manual", name="how the control's manual has it changed", sort="choice",
          choices=MANUAL, help="Look it up; nearly all want it powered.", group=CHECKED),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Every property of a cell against the one it replaces; nothing before the data are saved.

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
    >>> made = reckon(values_of(METHOD, {"need_sort": "alkaline", "has_sort": "nimh",
    ...     "saved": "yes"}))
    >>> made.answer, made.against[0].field
    ('no_go', 'has_sort')
    """
    draft = Draft("cell", say("Memory cell"), FIELDS, values)
    draft.cautions.append(LITHIUM)
    rows = [_saved(draft), _sort(draft), *rows_of(draft, (VOLTS,)), _ends(draft)]
    rows += [*rows_of(draft, CELL), *_lasts(draft), _fresh(draft), _manual(draft)]
    _old(draft)
    return settled(draft, rows)


def _saved(draft: Draft) -> Row:
    return ticked(
        draft, "saved", say("data copied and read back"),
        rule=say("before anyone touches the cell: without it they are gone"), source=COMMON,
        remedy=say("Copy them, read them back, compare; then order the cell."), unlike="no",
    )  # fmt: skip


def _sort(draft: Draft) -> Row:
    needs, has = draft.said("need_sort"), draft.said("has_sort")
    shown = dict(KINDS)
    more = say("Only the same chemistry: one that is charged bursts where it is not made for it.")
    fits = stands_in(has, needs)
    return told(draft, say("chemistry"), shown.get(needs), shown.get(has), fits,
                ("need_sort", "has_sort"),
                rule=say("the same; never one to be charged for one that is not, nor the other way "
                         "round"), source="IEC 60086-4 and -5 (from memory)",
                remedy=more if fits == "no" else "")  # fmt: skip


def _ends(draft: Draft) -> Row:
    """Nobody solders on a cell."""
    needs, has = draft.said("need_ends"), draft.said("has_ends")
    fits: Fits = "ask"
    if needs and has:
        fits = "yes" if needs == has else "no"
    shown = dict(ENDS)
    return told(draft, say("its ends"), shown.get(needs), shown.get(has), fits,
                ("need_ends", "has_ends"),
                rule=say("the same; nobody solders on a cell"),
                source="IEC 60086-4 (from memory)",
                remedy=say("Order it with tabs or with its plug, made up by who welds them.")
                if fits == "no" else "")  # fmt: skip


def _lasts(draft: Draft) -> list[Row]:
    current, mah, wanted = (draft.said(id) for id in ("cell_ua", "has_mah", "wanted_years"))
    if current is None and wanted is None:
        return []
    years = None
    if current is not None and mah is not None:
        try:
            years = cell_years(mah, current)
        except Unusable as refusal:
            draft.refused(refusal, "has_mah")
            return []
        draft.figure("cell_years", say("it lasts"), years, say("years"), 1, LASTS)
    return [told(draft, say("how long it lasts"), wanted, years, enough(years, wanted),
                 ("wanted_years", "cell_ua" if current is None else "has_mah"), unit=say("years"),
                 rule=say("capacity over current, less what it loses by itself"),
                 source=LASTS)]  # fmt: skip


def _fresh(draft: Draft) -> Row:
    years = draft.said("has_age_years")
    fits: Fits = "yes" if years is not None and years <= FRESH_YEARS else "ask"
    shown = None if years is None else say("{years} years", years=short(years))
    return told(
        draft,
        say("date"),
        say("2 years or less"),
        shown,
        fits,
        ("has_age_years", "has_age_years"),
        source="judgement, no source",
        rule=say("made no longer ago than two years"),
        why=say("its date is not known") if years is None else "",
        remedy=say("Ask for one with its date; an old one off a shelf may be empty."),
    )


def _manual(draft: Draft) -> Row:
    """Powered, unless its manual says otherwise; where nobody knows, it is looked up first."""
    said = draft.said("manual")
    shown = dict(MANUAL)
    fits: Fits = "yes" if said in ("on", "off") else "ask"
    if said == "off":
        draft.notes.append(say("Its manual wants the power off: within the time it names, the new "
                               "one in hand."))  # fmt: skip
    if said == "on":
        draft.notes.append(say("With the control powered, everything else off; where something "
                               "live lies beside it, by an electrician."))  # fmt: skip
    return told(draft, say("how it is changed"), say("as its manual says"), shown.get(said), fits,
                ("manual", "manual"), source="the control's manual",
                rule=say("with the control powered, unless its manual says otherwise"),
                why=say("its manual is not known") if said is None else "",
                remedy=say("Look it up, or ask who has a like control; the data are saved first "
                           "either way."))  # fmt: skip


def _old(draft: Draft) -> None:
    """What is left of the old one, as a warning."""
    measured, printed = draft.said("measured_volts"), draft.said("need_volts")
    if measured is None or not printed:
        return
    draft.figure(
        "left_percent",
        say("volts of the old one, of what is printed"),
        100.0 * measured / printed,
        "%",
        0,
        "by definition; under 90 is judgement",
    )
    if measured < WEAK_SHARE * printed:
        draft.notes.append(say("The old one has {volts} V: near its end. Save the data today; keep "
                               "the control powered until it is changed.",
                               volts=number(measured, 2)))  # fmt: skip


METHOD = Method(
    id="cell",
    title=later("Memory cell"),
    what=later("Whether a cell may replace the one that keeps the memory, and what comes first."),
    fields=FIELDS,
    cautions=("X13", "X05", "X14", "X45"),
    reckon=reckon,
    standard="IEC 60086-1, -2, -4; the control's manual",
    example=("--saved", "--need-sort", "thionyl", "--has-sort", "thionyl", "--need-volts", "3.6",
             "--has-volts", "3.6", "--need-ends", "wires", "--has-ends", "wires", "--has-mah",
             "2.4 Ah", "--cell-ua", "20", "--wanted-years", "5", "--manual", "on"),
)  # fmt: skip
