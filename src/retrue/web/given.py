"""One condition record for a buyer: to read, on paper, as a file, and whether it still stands."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.settle.condition_check import Checked, headline
from retrue.cases.settle.condition_file import code_of_record, file_of, in_groups, record_of
from retrue.paper.condition_record import PARTS, condition_record, counts_words, looked_for
from retrue.phases import settle
from retrue.records.settling import RecordGiven
from retrue.records.shop import Record, RecordShop
from retrue.web.door import deed
from retrue.web.files import NEVER_CHANGES
from retrue.web.roles import GIVEN
from retrue.web.settle.where import show

Given = tuple[Record[RecordGiven], Mapping[str, bytes]]


def _given(shop: RecordShop, id: str) -> Given:
    """A record that was given away and not taken back, with its copies of photographs."""
    if not any(one.id == id for one in shop.current(RecordGiven)):
        raise Unknown(
            say("There is no such page"), remedy=say("Open the record that was lent to you.")
        )
    return settle.one_given(shop, id)


async def _asked(request: Request) -> Given:
    kept: Given = await deed(_given, request, request.path_params["record"])
    return kept


async def show_given(request: Request) -> Response:
    """The record as it was given away, word for word."""
    kept, copies = await _asked(request)
    made, sha = record_of(json.loads(kept.fact.content)), kept.fact.content_sha256
    return show(
        request,
        "given.html",
        here=GIVEN.format(record=kept.id),
        made=made,
        counts=counts_words(made),
        pieces_of=[(key, say(heading), getattr(made, key)) for key, heading in PARTS],
        looked_for=looked_for,
        pictures=[one for one in made.pictures if one.copy_sha256 in copies],
        code=code_of_record(sha),
        sha=" ".join(in_groups(sha)),
    )


async def give_pdf(request: Request) -> Response:
    """The record on paper: A4, or ?paper=letter."""
    kept, copies = await _asked(request)
    letter = request.query_params.get("paper") == "letter"

    def printed(_: object) -> bytes:
        told = json.loads(kept.fact.content)
        return condition_record(told, copies, paper="us-letter" if letter else "a4")

    return _saved(await deed(printed, request), kept, "pdf", "application/pdf")


async def give_json(request: Request) -> Response:
    """The record as a file for programs."""
    kept, copies = await _asked(request)
    made = file_of(json.loads(kept.fact.content), copies)
    return _saved(made, kept, "json", "application/json")


def _saved(content: bytes, kept: Record[RecordGiven], ending: str, media_type: str) -> Response:
    name = quote(f"{json.loads(kept.fact.content)['machine']}-condition.{ending}", safe="")
    headers = {"content-disposition": f"attachment; filename*=UTF-8''{name}"}
    return Response(content, media_type=media_type, headers=headers)


async def give_picture(request: Request) -> Response:
    """A copy of one of its photographs, as it goes with the record."""
    _, copies = await _asked(request)
    copy = copies.get(request.path_params["picture"])
    if copy is None:
        raise Unknown(say("There is no such page"), remedy=say("Go back to the record."))
    return Response(copy, media_type="image/jpeg", headers=NEVER_CHANGES)


async def show_checked(request: Request) -> Response:
    """Whether the record still is as it was given, checksum by checksum."""
    kept, copies = await _asked(request)

    def checked(shop: RecordShop) -> Checked:
        return settle.check(file_of(json.loads(kept.fact.content), copies), shop=shop)

    answer: Checked = await deed(checked, request)
    told: dict[str, Any] = {"checked": answer, "groups": in_groups(answer.sha256)}
    here = GIVEN.format(record=kept.id)
    return show(request, "given_check.html", here=here, headline=headline, **told)
