"""Until when the lots of a sale must be gone, as a line of its catalogue says it. Pure.

Words of six languages, without accents and in small letters: common practice, no source.
"""

from __future__ import annotations

import re
from calendar import isleap
from collections.abc import Iterator
from datetime import date, datetime

from retrue.base.say import say
from retrue.cases.screen.cell_ways import Heard, Ways
from retrue.cases.settle.bring_days import day_of_cell
from retrue.cases.settle.bring_words import MONTHS

Open = tuple[str, str, tuple[float, ...]]
"""A field that has to be typed, the reason, and what it may be."""

REMOVAL = re.compile(
    r"remov(?!abl)|collect|pick-? ?up|afhal|ophal|abhol|abbau|abtransport|demontage|enlev|retrait|"
    r"ritir|retirad|recogid"
)
_ELSE = re.compile(
    r"[;|\n]|\b(?:view|kijk|bezicht|besicht|visite|visita|expo|pay|betal|zahl|paie|paga|clos|sluit|"
    r"schluss|clotur|storage|opslag|lager)"
)
"""Where a line goes on to something else."""
BEFORE = 40  # characters before the word, where nothing stands behind it
WITHIN = re.compile(
    r"\b(?:within|binnen|innerhalb(?: von)?|innert|sous|dans (?:les|un delai de)|entro|"
    r"en un plazo de|max\.?|maximum|maximaal|uiterlijk|hochstens)\s+(?:the |de |den )?"
    r"(\d{1,3})\s*(?:\(\w+\) ?)?([^\W\d]+(?: [^\W\d]+)?)"
)
BARE = re.compile(r"\b(\d{1,3})\s*([^\W\d]+(?: [^\W\d]+)?)")
_DAYS = re.compile(
    r"^(?:(?:working|business|calendar|full|clear) )?(?:werk|kalender|arbeits)?"
    r"(?:days?|dagen|dag|tagen?|tag|jours?|giorni|giorno|dias?)\b"
)
_WEEKS = re.compile(r"^(?:weeks?|weken|wochen?|semaines?|settimane|semanas)\b")
_WORKING = re.compile(r"working|business|werk|arbeits|ouvr|lavorativ|habil|laborabl")
_AFTER = re.compile(r"^[^.;,]{0,24}?\b(?:after|na|nach|apres|dopo|tras|despues)\b")
WEEK, WORKING = 7, 5  # days

WEEKDAYS = {
    word: number
    for number, words in enumerate(
        (
            "monday mon maandag ma montag mo lundi lun lunedi lunes",
            "tuesday tue dinsdag di dienstag mardi mar martedi martes",
            "wednesday wed woensdag wo mittwoch mi mercredi mer mercoledi miercoles",
            "thursday thu donderdag do donnerstag jeudi jeu giovedi jueves",
            "friday fri vrijdag vr freitag fr vendredi ven venerdi viernes",
            "saturday sat zaterdag za samstag sa samedi sam sabato sabado",
            "sunday sun zondag zo sonntag so dimanche dim domenica domingo",
        )
    )
    for word in words.split()
}
_LONG = "|".join(sorted((one for one in WEEKDAYS if len(one) > 1), key=len, reverse=True))
_MONTH = "|".join(sorted(MONTHS, key=len, reverse=True))
DAY = re.compile(
    rf"(?:\b({_LONG})\b\.?,?\s+(?:the |le |de |den |il |el )?)?"
    rf"(?:(?<![\d/.-])(\d{{4}}-\d{{1,2}}-\d{{1,2}}|\d{{1,2}}[./-]\d{{1,2}}[./-](?:\d{{4}}|\d{{2}}))(?![\d/-])"
    rf"|\b(\d{{1,2}})(?:st|nd|rd|th|er|e)?\.?\s+(?:of )?({_MONTH})\b\.?(?:,?\s+(\d{{4}}))?)"
)
"""A day in figures, or with the name of its month."""

_OTHER_UNITS = re.compile(
    r"(?:hours?|uur|uren|stunden?|heures?|ore|horas|months?|maand|maanden|monate?n?|mois|mesi|meses)\b"
)

_SINCE = re.compile(
    r"\b(?:from|as of|vanaf|ab|a partir d[eu']|a compter d[eu']|dal|a partire dal|desde|not before|"
    r"no \w+ before|no \w+ \w+ before|niet voor|geen \w+ voor|nicht vor|pas avant|after|na|nach|"
    r"apres|starts?|begins?|start op|beginnt)\b"
)
"""Words of the first day, not the last."""
_LATEST = re.compile(
    r"\b(?:until|till|to|by|tot|t/m|bis|au|jusqu\w*|al|fino|hasta|at the latest|uiterlijk)\b"
)

LEAP = (2, 29)  # month and day that some years have
UNTIL = re.compile(
    r"\b(?:by|before|until|till|no later than|at the latest|voor|tot(?: en met)?|t/m|uiterlijk|"
    r"ten laatste|bis|spatestens|vor dem|avant|jusqu'?\s?au|au plus tard|entro|antes del?|hasta)\b"
)


