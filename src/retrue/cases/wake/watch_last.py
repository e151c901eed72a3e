"""What a machine read at the same step when it was last run in and levelled: its baseline."""

from __future__ import annotations

from statistics import median

from retrue.cases.spot import Spot
from retrue.cases.wake.watch_kept import RECORDED, WatchKept, watch_kept
from retrue.cases.wake.watching import taken_rows
from retrue.records.shop import RecordShop
from retrue.records.waking import WatchBegun

LEVELLED = "levelled"
LAST_READINGS = 10  # whose median is the level at which it settled
SETTLED = ("amps", "sound_db", "vibration_mm_s")


def last_time(
    shop: RecordShop, spot: Spot, stage: str | None, step: int | None
) -> dict[str, float]:
    """The levels of the newest watch of a step that ended levelled.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
        The machine.
    stage : str or None
        Its id.
    step : int or None
        Of the run-in.

    Returns
    -------
    dict of str to float
        By channel, and ``nose_rise`` over its own start; empty where there is none.
    """
    if stage is None:
        return {}
    begun = shop.current(WatchBegun, lot=spot.lot, machine=spot.machine, stage=stage)
    for one in reversed([each for each in begun if each.fact.step == step]):
        kept = watch_kept(shop, one.id)
        if kept.ended is not None and kept.ended.fact.how == LEVELLED and not kept.stopped:
            return levels_of(kept)
    return {}


def levels_of(kept: WatchKept) -> dict[str, float]:
    """Where the channels of a watch have settled.

    Parameters
    ----------
    kept : WatchKept

    Returns
    -------
    dict of str to float
        Levels of a recording without a known level are left out: another day they are others.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> read = tuple((f"2026-11-26T20:0{at}:00+00:00", "nose", 21.0 + at) for at in range(5))
    >>> levels_of(SimpleNamespace(rows=read, batches=()))
    {'nose_rise': 3.0}
    """
    heard = {row for one in kept.batches if one.fact.source == RECORDED for row in one.fact.rows}
    rows = taken_rows(row for row in kept.rows if row not in heard)
    found: dict[str, float] = {}
    for name in SETTLED:
        values = [value for _, channel, value in rows if channel == name]
        if values:
            found[name] = float(median(values[-LAST_READINGS:]))
    nose = [value for _, channel, value in rows if channel == "nose"]
    if len(nose) > 1:
        found["nose_rise"] = float(median(nose[-3:]) - min(nose[:2]))
    return found
