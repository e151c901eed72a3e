"""What the shutter sends: photographs of a place, of a line of its list, of a label."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Refusal, Unreadable, Unusable
from retrue.base.say import say
from retrue.phases import strip
from retrue.records.facts import File
from retrue.records.hand import Hand, numbered
from retrue.records.shop import Record
from retrue.store.proof import prove_picture
from retrue.web.door import deed, hand, typed
from retrue.web.prove.where import Place, place_of
from retrue.web.strip.where import back_of, kept
from retrue.web.uploads import SCALED, content


@dataclass(frozen=True, slots=True)
class Shown:
    """What a photograph belongs to: a place, a line of its list, something that was taken off."""

    where: str
    entry: str | None = None
    taken: str | None = None


async def post_shots(request: Request) -> Response:
    """Keep photographs of a place; a photograph sent twice is kept once."""
    form, place = await typed(request), await place_of(request)
    sent = form.files("picture") + form.files("pictures")
    if not sent:
        raise Unusable(
            say("no photograph was chosen"),
            remedy=say("Go back, press the shutter or choose a photograph, then keep it."),
        )
    entry, taken = form.text("entry") or None, form.text("taken") or None
    of = Shown(form.text("place"), entry, taken)
    id = await keep_shots(request, place, of, sent, hand(request, form))
    back = back_of(place, form)
    if back.endswith("/night"):
        back += f"?place={of.where}#{form.text('kind') or 'camera'}"
    elif entry:
        back += f"#{entry}"
    return kept(request, back, id)


def prove_each(sent: Sequence[UploadFile]) -> None:
    """Refuse what is no photograph, before anything it belongs to is kept."""
    for upload in sent:
        prove_picture(content(upload), upload.filename or "")
        upload.file.seek(0)


async def keep_shots(
    request: Request, place: Place, of: Shown, sent: Sequence[UploadFile], writer: Hand
) -> str:
    """Keep one after the other; those that were refused are named when the others are kept."""
    refused: list[Problem] = []
    id = ""
    for number, upload in enumerate(sent):
        try:
            id = await _keep(request, place, of, upload, numbered(writer, number))
        except Refusal as refusal:
            if len(sent) == 1:
                raise
            refused.append(Problem(upload.filename or "", refusal.reason, refusal.remedy))
    if refused:
        raise Unreadable(
            say("{count} were not kept", count=len(refused)),
            remedy=say("All others you sent are kept."),
            problems=tuple(refused),
        )
    return id


async def _keep(request: Request, place: Place, of: Shown, upload: UploadFile, writer: Hand) -> str:
    name = upload.filename or say("photograph")
    record: Record[File] = await deed(
        strip.keep_shot,
        request,
        place.view.id,
        place.key,
        of.where,
        content(upload),
        name.removeprefix(SCALED),
        prove_picture,
        request.app.state.kinds,
        entry=of.entry,
        taken=of.taken,
        whole=not name.startswith(SCALED),
        **writer,
    )
    return record.id
