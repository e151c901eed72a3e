"""Damage on the way: until when the carrier must have it in writing. Local law goes first."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from retrue.base.formatter import day
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.records.moving import Arrived

HIDDEN_DAYS = 7
SUNDAY = 6
MOST_DAYS = 366
CMR = (
    "Convention on the Contract for the International Carriage of Goods by Road (CMR), Geneva, "
    "19 May 1956, articles 30 and 32 (from memory)"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DamageDates:
    """Until when what must be done; ``text`` says by which rule."""

    delivered_on: date
    write_by: date  # the earlier one of the convention and of local law
    cmr_by: date
    local_by: date | None
    claim_by: date  # a year from delivery
    text: tuple[str, ...]
    term_known: bool = True  # False: local law holds, and its days are not known


def last_day(
    delivered_on: date, *, visible: bool, holidays: Collection[date] = (), days: int = HIDDEN_DAYS
) -> date:
    """The last day on which the carrier must be told of damage.

    Parameters
    ----------
    delivered_on : date
        Day of delivery; it is not counted.
    visible : bool
        The damage can be seen at delivery: then that very day.
    holidays : collection of date
        Public holidays; neither they nor Sundays are counted.
    days : int
        Days that count, from the day after delivery.

    Returns
    -------
    date

    Raises
    ------
    Unusable
        The days are none or more than a year.

    References
    ----------
    CMR, Geneva, 19 May 1956, article 30 (1): damage that is apparent, at delivery; that is not
    apparent, within seven days of delivery, Sundays and public holidays excepted, in writing;
    article 30 (4): the date of delivery is not included. From memory.

    Examples
    --------
    >>> last_day(date(2026, 11, 26), visible=False)
    datetime.date(2026, 12, 4)
    >>> last_day(date(2026, 12, 23), visible=False, holidays=[date(2026, 12, 25)])
    datetime.date(2027, 1, 1)
    """
    if not 0 < days <= MOST_DAYS:
        raise Unusable(
            say("{days} days to tell a carrier of damage cannot be counted", days=days),
            remedy=say("Take the days from the waybill, the contract or the local law."),
            problems=(Problem("days", say("not between 1 and {most}", most=MOST_DAYS)),),
        )
    if visible:
        return delivered_on
    last, left = delivered_on, days
    while left:
        last += timedelta(days=1)
        if last.weekday() != SUNDAY and last not in holidays:
            left -= 1
    return last


def claim_by(delivered_on: date) -> date:
    """The last day of the year in which an action may be brought.

    Parameters
    ----------
    delivered_on : date
        The day it begins; it is not counted.

    Returns
    -------
    date
        The same day of the next year; of a 29 February, the last day of February.

    References
    ----------
    CMR, article 32 (1): one year, for damage from the day of delivery; three years for wilful
    misconduct. From memory.

    Examples
    --------
    >>> claim_by(date(2026, 11, 26))
    datetime.date(2027, 11, 26)
    """
    try:
        return delivered_on.replace(year=delivered_on.year + 1)
    except ValueError:
        return date(delivered_on.year + 1, 2, 28)


def damage_dates(arrived: Arrived, holidays: Collection[date] = ()) -> DamageDates:
    """Every date that counts for what arrived.

    Parameters
    ----------
    arrived : Arrived
        Damage that nobody has looked for counts as not visible.
    holidays : collection of date
        Public holidays where it was delivered.

    Returns
    -------
    DamageDates
        Days of local law are counted straight through, Sundays as well: the careful way. Where
        local law holds and its days are not known, the day to write is the day of delivery.

    Raises
    ------
    Unusable
        The day of delivery is no date.

    Examples
    --------
    >>> came = Arrived(lot="L", machine="M", delivered_on="2026-11-26", damage="hidden",
    ...     local_days=3)
    >>> damage_dates(came).write_by
    datetime.date(2026, 11, 29)
    """
    delivered = _date(arrived.delivered_on)
    visible = arrived.damage == "visible"
    cmr = last_day(delivered, visible=visible, holidays=holidays)
    local = None
    if arrived.local_days is not None:
        local = delivered if visible else delivered + timedelta(days=max(0, arrived.local_days))
    unknown = local is None and arrived.law == "local"
    if unknown:
        write_by = delivered  # no term is shorter
    else:
        write_by = min(cmr, local) if local is not None else cmr
    claim = claim_by(delivered)
    return DamageDates(
        delivered_on=delivered, write_by=write_by, cmr_by=cmr, local_by=local, claim_by=claim,
        text=_told(arrived, visible, cmr, local, claim), term_known=not unknown,
    )  # fmt: skip


def _told(
    arrived: Arrived, visible: bool, cmr: date, local: date | None, claim: date
) -> tuple[str, ...]:
    first = say(
        "The local law and the contract of carriage go first; they may give fewer days and ask for "
        "another form."
    )
    lines = [first]
    if local is not None:
        lines.append(
            say("By the {days} days that were found there: until {day}.",
                days=arrived.local_days, day=day(local))
        )  # fmt: skip
    elif arrived.law == "local":
        lines.append(
            say("The days that the local law gives are not known: get them first, and write today.")
        )
    if visible:
        lines.append(
            say("Across a border by road, CMR article 30: damage that can be seen is told at "
                "delivery, {day}, on the waybill itself.", day=day(cmr))
        )  # fmt: skip
    else:
        lines.append(
            say("Across a border by road, CMR article 30: damage that cannot be seen is told in "
                "writing within seven days of delivery, that day, Sundays and public holidays not "
                "counted: until {day}.", day=day(cmr))
        )  # fmt: skip
    lines.append(
        say("CMR article 32: an action within one year, until {day}; longer only for wilful "
            "misconduct.", day=day(claim))
    )  # fmt: skip
    return tuple(lines)


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        what = say("{text} is no date", text=repr(text))
        remedy = say("Write year, month and day: 2026-11-26.")
        raise Unusable(
            say("the day of delivery is not known"),
            remedy=remedy,
            problems=(Problem("delivered_on", what, remedy),),
        ) from None
