"""What of a logger's file nobody understands is remembered, so that its watch can say so."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace

from retrue.cases.wake.watch_kept import WatchKept, WatchStands
from retrue.records.shop import RecordShop


def _key(watch: str) -> str:
    return f"watch-left-out:{watch}"


def keep_left_out(shop: RecordShop, kept: WatchKept, notes: Sequence[str]) -> None:
    """Remember what was left out of the file of a watch.

    Parameters
    ----------
    shop : RecordShop
        Where it is remembered.
    kept : WatchKept
    notes : sequence of str
    """
    said = json.dumps(list(notes)).encode()
    if (shop.recall(_key(kept.watch.id)) or b"[]") != said:
        shop.remember(_key(kept.watch.id), said)


def with_left_out(shop: RecordShop, stands: WatchStands) -> WatchStands:
    """A watch with what was left out of its file among its notes.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    stands : WatchStands

    Returns
    -------
    WatchStands
    """
    said = shop.recall(_key(stands.watch.id))
    notes = tuple(json.loads(said)) if said else ()
    watched = replace(stands.watched, notes=(*notes, *stands.watched.notes))
    return replace(stands, notes=(*notes, *stands.notes), watched=watched)
