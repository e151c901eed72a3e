"""A recording beside a watch: its levels are readings like any other."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Unpack

from retrue.cases.prove.recording import Recording
from retrue.cases.prove.sound_calibration import calibration
from retrue.cases.prove.sound_watch import watch_rows
from retrue.phases.wake.watching import add_readings
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import WatchReadings


def hear(
    shop: RecordShop, watch: str, recording: Recording, ended: datetime, **hand: Unpack[Hand]
) -> Record[WatchReadings]:
    """Keep what a recording says as readings of a watch: a level every ten seconds.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    watch : str
        Its id.
    recording : Recording
        As it came; a known level is not needed, for it is held against its own beginning.
    ended : datetime
        When the recorder was stopped, with its offset.
    **hand : Hand
        Who recorded.

    Returns
    -------
    Record of WatchReadings

    Raises
    ------
    Unknown
        No such watch.
    Unusable
        The recording is too short.
    """
    begun = ended - timedelta(seconds=recording.seconds)
    rows = watch_rows(recording, begun, calibration())
    return add_readings(shop, watch, rows, source="sound", **hand)
