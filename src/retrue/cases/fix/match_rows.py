"""What is needed against what is offered, property by property: yes, no, or ask."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from retrue.base.formatter import short
from retrue.base.refusals import Refusal
from retrue.base.say import say, shown_later
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field
from retrue.cases.reckon.reckoning import Listing, Reckoning
from retrue.cases.wake.matching_rows import Row, Told, told_with
from retrue.science.enclosure import covers
from retrue.science.fitting import at_most, like_words, near, provided, ranked
from retrue.science.motor_match import Fits, alike, enough

How = Literal["same", "words", "least", "most", "near", "there", "enclosure", "class"]
NEEDED, OFFERED, CHECKED = "what is needed", "what is offered", "before it is fitted"
PLATE = "On the old one, its plate or its document."
SHEET = "On its plate or in its document."
COMMON = "common practice, no source"
CHOSEN = "by definition"
ANSWERS: Mapping[Fits, str] = {"yes": "yes", "no": "no", "ask": "ask"}
YES_NO = {True: "yes", False: "no"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Property:
    """Something that a part must have: two fields, one rule, one row.

    ``id`` makes the fields ``need_<id>`` and ``has_<id>``.
    """

    id: str
    name: str
    how: How
    rule: str  # in words
    source: str  # standard and how sure
    unit: str = ""
    whole: bool = False
    signed: bool = False
    zero: bool = False
    choices: tuple[tuple[str, str], ...] = ()
    old: str = PLATE  # where the needed one is found
    new: str = SHEET
    unlike: Fits = "no"  # what it means where it does not fit
    yes_share: float = 0.0  # near: band without a question, and one with
    ask_share: float = 0.0
    asked: bool = True  # else only where somebody needs it
    remedy: str = ""  # where it does not fit

    def __post_init__(self) -> None:
        """Its texts are said when they are shown."""
        shown_later(self, "name", "rule", "source", "old", "new", "remedy")


def fields_of(properties: Iterable[Property]) -> tuple[Field, ...]:
    """The fields of properties: all that is needed, then all that is offered.

    Parameters
    ----------
    properties : iterable of Property

    Returns
    -------
    tuple of Field

    Examples
    --------
    >>> volts = Property(id="volts", name="volts", how="near", unit="V", rule="the same",
    ...     source="by definition")
    >>> [one.id for one in fields_of([volts])]
    ['need_volts', 'has_volts']
    """
    every = tuple(properties)
    return tuple(_field(one, needed=needed) for needed in (True, False) for one in every)


def asked_where(so: bool, *properties: Property) -> tuple[Property, ...]:
    """Properties that must be known where something else is so.

    Parameters
    ----------
    so : bool
    *properties : Property

    Returns
    -------
    tuple of Property

    Examples
    --------
    >>> counts = Property(id="counts", name="counts", how="same", rule="the same",
    ...     source="by definition", asked=False)
    >>> [one.asked for one in asked_where(True, counts)]
    [True]
    """
    return tuple(replace(one, asked=one.asked or so) for one in properties)


def _field(one: Property, *, needed: bool) -> Field:
    kind: Literal["number", "whole", "choice", "text", "flag"] = "text"
    if one.choices:
        kind = "choice"
    elif one.how == "there":
        kind = "flag"
    elif one.whole:
        kind = "whole"
    elif one.how in ("least", "most", "near") or one.unit:
        kind = "number"
    name = say("{name}: needed", name=one.name) if needed else say("{name}: offered", name=one.name)
    return Field(
        id=f"need_{one.id}" if needed else f"has_{one.id}", name=name, sort=kind, unit=one.unit,
        choices=one.choices, help=one.old if needed else one.new, signed=one.signed, zero=one.zero,
        group=NEEDED if needed else OFFERED,
    )  # fmt: skip


def rows_of(draft: Draft, properties: Iterable[Property]) -> list[Row]:
    """A row for each property; those that nobody needs are left out.

    Parameters
    ----------
    draft : Draft
    properties : iterable of Property

    Returns
    -------
    list of Row

    Examples
    --------
    >>> volts = Property(id="volts", name="volts", how="least", unit="V", rule="as much",
    ...     source="by definition")
    >>> draft = Draft("motor", "", fields_of([volts]), {"need_volts": 400.0, "has_volts": 230.0})
    >>> [(row.name, row.wanted, row.has, row.fits) for row in rows_of(draft, [volts])]
    [('volts', '400 V', '230 V', 'no')]
    """
    made = [_row(draft, one) for one in properties]
    return [row for row in made if row is not None]


def _row(draft: Draft, one: Property) -> Row | None:
    needs, has = draft.said(f"need_{one.id}"), draft.said(f"has_{one.id}")
    if not one.asked and needs in (None, ""):
        return None
    try:
        fits = _fits(one, has, needs)
    except Refusal as refusal:
        draft.refused(refusal, f"has_{one.id}")
        return None
    if fits == "no":
        fits = one.unlike
    return told(draft, one.name, _shown(one, needs), _shown(one, has), fits,
                (f"need_{one.id}", f"has_{one.id}"), rule=one.rule, source=one.source,
                unit=one.unit, remedy=one.remedy)  # fmt: skip


def _fits(one: Property, has: Any, needs: Any) -> Fits:
    match one.how:
        case "least":
            return enough(has, needs)
        case "most":
            return at_most(has, needs)
        case "near":
            return near(has, needs, yes_share=one.yes_share, ask_share=one.ask_share)
        case "there":
            return provided(has, needs)
        case "words":
            return like_words(has, needs)
        case "enclosure":
            return covers(has, needs)
        case "class":
            return ranked(tuple(key for key, _ in one.choices), has, needs)
        case _:
            return alike(has, needs)


def _shown(one: Property, value: Any) -> Told:
    if one.how == "there" and value is not None:
        return say(YES_NO[bool(value)])
    if one.choices and value:
        return dict(one.choices)[value].partition(":")[0]
    made: Told = value
    return made


def told(
    draft: Draft,
    name: str,
    needs: Told,
    has: Told,
    fits: Fits,
    fields: tuple[str, str],
    *,
    rule: str,
    source: str,
    unit: str = "",
    why: str = "",
    remedy: str = "",
) -> Row:
    """One row with its rule and its reason.

    Parameters
    ----------
    draft : Draft
        Its fields say where to find what is lacking.
    name : str
    needs, has : str, float or None
        None where nobody knows.
    fits : str
    fields : tuple of str
        That of what is needed, that of what is offered.
    rule, source : str
        In words; standard and how sure.
    unit : str
    why, remedy : str
        Where the two values do not tell it by themselves.

    Returns
    -------
    Row

    Examples
    --------
    >>> draft = Draft("motor", "", (Field(id="has", name="x", help="On its plate."),), {})
    >>> row = told(draft, "volts", 400.0, None, "ask", ("need", "has"), rule="as much",
    ...     source="by definition", unit="V")
    >>> row.why, row.remedy, row.rule
    ('what is offered is not known', 'On its plate.', 'as much (by definition)')
    """
    shown = (told_with(needs, unit), told_with(has, unit))
    lacking = fields[0] if needs in (None, "") else fields[1] if has in (None, "") else ""
    inside = source.replace(" (", ", ").replace(")", "")
    named = say("{rule} ({source})", rule=rule, source=inside) if source else rule
    if fits == "ask" and lacking:
        if not (why and remedy):
            remedy = next((one.help for one in draft.fields if one.id == lacking), SHEET)
        why = why or (say("what is needed is not known") if lacking == fields[0]
                      else say("what is offered is not known"))  # fmt: skip
    if not why:
        why = say("{needs} needed, {has} offered", needs=shown[0], has=shown[1])
    if not remedy:
        remedy = (say("Look for another one; never by trying it out.") if fits == "no"
                  else say("Ask its vendor or who mends such parts, by its document."))  # fmt: skip
    return Row(name, *shown, fits, why, remedy, lacking or fields[1], named)


def range_words(low: float | None, high: float | None) -> str | None:
    """A range as a row shows it.

    Parameters
    ----------
    low, high : float or None

    Returns
    -------
    str or None
        None unless both are known.

    Examples
    --------
    >>> range_words(380.0, 480.0), range_words(None, 480.0)
    ('380 to 480', None)
    """
    if low is None or high is None:
        return None
    return say("{low} to {high}", low=short(low), high=short(high))


def ticked(
    draft: Draft,
    field: str,
    name: str,
    *,
    rule: str,
    source: str,
    remedy: str,
    unlike: Fits = "ask",
) -> Row:
    """A row of something that must be so before the part is fitted.

    Parameters
    ----------
    draft : Draft
    field : str
        A flag of the calculator.
    name, rule, source, remedy : str
    unlike : str
        What a plain no means.

    Returns
    -------
    Row

    Examples
    --------
    >>> flag = Field(id="saved", name="data saved", sort="flag", help="Read it back.")
    >>> ticked(Draft("cell", "", (flag,), {"saved": False}), "saved", "data", rule="first",
    ...     source="", remedy="Save them.", unlike="no").fits
    'no'
    """
    so: bool | None = draft.said(field)
    fits: Fits = "yes" if so else "ask" if so is None else unlike
    why = say("nobody has said so yet") if so is None else "" if so else say("it is not so")
    shown = None if so is None else say(YES_NO[so])
    return told(draft, name, say("yes"), shown, fits, (field, field), rule=rule, source=source,
                why=why, remedy=remedy)  # fmt: skip


def settled(draft: Draft, rows: Iterable[Row]) -> Reckoning:
    """All rows as one answer: it may replace it, it may not, or something is asked first.

    Parameters
    ----------
    draft : Draft
        May say more against it, or more that is lacking.
    rows : iterable of Row

    Returns
    -------
    Reckoning

    Examples
    --------
    >>> row = Row("volts", "400 V", "230 V", "no", "400 V needed, 230 V offered", "Another.", "v")
    >>> made = settled(Draft("motor", "Motor", (), {}), [row])
    >>> made.answer, made.headline
    ('no_go', 'No: volts: 400 V needed, 230 V offered.')
    """
    every = list(rows)
    for row in every:
        reason = say("{name}: {why}", name=row.name, why=row.why)
        if row.fits == "no":
            draft.stop(reason, row.remedy, row.field)
        elif row.fits == "ask":
            draft.lack(reason, row.remedy, row.field)
    draft.listings.insert(0, Listing(
        title=say("Property by property"),
        columns=(say("property"), say("needed"), say("offered"), say("held how"), say("fits")),
        rows=tuple((r.name, r.wanted, r.has, r.rule, say(ANSWERS[r.fits])) for r in every),
    ))  # fmt: skip
    return draft.done(say("It may replace it: all {count} properties fit.", count=len(every)))
