"""Attended hours of the dry run: pieces with their ends, that the clock since the start allows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta

from retrue.base.formatter import minute, short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.wake.run_in_bands import ATTENDED
from retrue.records.shop import Record
from retrue.records.waking import StageBegun, StageReading

Piece = tuple[datetime, datetime]


def piece_of(record: Record[StageReading]) -> Piece:
    """From when to when a piece was attended: it ends when it was observed.

    Parameters
    ----------
    record : Record of StageReading
        Of attended hours.

    Returns
    -------
    tuple of datetime
        What was said of a time to come ends when it was noted.
    """
    end = record.observed_at
    return end - timedelta(hours=record.fact.reading), min(end, record.noted_at)


def attended(
    begins: Iterable[Record[StageBegun]],
    readings: Mapping[str, Sequence[Record[StageReading]]],
) -> float:
    """Hours attended since the stage was begun, no minute of them counted twice.

    Parameters
    ----------
    begins : iterable of Record
        Starts of the stage that count.
    readings : mapping of str to sequence of Record
        By the id of their start.

    Returns
    -------
    float
        Never more than the clock since those starts.

    Examples
    --------
    >>> attended((), {})
    0.0
    """
    pieces = [
        (max(start, begun.observed_at), end)
        for begun in begins
        for start, end in map(piece_of, _attended(readings.get(begun.id, ())))
    ]
    hours, until = 0.0, None
    for start, end in sorted(pieces):
        first = start if until is None else max(start, until)
        hours += max(0.0, (end - first).total_seconds() / 3600.0)
        until = end if until is None else max(until, end)
    return round(hours, 2)


def refuse_piece(
    hours: float,
    until: datetime | None,
    begun: Record[StageBegun],
    before: Iterable[Record[StageReading]],
) -> None:
    """Refuse a piece that the clock does not allow.

    Parameters
    ----------
    hours : float
    until : datetime or None
        When it ended, with its offset.
    begun : Record of StageBegun
        Of the stage, as it goes on.
    before : iterable of Record
        Pieces that are kept already.

    Raises
    ------
    Unusable
        Its end is not said; it begins before the stage did; a part of it is kept already.
    """
    if until is None:
        raise _refused("until", say("is not said: when did this piece end?"),
                       say("Write when it ended; it began its hours before."))  # fmt: skip
    start = until - timedelta(hours=hours)
    if start < begun.observed_at - timedelta(minutes=1):
        told = say(
            "is {hours} h up to {until}, but the stage was begun at {begun}", hours=short(hours),
            until=minute(until), begun=minute(begun.observed_at),
        )  # fmt: skip
        raise _refused("reading", told, say("Nobody attends for longer than it runs."))
    for one in _attended(before):
        first, last = piece_of(one)
        if start < last and first < until:
            told = say("overlaps the piece from {first} to {last}", first=minute(first),
                       last=minute(last))  # fmt: skip
            raise _refused("reading", told, say("Each hour counts once: write when it ended."))


def _attended(readings: Iterable[Record[StageReading]]) -> list[Record[StageReading]]:
    return [one for one in readings if one.fact.name == ATTENDED]


def _refused(field: str, what: str, remedy: str) -> Unusable:
    return Unusable(
        say("this cannot be kept as attended hours"),
        remedy=say("Mend what is named."),
        problems=(Problem(field, what, remedy),),
    )
