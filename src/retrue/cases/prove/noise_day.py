"""A person's day in noise: what each rule makes of it, doubt counted."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from retrue.base.formatter import number
from retrue.base.say import later, say
from retrue.cases.prove.proof import Grid, Quantity
from retrue.science.exposure import (
    DAY_HOURS,
    EU_LIMIT_DB,
    EU_LIMIT_PEAK_DB,
    EU_LOWER_DB,
    EU_LOWER_PEAK_DB,
    EU_UPPER_DB,
    EU_UPPER_PEAK_DB,
    OSHA_ACTION_PERCENT,
    Day,
    Rule,
    Stay,
    allowed_hours,
    day,
)

CAUTION = later("Over 80 dBA: plugs or muffs. Over 85 for long: fix it first.")
DEFERS_TO = later("2003/10/EC, OSHA 1910.95 families; local code and licensed practice")
EVIDENCE = later(
    "A phone, or a recorder that heard no known level, is no evidence that a limit is kept. "
    "Estimate for planning."
)


RULES: tuple[tuple[Rule, str], ...] = (
    ("osha", later("US limit, 29 CFR 1910.95: 90 dBA for 8 h, 5 dB for half the time")),
    ("niosh", later("US advice, NIOSH 98-126: 85 dBA for 8 h, 3 dB for half the time")),
    ("eu_lower", later("EU lower action value, 2003/10/EC (from memory): 80 dB(A) for 8 h")),
    ("eu_upper", later("EU upper action value, 2003/10/EC (from memory): 85 dB(A) for 8 h")),
    ("eu_limit", later("EU limit, protection counted, 2003/10/EC (from memory): 87 dB(A) for 8 h")),
)


@dataclass(frozen=True, slots=True)
class _Bar:
    """One number of one rule, and what being over it asks for."""

    key: str
    name: str
    value: Callable[[Day], float]
    at_most: float
    unit: str
    source: str
    asks: str
    reached_counts: bool = False  # to be at the number is to be over it

    def over(self, made: Day) -> bool:
        """Whether a day is over it."""
        value = self.value(made)
        return value >= self.at_most if self.reached_counts else value > self.at_most


BARS = (
    _Bar("osha_action", later("US action level, half a dose"), lambda one: one.osha_percent,
         OSHA_ACTION_PERCENT, "%", "29 CFR 1910.95(c)",
         later("hearing tests, training and protection on offer"), reached_counts=True),
    _Bar("osha_limit", later("US limit, a whole dose"), lambda one: one.osha_limit_percent, 100.0,
         "%", "29 CFR 1910.95(a)", later("lower the noise or the hours, and wear protection")),
    _Bar("niosh", later("US advice, a whole dose"), lambda one: one.niosh_percent, 100.0, "%",
         "NIOSH 98-126", later("lower the noise or the hours, and wear protection")),
    _Bar("eu_lower", later("EU lower action value"), lambda one: one.lex_8h_db, EU_LOWER_DB,
         "dB(A)", later("2003/10/EC (from memory)"),
         later("protection and instruction are offered")),
    _Bar("eu_upper", later("EU upper action value"), lambda one: one.lex_8h_db, EU_UPPER_DB,
         "dB(A)", later("2003/10/EC (from memory)"),
         later("protection is worn, the noise is lowered by a plan")),
    _Bar("eu_limit", later("EU limit, before protection is counted"), lambda one: one.lex_8h_db,
         EU_LIMIT_DB, "dB(A)", later("2003/10/EC (from memory)"),
         later("what reaches the ear under protection must be under it")),
)  # fmt: skip
NAMES = {
    "osha_dose_percent": (later("US dose, all from 80 dBA"), "%"),
    "osha_limit_dose_percent": (later("US dose, all from 90 dBA"), "%"),
    "osha_twa_db": (later("US level over eight hours"), "dBA"),
    "niosh_dose_percent": (later("US advice, dose"), "%"),
    "niosh_twa_db": (later("US advice, level over eight hours"), "dBA"),
    "lex_8h_db": (later("EU daily level over eight hours"), "dB(A)"),
}
PEAKS = (
    (EU_LIMIT_PEAK_DB, later("the EU limit")),
    (EU_UPPER_PEAK_DB, later("the EU upper action value")),
    (EU_LOWER_PEAK_DB, later("the EU lower action value")),
)


def cautions(calibrated: bool) -> tuple[str, ...]:
    """What stands before every level.

    Parameters
    ----------
    calibrated : bool
        It was held against a known level.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> len(cautions(True)), len(cautions(False))
    (1, 2)
    """
    first = f"{CAUTION} {say('Defers to: {what}.', what=DEFERS_TO)}"
    return (first,) if calibrated else (first, EVIDENCE)


def keys(stays: Sequence[Stay]) -> dict[str, float | None]:
    """A day's numbers by key; a day without dose has no eight-hour level.

    Parameters
    ----------
    stays : sequence of Stay

    Returns
    -------
    dict

    Raises
    ------
    Unusable
        No stay, hours that are none, or more hours than a day has.

    Examples
    --------
    >>> keys([Stay(90, 8)])["osha_dose_percent"], keys([Stay(70, 8)])["osha_twa_db"]
    (100.0, None)
    """
    made = day(stays)
    told = {
        "osha_dose_percent": made.osha_percent,
        "osha_limit_dose_percent": made.osha_limit_percent,
        "osha_twa_db": made.osha_twa_db,
        "niosh_dose_percent": made.niosh_percent,
        "niosh_twa_db": made.niosh_twa_db,
        "lex_8h_db": made.lex_8h_db,
    }
    return {key: value if abs(value) < float("inf") else None for key, value in told.items()}


def quantities(stays: Sequence[Stay]) -> tuple[Quantity, ...]:
    """The same with their names and units, as a result shows them.

    Parameters
    ----------
    stays : sequence of Stay

    Returns
    -------
    tuple of Quantity

    Raises
    ------
    Unusable
        As for :func:`keys`.

    Examples
    --------
    >>> [(one.name, one.value, one.unit) for one in quantities([Stay(90, 8)])][0]
    ('US dose, all from 80 dBA', 100.0, '%')
    """
    return tuple(
        Quantity(
            key=key,
            name=NAMES[key][0],
            value=value,
            unit=NAMES[key][1],
            why=say("nothing of the day counts"),
        )
        for key, value in keys(stays).items()
    )


def finds(
    stays: Sequence[Stay], give_or_take_db: float = 0.0, peak_db: float | None = None
) -> tuple[str, ...]:
    """What each rule makes of a day, in sentences.

    Parameters
    ----------
    stays : sequence of Stay
    give_or_take_db : float
        Of each level, k = 2: what falls inside it is too close to call.
    peak_db : float, optional
        Highest C-weighted peak of the day.

    Returns
    -------
    tuple of str

    Raises
    ------
    Unusable
        As for :func:`keys`.

    Examples
    --------
    >>> finds([Stay(93, 8)])[1].replace("\\u202f", " ")[:48]
    'US limit, a whole dose: 151.6 %, over 100 %: low'
    """
    return tuple(_finds(stays, give_or_take_db, peak_db))


def _finds(stays: Sequence[Stay], doubt: float, peak_db: float | None) -> Iterator[str]:
    made = day(stays)
    for bar, standing in zip(BARS, standings(stays, doubt).values(), strict=True):
        told = {
            "name": bar.name,
            "value": _amount(bar.value(made), bar.unit),
            "limit": f"{number(bar.at_most)}\u202f{bar.unit}",
        }
        if standing.told == "over":
            yield say("{name}: {value}, over {limit}: {asks}.", **told, asks=bar.asks)
        elif standing.told == "close":
            yield say("{name}: {value}, too close to {limit} to call: plan as if it were over.",
                      **told)  # fmt: skip
        else:
            yield say("{name}: {value}, under {limit}.", **told)
    if made.over_ceiling:
        yield say("Over 115 dBA nobody stays, not for a minute, under the US rule.")
    over = next((name for limit, name in PEAKS if peak_db is not None and peak_db > limit), None)
    if over is not None and peak_db is not None:
        yield say(
            "Its peak of {peak} dB(C) is over that of {name}.", peak=number(peak_db, 1), name=over
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where a day stands against one number of one rule."""

    name: str
    told: Literal["over", "close", "under"]


