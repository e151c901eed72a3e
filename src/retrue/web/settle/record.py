"""The condition record: what is open, the record itself, given away; and a check for anybody."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import partial
from typing import Any, cast

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import NotYet, Problem
from retrue.base.say import later, say
from retrue.cases.settle.condition_check import Checked, headline
from retrue.cases.settle.condition_file import (
    code_of_record,
    file_of,
    in_groups,
)
from retrue.cases.settle.condition_open import HEADINGS
from retrue.cases.settle.record_lines import GuardLine
from retrue.paper.condition_record import (
    PARTS,
    condition_record,
    counts_words,
    looked_for,
)
from retrue.paper.edition import print_edition
from retrue.phases import settle
from retrue.records.settling import Included, RecordGiven, SoldAs
from retrue.records.shop import Record, RecordShop
from retrue.store.derived import shown
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.prove.papers import given, pdf
from retrue.web.prove.where import Place, place_of
from retrue.web.settle.where import machine_money, show, today
from retrue.web.uploads import content

SOLD: tuple[tuple[SoldAs, str], ...] = (
    ("as_found", later("as found")),
    ("running", later("running")),
    ("proven", later("proven")),
    ("parts", later("as parts")),
)
GOES = ("goes_with", "stays", "missing")
STATES = ("proved", "defeated", "missing", "not_tested", "not_fitted")
PICTURE_PX = 900
MOST_PICTURES = 12


async def _stands(request: Request, place: Place, sold_as: str) -> settle.RecordStands:
    settings, lot = request.app.state.settings, place.view.id
    if sold_as not in dict(SOLD):
        sold_as = await deed(settle.sold_as_of, request, lot, place.key)
    made: settle.RecordStands = await deed(
        settle.record_stands, request, lot, place.key, request.app.state.kinds,
        on=today(request), sold_as=cast(SoldAs, sold_as), by=settings.by,
        version=_edition(request),
    )  # fmt: skip
    return made


def _edition(request: Request) -> str:
    return print_edition(request.app.state.settings.edition.removeprefix("retrue "))


async def show_record(request: Request, /, **more: Any) -> Response:
    """What is open, with where each is cleared; else the record."""
    place = await place_of(request)
    asked = request.query_params.get("as", "") or more.get("typed", {}).get("sold_as", "")
    stands = await _stands(request, place, asked)
    made = stands.record
    return show(
        request,
        "record.html",
        place=place,
        here=machine_money(place.view.id, place.key),
        stands=stands,
        made=made,
        sold=SOLD,
        counts=counts_words(made),
        pieces_of=[(key, say(heading), getattr(made, key)) for key, heading in PARTS],
        said_of=_said_of,
        looked_for=looked_for,
        groups=[
            (say(heading), [one for one in stands.open if one.sort == sort])
            for sort, heading in HEADINGS.items()
        ],
        clears=partial(_clears, place),
        since=settle.since_said(stands),
        before=await _before(request, place, stands),
        kept=await _kept(request, place, stands),
        cautions=dict.fromkeys(id for one in made.guards for id in one.cautions),
        shape=_shape,
        most_pictures=MOST_PICTURES,
        id=fresh(),
        **more,
    )


def _clears(place: Place, sort: str) -> str:
    """The page on which an open thing is cleared."""
    return {"stop": f"{place.path}/find", "power": f"{place.path}/wake"}.get(sort, "#guards")


def _shape(state: str, is_open: bool) -> str:
    return "good" if not is_open else "open" if state == "not_tested" else "bad"


def _said_of(one: GuardLine) -> str:
    """What is said of a guard beside its state, which stands before it."""
    lead, _, rest = one.words.partition(". ")
    return rest if lead.rstrip(".").casefold() == one.state.replace("_", " ") else one.words


async def _kept(
    request: Request, place: Place, stands: settle.RecordStands
) -> dict[str, str] | None:
    """What was just kept, with its way back."""
    id = request.query_params.get("kept", "")
    if not id:
        return None
    title = next((say("the record of {day}, given away", day=one.fact.made_on)
                  for one in stands.given if one.id == id), "")  # fmt: skip
    title = title or await deed(settle.included_words, request, place.view.id, place.key, id)
    return {"id": id, "title": title} if title else None


async def _before(
    request: Request, place: Place, stands: settle.RecordStands
) -> list[dict[str, Any]]:
    """Records that were given, newest first, each with whether it still stands."""
    every = [_given(one) for one in reversed(stands.given)]
    for at, one in enumerate(every):
        one["superseded"] = say("superseded by the one of {day}", day=every[at - 1]["on"])
    if every:
        newest = stands.given[-1]
        same = newest.fact.sold_as == stands.record.sold_as  # not reckoned twice
        every[0]["superseded"] = (
            settle.superseded(stands) if same else await _superseded(request, place, newest)
        )
    return every


async def _superseded(request: Request, place: Place, newest: Record[RecordGiven]) -> str:
    return settle.superseded(await _stands(request, place, newest.fact.sold_as))


def _given(one: Record[RecordGiven]) -> dict[str, Any]:
    sha = one.fact.content_sha256
    return {"id": one.id, "on": one.fact.made_on, "whom": one.fact.whom,
            "sold_as": dict(SOLD)[one.fact.sold_as], "code": code_of_record(sha),
            "sha": " ".join(in_groups(sha))}  # fmt: skip


@again(show_record)
async def post_include(request: Request) -> Response:
    """Keep how a guard stands, or what goes with the machine."""
    form = await typed(request)
    place = await place_of(request)
    state, goes, grade = form.text("state"), form.text("goes"), form.text("grade")
    if not grade and state in ("proved", "not_fitted"):
        form.problems.append(Problem("grade", say("is missing"), say("3 saw it, 4 measured it.")))
    if state not in STATES and goes not in GOES:
        form.problems.append(Problem("goes", say("nothing was picked"), say("Pick one.")))
    if grade not in ("", "0", "1", "2", "3", "4", "5"):
        form.problems.append(Problem("grade", say("is no grade"), say("Pick one.")))
    form.check()
    told: dict[str, Any] = {"sort": "guard", "state": state} if state else {"sort": goes}
    fact = Included(lot=place.view.id, machine=place.key, what=form.text("what"),
                    grade=int(grade or 0), text=form.text("text"), **told)  # fmt: skip
    kept: Record[Included] = await deed(
        settle.include, request, fact, request.app.state.kinds, **hand(request, form)
    )
    sold_as, here = form.text("sold_as"), f"{machine_money(place.view.id, place.key)}/record"
    return to(f"{here}?as={sold_as}&kept={kept.id}#kept")


@again(show_record)
async def post_give(request: Request) -> Response:
    """Keep the record as it is given away."""
    form = await typed(request)
    place = await place_of(request)
    sold_as = form.text("sold_as")
    if sold_as not in dict(SOLD):
        form.problems.append(Problem("sold_as", say("nothing was picked"), say("Say as what.")))
    form.check()
    kept: Record[RecordGiven] = await deed(
        settle.give, request, place.view.id, place.key, request.app.state.kinds,
        on=today(request), sold_as=cast(SoldAs, sold_as), whom=form.text("whom"),
        small=partial(shown, longest_px=PICTURE_PX),
        version=_edition(request), **hand(request, form),
    )  # fmt: skip
    here = f"{machine_money(place.view.id, place.key)}/record"
    return to(f"{here}?as={sold_as}&kept={kept.id}#given")


async def _one_given(
    request: Request, place: Place
) -> tuple[Record[RecordGiven], Mapping[str, bytes]]:
    """The record that the address names, else the newest while it still stands."""
    every = await deed(settle.given, request, place.view.id, place.key)
    wanted = request.query_params.get("given", "")
    mine = [one for one in every if wanted in ("", one.id)]
    if not mine:
        raise NotYet(
            say("no such condition record was given away"),
            remedy=say("Give it away on its page first."),
        )
    old = "" if wanted else await _superseded(request, place, mine[-1])
    if old:
        raise NotYet(
            say("the record of {day} is {old}", day=mine[-1].fact.made_on, old=old),
            remedy=say("Give a new one away; the old one is still listed on the page."),
        )
    kept: tuple[Record[RecordGiven], Mapping[str, bytes]] = await deed(
        settle.one_given, request, mine[-1].id
    )
    return kept


async def record_pdf(request: Request) -> Response:
    """A record that was given away, on paper: A4, or ?paper=letter."""
    place = await place_of(request)
    kept, copies = await _one_given(request, place)
    letter = request.query_params.get("paper") == "letter"
    told = json.loads(kept.fact.content)

    def printed(_: object) -> bytes:
        return condition_record(told, copies, paper="us-letter" if letter else "a4")

    return pdf(await deed(printed, request), f"{place.machine.name}-condition.pdf")


async def record_json(request: Request) -> Response:
    """A record that was given away, as a file for programs."""
    place = await place_of(request)
    kept, copies = await _one_given(request, place)
    made = file_of(json.loads(kept.fact.content), copies)
    return given(made, f"{place.machine.name}-condition.json", "application/json")


async def show_check(request: Request, /, **more: Any) -> Response:
    """Give a record to be checked; works for anybody who has the file."""
    told = {"checked": None, "groups": (), "headline": headline}
    return show(request, "check.html", **told | more)


@again(show_check)
async def post_check(request: Request) -> Response:
    """Whether the file is as it was made."""
    form = await typed(request)
    files = form.files("file")
    if not files:
        form.problems.append(Problem("file", say("no file was picked"), say("Pick it.")))
    form.check()
    checked: Checked = await deed(_check, request, content(files[0]), _edition(request))
    return await show_check(request, checked=checked, groups=in_groups(checked.sha256))


def _check(shop: RecordShop, sent: bytes, edition: str) -> Checked:
    def reprint(told: Mapping[str, Any], pictures: Mapping[str, bytes], paper: str) -> bytes:
        return condition_record(told, pictures, paper="us-letter" if paper != "a4" else "a4")

    return settle.check(sent, shop=shop, reprint=reprint, edition=edition)
