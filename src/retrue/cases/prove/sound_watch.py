"""A recording as readings of a watch: one level after another, each with its moment."""

from __future__ import annotations

from datetime import datetime, timedelta

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.sound_calibration import Calibration
from retrue.science.bands import by_time

CHANNEL = "sound_db"
EVERY_S = 10.0
MOST_ROWS = 2000


def watch_rows(
    recording: Recording,
    begun: datetime,
    calibrated: Calibration,
    *,
    every_s: float = EVERY_S,
    channel: int = 1,
) -> tuple[tuple[str, str, float], ...]:
    """The A levels of a recording, as a watch keeps them.

    Parameters
    ----------
    recording : Recording
    begun : datetime
        When the recorder was started, with its offset.
    calibrated : Calibration
    every_s : float
        How long each level is taken over; an unfinished last stretch is left out.
    channel : int
        Counted from 1.

    Returns
    -------
    tuple of (str, str, float)
        ISO moment of the end of each stretch, ``sound_db``, dB(A).

    Raises
    ------
    Unusable
        The moment has no offset, there is no such channel, or the recording is too short or would
        make too many readings.

    References
    ----------
    IEC 61672-1:2013, 3.9 (time-averaged level).

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.cases.prove.sound_calibration import calibration
    >>> tone = np.sin(2 * np.pi * 1000 * np.arange(160000) / 8000)[:, None].astype("f4")
    >>> one = Recording(name="a.wav", samples=tone, rate_hz=8000.0)
    >>> rows = watch_rows(one, datetime.fromisoformat("2026-11-25T20:00+00:00"),
    ...                   calibration(offset_db=100))
    >>> [(moment[11:19], name, round(level, 1)) for moment, name, level in rows]
    [('20:00:10', 'sound_db', 97.0), ('20:00:20', 'sound_db', 97.0)]
    """
    if begun.utcoffset() is None:
        raise Unusable(
            say("the start of {name} has no offset", name=recording.name),
            remedy=say("Write 2026-11-25T20:00:00+01:00."),
        )
    if not 0 < recording.seconds / every_s <= MOST_ROWS:
        raise Unusable(
            say("{name} makes too many readings", name=recording.name),
            remedy=say("Take a level over a longer time, ten seconds or a minute."),
        )
    levels = by_time(
        recording.channel(channel),
        recording.rate_hz,
        every_s=every_s,
        offset_db=calibrated.offset_db,
    )
    return tuple(
        ((begun + timedelta(seconds=every_s * (place + 1))).isoformat(), CHANNEL, float(level))
        for place, level in enumerate(levels)
    )