def removal_in(low: str, ways: Ways, closes_at: str) -> Iterator[Heard | Open]:
    """Days or the day until lots must be gone.

    Parameters
    ----------
    low : str
        A line in small letters without accents.
    ways : Ways
        Its year, and which of day and month goes first.
    closes_at : str
        ISO 8601; empty: nobody says.

    Yields
    ------
    Heard or tuple
        A tuple where it has to be typed.

    Examples
    --------
    >>> ways = Ways(mark=None, year=2026)
    >>> [(one.field, one.value) for one in removal_in("afhalen binnen 10 werkdagen", ways, "")]
    [('removal_days', 14.0)]
    >>> [(one.field, one.value) for one in removal_in("collection by friday 11 december", ways, "")]
    [('removal_by', '2026-12-11')]
    """
    word = REMOVAL.search(low)
    if word is None:
        return
    end = _ELSE.search(low, word.end())
    told = low[word.start() : end.start() if end is not None else len(low)]
    if not any(one.search(told) for one in (DAY, BARE, WITHIN)):
        told = low[max(word.start() - BEFORE, 0) : word.end()]
    before = low[max(word.start() - BEFORE, 0) : word.start()]
    yield from _days(told)
    days = list(DAY.finditer(told))
    if len(days) > 1:
        why = say("{count} days stand there", count=len(days))
        yield "removal_days", why, ()
    elif days and (first := _first_day(before + told[: days[0].start()])):
        yield "removal_days", first, ()
    elif days:
        yield _by(days[0], told, ways, closes_at)


def _first_day(before: str) -> str:
    """Why the day behind these words is none until which lots must be gone."""
    since = _SINCE.search(before)
    if since is not None and not _LATEST.search(before[since.end() :]):
        return say("{words} stands beside it", words=f"“{since[0]}”")
    return ""


def _days(told: str) -> Iterator[Heard | Open]:
    every = list(WITHIN.finditer(told))
    if len({one[0] for one in every}) > 1:
        yield "removal_days", say("the line says two things of it"), ()
        return
    for found in every[:1]:
        days, why = _count(int(found[1]), found[2])
        if days is not None and re.search(r"\b(?:not|niet|nicht|pas)\s*$", told[: found.start()]):
            yield "removal_days", say("{words} stands beside it", words=f"“{found[0]}”"), (days,)
        elif days is None and _OTHER_UNITS.match(found[2]):
            why = say("days are asked for: it says {words}", words=f"“{found[0]}”")
            yield "removal_days", why, ()
        elif days is not None:
            yield Heard(field="removal_days", value=days, why=why)
        return
    for one in BARE.finditer(told):
        days, why = _count(int(one[1]), one[2])
        if days is not None and _AFTER.search(told[one.start(2) :]):
            yield Heard(field="removal_days", value=days, why=why)
            return
        if days is not None:
            why = say("it does not say that lots must be gone within them")
            yield "removal_days", why, (days,)
            return


def _count(number: int, words: str) -> tuple[float | None, str]:
    """So many days; None: the words name none."""
    if _WEEKS.match(words):
        return float(number * WEEK), ""
    if not _DAYS.match(words):
        return None, ""
    if _WORKING.search(words):
        why = say("{count} working days, five a week", count=number)
        return float(number * WEEK // WORKING), why
    return float(number), ""


def _by(found: re.Match[str], told: str, ways: Ways, closes_at: str) -> Heard | Open:
    """The day itself; asked for where its year, or its month, cannot be told."""
    weekday = None if found[1] is None else WEEKDAYS[found[1]]
    try:
        if found[2] is not None:
            day, why = _in_figures(found[2], ways), ""
        else:
            day, why = _named(found, weekday, ways, closes_at)
    except ValueError as wrong:
        return "removal_days", str(wrong), ()
    if weekday is not None and day.weekday() != weekday:
        return (
            "removal_days",
            say("{day} is no {weekday}", day=day.isoformat(), weekday=found[1]),
            (),
        )
    if day.year < ways.year:
        return "removal_days", say("{cell} lies behind", cell=f"“{found[0].strip()}”"), ()
    if not UNTIL.search(told):
        why = "; ".join(filter(None, (why, say("the only day that is named"))))
    return Heard(field="removal_by", value=day.isoformat(), why=why)


def _in_figures(text: str, ways: Ways) -> date:
    first = ways.dates if ways.dates in ("day", "month") else ""
    if not first and "." in text:
        first = "day"
    one = day_of_cell(text, first or "day")
    if not first:
        try:
            other = day_of_cell(text, "month")
        except ValueError:
            other = one
        if other != one:
            raise ValueError(say("{cell} means two days", cell=f"“{text}”"))
    return one


def _named(
    found: re.Match[str], weekday: int | None, ways: Ways, closes_at: str
) -> tuple[date, str]:
    """A day with the name of its month; its year by the day of the week or by when it closes."""
    cell = f"“{found[0].strip()}”"
    day, month = int(found[3]), MONTHS[found[4]]
    if found[5] is not None:
        return _date(int(found[5]), month, day, cell), ""
    years = (ways.year, ways.year + 1)
    every = [
        _date(year, month, day, cell) for year in years if (month, day) != LEAP or isleap(year)
    ]
    if weekday is not None:
        fits = [one for one in every if one.weekday() == weekday]
        if not fits:
            raise ValueError(
                say("in {year} and {next} that is another day of the week: {cell}", cell=cell,
                    year=str(ways.year), next=str(ways.year + 1))
            )  # fmt: skip
        why = say("no year stands there; its weekday is that of {year}", year=str(fits[0].year))
        return fits[0], why
    if closes_at:
        closes = datetime.fromisoformat(closes_at).date()
        after = [one for one in every if one >= closes]
        if after:
            return after[0], say("no year stands there: the first such day after it closes")
    raise ValueError(say("no year stands beside {cell}", cell=cell))


def _date(year: int, month: int, day: int, cell: str) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise ValueError(say("{cell} is no day", cell=cell)) from None