def standings(stays: Sequence[Stay], give_or_take_db: float = 0.0) -> dict[str, Standing]:
    """A day against every number of every rule, the doubt counted both ways.

    Parameters
    ----------
    stays : sequence of Stay
    give_or_take_db : float
        Of each level, k = 2.

    Returns
    -------
    dict of str to Standing

    Raises
    ------
    Unusable
        As for :func:`keys`.

    Examples
    --------
    >>> [one.told for one in standings([Stay(86, 8)], 2.0).values()]
    ['close', 'under', 'close', 'over', 'close', 'close']
    """
    low, high = (
        day([replace(one, level_db=one.level_db + by) for one in stays])
        for by in (-give_or_take_db, give_or_take_db)
    )
    return {
        bar.key: Standing(
            name=bar.name,
            told="over" if bar.over(low) else "close" if bar.over(high) else "under",
        )
        for bar in BARS
    }


def _amount(value: float, unit: str) -> str:
    if value == -float("inf"):
        return say("nothing")
    return f"{number(value, 1)}\u202f{unit}"


def allowed(level_db: float) -> dict[str, float]:
    """How long a level fills the day of each rule, by key.

    Parameters
    ----------
    level_db : float
        dB(A) at the ear.

    Returns
    -------
    dict
        Hours; more than a day has where the level does not fill it.

    Examples
    --------
    >>> {key: round(hours, 2) for key, hours in allowed(93).items()}["osha_hours"]
    5.28
    """
    return {f"{rule}_hours": allowed_hours(level_db, rule) for rule, _ in RULES}


def allowed_grid(level_db: float, give_or_take_db: float = 0.0) -> Grid:
    """The same as a table, with what is left if it is as loud as its doubt allows.

    Parameters
    ----------
    level_db : float
        dB(A) at the ear.
    give_or_take_db : float
        k = 2.

    Returns
    -------
    Grid

    Examples
    --------
    >>> allowed_grid(93.0, 2.0).rows[0][1:3]
    ('5.3 h', '4.0 h')
    """
    rows = tuple(
        (words, _hours(level_db, rule), _hours(level_db + give_or_take_db, rule))
        for rule, words in RULES
    )
    return Grid(
        title=say("How long this level fills a day"),
        columns=(say("rule"), say("as read"), say("doubt counted")),
        rows=rows,
    )


def _hours(level_db: float, rule: Rule) -> str:
    return hours_words(allowed_hours(level_db, rule))


def hours_words(hours: float) -> str:
    """Hours as a person says them.

    Parameters
    ----------
    hours : float
        Over zero.

    Returns
    -------
    str

    Examples
    --------
    >>> hours_words(5.278), hours_words(0.25), hours_words(40.3)
    ('5.3 h', '15 min', 'all day')
    """
    if hours >= DAY_HOURS:
        return say("all day")
    if hours >= 1:
        return f"{number(hours, 1)} h"
    return f"{number(60 * hours)} min" if hours >= 1 / 60 else f"{number(3600 * hours)} s"
