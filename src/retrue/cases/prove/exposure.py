"""Exposure: a person's day in noise under three rules, and the hours a level allows."""

from __future__ import annotations

import re

from retrue.base.formatter import number, short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, say
from retrue.cases.prove import noise_day
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Listing, Reckoning
from retrue.science.exposure import Stay, allowed_hours, lex_8h_db

CEILING_DB = 115.0  # 29 CFR 1910.95, table G-16: the last row
UPPER_PEAK_DB = 137.0  # 2003/10/EC, 3 (from memory)
LEAST_DB, MOST_DB = 30.0, 150.0
ONE = re.compile(
    r"(\d+(?:[.,]\d+)?)\s*(?:dB\s*\(?A?\)?)?\s+(\d+(?:[.,]\d+)?)\s*(h|min)?", re.IGNORECASE
)
SOURCES = {
    "osha": later("29 CFR 1910.95, appendix A"),
    "niosh": later("NIOSH 98-126, 1.1"),
    "eu": later("2003/10/EC with ISO 1999 (from memory, unverified)"),
}
DAY, DOUBT = "the day", "how sure"

FIELDS = (
    Field(id="stays", name="every level of the day and its hours", sort="text",
          help="Level and hours: 95 2; 90 4; 85 2. Minutes as 90 30 min.", group=DAY),
    Field(id="level_db", name="or one level alone", unit="dBA",
          help="At the ear, with a meter or retrue prove sound.", group=DAY),
    Field(id="stay_hours", name="hours at that level in one day", unit="h",
          help="What is left of the day counts as quiet.", group=DAY),
    Field(id="peak_c_db", name="highest peak, C-weighted", unit="dB",
          help="On the meter; leave it empty where nothing bangs.", group=DAY),
    Field(id="doubt_db", name="give or take of a level", unit="dB", default=2.0, zero=True,
          mark="a checked class 2 meter; 5 for a phone", help="On the meter's sheet.",
          group=DOUBT),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """A day in noise.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said.

    Returns
    -------
    Reckoning

    Raises
    ------
    Unusable
        Stays that cannot be read, each named.

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"stays": "95 2; 90 4; 85 2"}))
    >>> {one.key: round(one.value, 2) for one in made.figures}["osha_dose_percent"]
    112.5
    """
    draft = Draft("exposure", say("Exposure"), FIELDS, values)
    stays = _stays(draft)
    if not stays:
        level = draft.said("level_db")
        if level is None:
            draft.lack(say("no level is known"), say("Read it at the ear: dB(A), slow."), "stays")
            return draft.done("")
        _alone(draft, level)
        draft.lack(say("the hours at that level are not known"), say("Ask whoever works there."),
                   "stay_hours")  # fmt: skip
        return draft.done("")
    _figures(draft, stays)
    _rulings(draft, stays)
    return draft.done(_headline(stays))


def _stays(draft: Draft) -> list[Stay]:
    text, level, hours = (draft.said(id) for id in ("stays", "level_db", "stay_hours"))
    stays, problems = [], []
    for part in (one.strip() for one in re.split(r"[;\n]", text or "")):
        if not part:
            continue
        found = ONE.fullmatch(part)
        if found is None:
            problems.append(Problem("stays", say("“{part}” is no level with hours", part=part),
                                    say("Write 95 2; 90 4.")))  # fmt: skip
            continue
        lasted = float(found[2].replace(",", ".")) / (60.0 if found[3] == "min" else 1.0)
        stays.append(Stay(float(found[1].replace(",", ".")), lasted))
    if level is not None and hours is not None:
        stays.append(Stay(float(level), float(hours)))
    problems += _wrong(stays) + _wrong_alone(draft)
    if problems:
        raise Unusable(
            say("the day cannot be read"),
            remedy=say("Write level and hours of each stay: 95 2; 90 4; 85 2."),
            problems=tuple(problems),
        )
    return stays


def _wrong(stays: list[Stay]) -> list[Problem]:
    problems = [
        Problem("stays", say("{level} dB(A) is no level of work", level=short(stay.level_db)),
                say("They lie between 30 and 150."))
        for stay in stays
        if not LEAST_DB <= stay.level_db <= MOST_DB
    ]  # fmt: skip
    total = sum(stay.hours for stay in stays)
    if total > 24 or any(stay.hours <= 0 for stay in stays):
        what = say("{hours} hours in all", hours=short(total))
        problems.append(Problem("stays", what, say("Hours over zero, 24 in all.")))
    return problems


def _wrong_alone(draft: Draft) -> list[Problem]:
    """Numbers that no meter shows, typed alone."""
    problems = []
    for id, least, most in (
        ("level_db", LEAST_DB, MOST_DB), ("peak_c_db", LEAST_DB, 200.0), ("doubt_db", 0.0, 20.0),
    ):  # fmt: skip
        value = draft.said(id)
        if value is not None and not least <= value <= most:
            problems.append(
                Problem(id, say("{value} dB cannot be", value=short(value)),
                        say("It lies between {least} and {most}.", least=short(least),
                            most=short(most)))
            )  # fmt: skip
    return problems


def _alone(draft: Draft, level: float) -> None:
    """What one level allows, where nobody has said for how long."""
    for key, hours in noise_day.allowed(level).items():
        rule = key.removesuffix("_hours")
        draft.figure(key, _named(rule), hours, "h", 2, _source(rule))
    _listing(draft, [Stay(level, 8.0)])


def _named(rule: str) -> str:
    """The rule in words, without its edition and numbers."""
    return next(words.partition(",")[0] for id, words in noise_day.RULES if id == rule)


def _source(rule: str) -> str:
    return SOURCES["eu" if rule.startswith("eu") else rule]


def _figures(draft: Draft, stays: list[Stay]) -> None:
    for one in noise_day.quantities(stays):
        source = SOURCES[one.key.partition("_")[0].replace("lex", "eu")]
        why = one.why if one.value is None else ""
        digits = 2 if one.unit != "%" else 1
        draft.figure(one.key, one.name, one.value, one.unit, digits, source, why)
    loudest = max(stays, key=lambda stay: stay.level_db)
    for key, hours in noise_day.allowed(loudest.level_db).items():
        rule = key.removesuffix("_hours")
        name = say("the loudest level alone fills the day of: {rule}", rule=_named(rule))
        draft.figure(key, name, hours, "h", 2, _source(rule))
    _listing(draft, stays)


def _listing(draft: Draft, stays: list[Stay]) -> None:
    """Each level and how long it fills the day of each rule."""
    draft.listings.append(
        Listing(
            title=say("How long each level fills a day"),
            columns=(say("level, dB(A)"), *(name.partition(",")[0] for _, name in noise_day.RULES)),
            rows=tuple(
                (
                    number(level, 1),
                    *(
                        noise_day.hours_words(allowed_hours(level, rule))
                        for rule, _ in noise_day.RULES
                    ),
                )
                for level in sorted({stay.level_db for stay in stays}, reverse=True)
            ),
        )
    )


def _ceilings(draft: Draft, stays: list[Stay], doubt: float) -> None:
    """Levels and peaks that no hours make good."""
    again = say("Read again with a checked meter, or plan as if it were over.")
    loudest = max(stay.level_db for stay in stays)
    if loudest > CEILING_DB:
        told = say("{level} dB(A) is over {most} dB(A), which nobody stays in",
                   level=number(loudest, 1), most=number(CEILING_DB))  # fmt: skip
        draft.stop(told, say("Make it quieter first, whatever the hours."), "stays")
    elif loudest + doubt > CEILING_DB:
        told = say("{most} dB(A) is too close to call", most=number(CEILING_DB))
        draft.lack(told, again, "doubt_db")
    peak = draft.said("peak_c_db")
    if peak is not None and peak > UPPER_PEAK_DB:
        told = say("a peak of {peak} dB(C) is over {most} dB(C)", peak=number(peak, 1),
                   most=number(UPPER_PEAK_DB))  # fmt: skip
        what = say("Find what bangs: 137 is the upper action value, 140 the limit (2003/10/EC).")
        draft.stop(told, what, "peak_c_db")
    elif peak is not None and peak + doubt > UPPER_PEAK_DB:
        told = say("the peak is too close to {most} dB(C) to call", most=number(UPPER_PEAK_DB))
        draft.lack(told, again, "peak_c_db")


def _rulings(draft: Draft, stays: list[Stay]) -> None:
    doubt = draft.get("doubt_db")
    _ceilings(draft, stays, doubt)
    draft.notes.extend(noise_day.finds(stays, doubt, draft.said("peak_c_db")))
    quieter = say("Make it quieter, or stay for less; plugs or muffs until then.")
    for id, standing in noise_day.standings(stays, doubt).items():
        if id in ("eu_lower", "osha_action", "eu_limit"):
            continue  # they ask for something; they forbid nothing by themselves
        if standing.told == "over":
            draft.stop(say("{name} is passed", name=standing.name), quieter, "stays")
        elif standing.told == "close":
            draft.lack(
                say("{name} is too close to call", name=standing.name),
                say("Read again with a checked class 1 or 2 meter, or plan as if it were over."),
                "doubt_db",
            )


def _headline(stays: list[Stay]) -> str:
    return say(
        "{level} dB(A) over eight hours: under the advice and the limits, the doubt counted.",
        level=number(lex_8h_db(stays), 1),
    )


METHOD = Method(
    id="exposure",
    title=later("Exposure"),
    what=later("A person's day in noise under the US limit, the US advice and the EU rule."),
    fields=FIELDS,
    cautions=("X42",),
    reckon=reckon,
    standard="29 CFR 1910.95; NIOSH 98-126; 2003/10/EC",
    example=("--stays", "95 2; 90 4; 85 2"),
)
