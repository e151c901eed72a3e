"""A watch calls: a logger's file is followed, a stop is kept once and ends its stage; its end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Literal, Unpack, cast

from retrue.base.refusals import Overtaken, Problem, Unusable
from retrue.base.say import say
from retrue.cases.wake.kept import progress_kept
from retrue.cases.wake.logger import Followed, follow_logger
from retrue.cases.wake.watch_kept import (
    LOGGER,
    WatchKept,
    levelled_readings,
    new_call,
    refuse_levelled,
    watch_kept,
)
from retrue.cases.wake.watch_view import Called
from retrue.cases.wake.watching import taken_rows
from retrue.cases.wake.written import read_written
from retrue.kinds.library import Kind
from retrue.phases.wake.here import beside, empty, machine_at, refuse_fields
from retrue.phases.wake.left_out import keep_left_out
from retrue.phases.wake.watching import add_readings
from retrue.records.hand import Hand, without_id
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import (
    StageBegun,
    StageEnded,
    StageReading,
    WatchCalled,
    WatchEnded,
    WatchReadings,
)
from retrue.science.watch_limits import CHANNELS

DEGREES = frozenset(name for name, one in CHANNELS.items() if one.unit == "°C")
AGAIN = timedelta(minutes=1)  # what was judged is remembered that often, and judged twice at most
AT_ONCE = 50_000  # rows of a logger's file kept in one record
How = Literal["levelled", "stopped", "left"]
Call = Literal["stop", "no_reading", "hold"]


def follow(
    shop: RecordShop,
    watch: str,
    name: str,
    content: bytes,
    at: datetime,
    *,
    fahrenheit: bool | None = None,
    offset_s: float = 0.0,
    **hand: Unpack[Hand],
) -> Record[WatchReadings] | None:
    """Keep what is new in a logger's file.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    watch : str
        Its id.
    name : str
        Of the file, for what is said of it.
    content : bytes
        The whole file as it stands.
    at : datetime
        Now, with its offset.
    fahrenheit : bool or None
        What was answered to the question of °F.
    offset_s : float
        Added to the logger's clock.
    **hand : Hand
        Who follows it.

    Returns
    -------
    Record of WatchReadings or None
        The last one kept; None where nothing is new.

    Raises
    ------
    Unusable
        Something of the file cannot be taken, or a question is open. What can be taken is kept
        before.
    Unreadable
        It is no text.
    """
    kept = watch_kept(shop, watch)
    found = _new_rows(kept, name, content, at, fahrenheit, offset_s)
    if found.counts and not offset_s:  # its newest row is now when the file is first seen growing
        grown_s = _grown(shop, kept, found)
        if grown_s is None:
            found = replace(found, rows=(), problems=(_not_yet_laid(name),))
        else:
            found = _new_rows(kept, name, content, at, fahrenheit, grown_s)
    keep_left_out(shop, kept, found.unknown)
    last = None
    for start in range(0, len(found.rows), AT_ONCE):
        rows = found.rows[start : start + AT_ONCE]
        row, mine = (None, without_id(hand)) if start else (found.first_row, hand)
        last = add_readings(shop, watch, rows, source=LOGGER, first_row=row, **mine)
    if found.problems or found.asked:
        asked = tuple(Problem(name, question) for question in found.asked)
        raise Unusable(
            say("of {name} not everything was taken", name=name),
            remedy=say("Answer or mend what is named; what could be taken is kept."),
            problems=(*asked, *found.problems),
        )
    return last


def call(
    shop: RecordShop, watch: str, now: datetime, kinds: Mapping[str, Kind], **hand: Unpack[Hand]
) -> Record[WatchCalled] | None:
    """Let a watch call; a stop is kept once, and aborts the stage it belongs to.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    watch : str
        Its id.
    now : datetime
        With its offset.
    kinds : mapping of str to Kind
        The library.
    **hand : Hand
        Who keeps the watch.

    Returns
    -------
    Record of WatchCalled or None
        None where nothing new has to be kept. Whatever was read since it was judged last is
        judged moment by moment: a stop is not lost while nobody looked.
    """
    kept = watch_kept(shop, watch)
    judged = _judged(shop, kept)
    found = new_call(kept, judged, now)
    if judged is None or now - judged >= AGAIN:
        shop.remember(_key(kept), f"{now.isoformat()} {len(kept.rows)}".encode())
    if found is None:
        return None
    fact = WatchCalled(
        lot=kept.watch.fact.lot, machine=kept.watch.fact.machine, watch=kept.watch.id,
        call=cast(Call, found.call), at=found.at.isoformat(), why=found.why,
    )  # fmt: skip
    silences = sum(one.fact.call == found.call for one in kept.called)
    ending = found.call if found.call == "stop" else f"{found.call}.{silences + 1}"
    try:
        record = shop.add(fact, **beside(kept.watch, ending, hand))
    except Overtaken:  # another who keeps the same watch called it first
        return None
    _abort(shop, kept, found, record, kinds, hand)
    return record


def end_watch(
    shop: RecordShop, watch: str, how: str, name: str, *, text: str = "", **hand: Unpack[Hand]
) -> Record[WatchEnded]:
    """End a watch by name; what a levelled one read is a reading of its stage as well.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    watch : str
        Its id.
    how : str
        levelled, stopped or left.
    name : str
        Who ends it.
    text : str
        A word on it.
    **hand : Hand
        Who notes it.

    Returns
    -------
    Record of WatchEnded
        Ended once; said again, the first end is given.

    Raises
    ------
    NotYet
        Levelled, and the watch does not say so.
    Unusable
        Nobody's name.
    """
    kept = watch_kept(shop, watch)
    if kept.ended is not None:
        return kept.ended
    fact = WatchEnded(lot=kept.watch.fact.lot, machine=kept.watch.fact.machine,
                      watch=kept.watch.id, how=cast(How, how), name=name.strip(),
                      text=text.strip())  # fmt: skip
    refuse_fields(fact, *empty("name", name, say("Whoever ends it writes his name.")))
    if how == "levelled":
        refuse_levelled(kept)
    record = shop.add(fact, **hand)
    if how == "levelled":
        _keep_levelled(shop, kept, record, hand)
    return record


def _new_rows(
    kept: WatchKept,
    name: str,
    content: bytes,
    at: datetime,
    fahrenheit: bool | None,
    offset_s: float,
) -> Followed:
    logged = [row for one in kept.batches if one.fact.source == LOGGER for row in one.fact.rows]
    rows = taken_rows(logged)
    warm = any(channel in DEGREES for _, channel, _ in logged)
    waited = fahrenheit is not None and not warm  # temperatures left out until the answer came
    found = follow_logger(
        content, name, now=at, zone=at.tzinfo or UTC,
        after=rows[-1][0] if rows and not waited else None, zero=kept.begun, offset_s=offset_s,
        fahrenheit=fahrenheit, room_c=kept.plan.room_c,
    )  # fmt: skip
    if not waited:
        return found
    known = {(moment, channel) for moment, channel, _ in logged}
    return replace(found, rows=tuple(one for one in found.rows if one[:2] not in known))


def _grown(shop: RecordShop, kept: WatchKept, found: Followed) -> float | None:
    """Seconds to add where its time counts from its own start; None until it was seen growing."""
    key = f"watch-elapsed:{kept.watch.id}"
    count, _, offset = (shop.recall(key) or b"").decode().partition(" ")
    if offset:
        return float(offset)
    if not count or found.rows_in_file <= int(count):
        shop.remember(key, str(found.rows_in_file).encode())
        return None
    shop.remember(key, f"{count} {found.lag_s}".encode())
    return found.lag_s


def _not_yet_laid(name: str) -> Problem:
    return Problem(
        name,
        say("its time counts from its own start: nothing of it is taken yet"),
        say("It is read once it is seen growing; or say how far its clock is off."),
    )


def _key(kept: WatchKept) -> str:
    return f"watch-judged:{kept.watch.id}"


def _judged(shop: RecordShop, kept: WatchKept) -> datetime | None:
    """Up to when it was judged, with all rows of that time; a late row takes it back."""
    told = (shop.recall(_key(kept)) or b"").decode().split()
    if len(told) != 2 or not told[1].isdigit() or int(told[1]) > len(kept.rows):
        return None
    new = [at for at, _, _ in taken_rows(kept.rows[int(told[1]) :])]
    return min([datetime.fromisoformat(told[0]), *new])


def _abort(
    shop: RecordShop,
    kept: WatchKept,
    found: Called,
    record: Record[WatchCalled],
    kinds: Mapping[str, Kind],
    hand: Hand,
) -> None:
    """A stop of a watch of it aborts a stage that is going on, at whatever step it is."""
    fact = kept.watch.fact
    if fact.stage is None or fact.begun is None:
        return
    spot, kind = machine_at(shop, fact.lot, fact.machine, kinds)
    begun = progress_kept(shop, spot, kind)[fact.stage].begun
    if begun is None:
        return
    end = StageEnded(lot=fact.lot, machine=fact.machine, stage=fact.stage, begun=begun.id,
                     how="aborted", name=record.by, why=found.why or found.call)  # fmt: skip
    shop.add(end, **beside(record, "end", hand))


def _keep_levelled(
    shop: RecordShop, kept: WatchKept, record: Record[WatchEnded], hand: Hand
) -> None:
    """What the watch read last, as readings of the stage it belongs to."""
    fact = kept.watch.fact
    if fact.stage is None or fact.begun is None:
        return
    begun = shop.get(StageBegun, fact.begun)
    bands = {one.name: one for one in read_written(begun.fact.bands).bands}
    for name, value in levelled_readings(kept, bands.values()).items():
        reading = StageReading(
            lot=fact.lot, machine=fact.machine, stage=fact.stage, begun=begun.id, name=name,
            reading=value, unit=bands[name].unit, taken_by=record.fact.name,
            instrument=fact.logger, text=say("from the watch"),
        )  # fmt: skip
        shop.add(reading, **beside(record, name, hand))
