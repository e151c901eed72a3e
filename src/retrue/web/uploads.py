"""Files as they came: one at a time in memory, the too large named, the good ones kept."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile

from retrue.base.refusals import Refusal, Unreadable
from retrue.base.say import say
from retrue.records.hand import Hand
from retrue.records.shop import RecordShop
from retrue.store.proof import prove_picture
from retrue.web.called import in_turn

FILE_BYTES = 60_000_000
SCALED = "scaled-"  # our own page puts this before the name of what it made smaller


def content(upload: UploadFile) -> bytes:
    """The bytes of one file.

    Raises
    ------
    Unreadable
        It is larger than a photograph can be.
    """
    if (upload.size or 0) > FILE_BYTES:
        raise Unreadable(
            say("{name} is larger than 60 MB", name=upload.filename),
            remedy=say("Send it smaller; everything else you sent is kept."),
        )
    return upload.file.read()


def _keep_each(
    shop: RecordShop, lot: str, uploads: Sequence[UploadFile], machine: str | None, hand: Hand
) -> list[str]:
    with in_turn:
        from retrue.phases import worth  # dear to load, not needed for a note
    refused = []
    for upload in uploads:
        name = upload.filename or say("photograph")
        try:
            worth.keep_picture(
                shop,
                lot,
                content(upload),
                name.removeprefix(SCALED),
                prove_picture,
                machine=machine,
                whole=not name.startswith(SCALED),
                **hand,
            )
        except Refusal as refusal:
            refused.append(f"{name.removeprefix(SCALED)}: {refusal.reason}. {refusal.remedy}")
    return refused


async def keep_each(
    shop: RecordShop,
    lot: str,
    uploads: Sequence[UploadFile],
    hand: Hand,
    *,
    machine: str | None = None,
) -> list[str]:
    """Keep the photographs one after the other; the answer names those that were refused."""
    return await run_in_threadpool(_keep_each, shop, lot, uploads, machine, hand)
