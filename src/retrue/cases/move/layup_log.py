"""A logger's table of temperature and humidity: read, and told where iron would sweat."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Refusal, Unusable
from retrue.base.say import later, say
from retrue.cases.move.drawings import DampDrawing
from retrue.cases.prove.table import Table, read_table
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.reckoning import Listing
from retrue.science.damp import MARGIN_KELVIN
from retrue.science.damp_log import Risk, by_day, casting_c, dew_points_c, read_log

Floats = NDArray[np.float64]
COLUMNS = ("time", "air_c", "humidity_percent", "[surface_c]")
SOURCE = later("WMO-No. 8, Magnus form; 3 K and 45 % are common practice, no source (from memory)")
DRAWN = 2000  # points of a picture; a longer log is thinned for it, never for the numbers
MOST_DAYS = 400
LEAST_ROWS = 3


def log(draft: Draft, content: bytes) -> None:
    """Read a log and tell what it says of damp.

    Parameters
    ----------
    draft : Draft
        Of the lay-up.
    content : bytes
        A CSV of the columns above.

    Raises
    ------
    Unusable
        It cannot be used; the column or the row is named.

    Examples
    --------
    >>> draft = Draft("layup", "Lay-up", (), {})
    >>> log(draft, b"time,air_c,humidity_percent\\n0,20,50\\n1,20,50\\n2,20,50\\n")
    >>> round(next(one.value for one in draft.figures if one.key == "worst_kelvin"), 2)
    10.74
    """
    try:
        hours, starts, table = _read(content)
        air, damp = table.numbers("air_c"), table.numbers("humidity_percent")
        _long_enough(hours)
        surface = table.numbers("surface_c") if table.has("surface_c") else None
        found = read_log(hours, air, damp, surface_c=surface)
    except Refusal as refusal:
        named = refusal.problems or (Problem("log", refusal.reason, refusal.remedy),)
        raise Unusable(refusal.reason, remedy=refusal.remedy, problems=named) from refusal
    _figures(draft, found)
    iron = casting_c(hours, air) if surface is None else surface
    _drawing(draft, hours, starts, found, iron, dew_points_c(air, damp))
    draft.listings.append(_days(hours, starts, found))


def _long_enough(hours: Floats) -> None:
    if len(hours) < LEAST_ROWS:
        raise Unusable(
            say("a log of {count} lines says nothing", count=len(hours)),
            remedy=say("Log at least a day, a reading every quarter of an hour."),
        )


def _read(content: bytes) -> tuple[Floats, datetime | None, Table]:
    table = read_table(content, say("the log"))
    table.need("time", "air_c", "humidity_percent")
    hours, starts = _hours(table.text("time"), table.rows)
    return hours, starts, table


def _hours(cells: Sequence[str], rows: Sequence[int]) -> tuple[Floats, datetime | None]:
    """Hours since the first reading, from moments or from hours as they stand."""
    try:
        moments = [datetime.fromisoformat(cell) for cell in cells]
    except ValueError:
        return _bare(cells, rows), None
    try:
        first = moments[0]
        return np.array([(one - first).total_seconds() / 3600.0 for one in moments]), first
    except TypeError as wrong:
        raise Unusable(
            say("some times of the log have an offset and some have none"),
            remedy=say("Export it again with one form of time."),
        ) from wrong


def _bare(cells: Sequence[str], rows: Sequence[int]) -> Floats:
    problems, hours = [], []
    for cell, row in zip(cells, rows, strict=True):
        try:
            hours.append(float(cell.replace(",", ".")))
        except ValueError:
            what = say("row {row}, time: {cell} is neither a moment nor hours", row=row, cell=cell)
            problems.append(Problem("log", what, say("Write 2026-11-25T20:00, or hours.")))
    if problems:
        raise Unusable(
            say("the times of the log cannot be read"),
            remedy=say("Write moments as 2026-11-25T20:00, or hours since the first reading."),
            problems=tuple(problems),
        )
    return np.array(hours)


def _figures(draft: Draft, found: Risk) -> None:
    draft.figure("hours_logged", say("logged"), found.hours_logged, "h", 1, SOURCE)
    draft.figure("hours_near", say("iron less than 3 K over the dew point"), found.hours_near, "h",
                 1, SOURCE)  # fmt: skip
    draft.figure("hours_sweating", say("iron sweats"), found.hours_sweating, "h", 1, SOURCE)
    draft.figure("near_a_day_hours", say("near it, hours a day"), found.near_a_day_hours, "h", 1)
    draft.figure("worst_kelvin", say("worst"), found.worst_kelvin, "K", 1, SOURCE)
    draft.figure("worst_hours", say("worst, hours after the log began"), found.worst_hours, "h", 1)
    draft.figure("damp_share", say("share of the time over 45 %"), found.damp_share, "", 2, SOURCE)
    draft.figure("mean_percent", say("mean damp"), found.mean_percent, "%", 0)
    if found.surface_assumed:
        draft.assumed.append(
            say("bare iron was not logged: it follows the air by six hours (assumed)")
        )
    if found.gaps:
        draft.notes.append(say("Gaps in the log: {count}. They are not counted.",
                               count=number(len(found.gaps))))  # fmt: skip
    if found.hours_sweating > 0:
        draft.stop(
            say("iron sweats for {hours} h of {all} h logged",
                hours=number(found.hours_sweating, 1), all=number(found.hours_logged, 0)),
            say("A dehumidifier, a little steady warmth, or a sealed wrapping with desiccant; no "
                "tight film on bare iron."),
            "log",
        )  # fmt: skip
    elif found.hours_near > 0:
        draft.stop(
            say("iron is less than 3 K over the dew point for {hours} h of {all} h logged",
                hours=number(found.hours_near, 1), all=number(found.hours_logged, 0)),
            say("Oil bare iron now, keep doors shut when the weather turns warm; a dehumidifier "
                "or a little steady warmth."),
            "log",
        )  # fmt: skip


def _drawing(
    draft: Draft, hours: Floats, starts: datetime | None, found: Risk, iron: Floats, dew: Floats
) -> None:
    every = max(1, -(-len(hours) // DRAWN))
    thin = slice(None, None, every)
    draft.drawing = DampDrawing(
        hours=tuple(hours[thin].tolist()),
        margin_kelvin=tuple(found.margin[thin].tolist()),
        surface_c=tuple(np.asarray(iron)[thin].tolist()),
        dew_c=tuple(dew[thin].tolist()),
        least_kelvin=MARGIN_KELVIN,
        starts=f"{starts:%Y-%m-%d %H:%M}" if starts else "",
    )


def _days(hours: Floats, starts: datetime | None, found: Risk) -> Listing:
    """Day by day from the first midnight; a log in bare hours counts its days from its start."""
    late = starts.hour + starts.minute / 60.0 if starts else 0.0
    each = by_day(hours + late, found.margin)[:MOST_DAYS].tolist()
    rows = tuple((float(day), near, logged) for day, (near, logged) in enumerate(each, 1))
    return Listing(title=say("Hours near the dew point, day by day"),
                   columns=("day", "hours_near", "hours_logged"), rows=rows)  # fmt: skip
