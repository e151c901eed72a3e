"""What every route does: who writes, one deed in a thread, and the page again when refused."""

from __future__ import annotations

import io
import threading
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import wraps
from typing import Any, Protocol, TypeVar, cast
from uuid import uuid4

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from retrue.base.refusals import Refusal, Unknown
from retrue.phases import twice
from retrue.records.facts import Withdrawn
from retrue.records.hand import Hand
from retrue.records.knowing import Knowing, Meanwhile
from retrue.records.measuring_rules import HASH_IN_HEX
from retrue.records.meeting import SetAside
from retrue.records.shop import Record, RecordShop
from retrue.web.forms import Typed, refuse_unwritable
from retrue.web.pages import wants_json
from retrue.web.refusals import STATUS
from retrue.web.security import LAPTOP

T = TypeVar("T")
Route = Callable[[Request], Awaitable[Response]]
FORM_FILES = 400
FIELD_BYTES = 1_000_000
HELD = "held:"  # a field that names a file kept already, for a form that is sent anew
SETTLES = "settles"  # which of what was set aside this form settles
FILE = 8  # place of the photograph among the records of one form: id.9
TARGETS = ("cell", "record", "finding")  # fields that name what a form is about
BACK = frozenset({"back", "take-back", "withdraw"})  # how the addresses of taking back end
# Two forms for one place take turns, so that each meets what the other kept.
_TURNS = tuple(threading.Lock() for _ in range(64))


class TakenBack(Exception):
    """It was taken back already: it counts no more, as was wanted."""


class Page(Protocol):
    """A page that can be shown again with what was typed and what was wrong with it."""

    async def __call__(self, request: Request, /, **again: Any) -> Response:
        """Show it."""


def hand(request: Request, form: Typed | None = None) -> Hand:
    """Whose hand writes: the device and its person; a form may bring its id and its moment."""
    made: Hand = {"by": request.state.person, "device": request.state.device}
    if form is not None and form.text("id"):
        made["id"] = form.text("id")
    if form is not None and form.moment("observed_at"):
        claimed = datetime.fromisoformat(form.text("observed_at"))  # to the second, as it was said
        made["observed_at"] = claimed if claimed.tzinfo is not None else claimed.astimezone()
    return made


def fresh() -> str:
    """An id for a form, so that sending it twice keeps it once."""
    return str(uuid4())


async def typed(request: Request) -> Typed:
    """The form as it was sent."""
    form = await request.form(
        max_files=FORM_FILES, max_fields=FORM_FILES * 10, max_part_size=FIELD_BYTES
    )
    if form not in request.state.forms:
        request.state.forms.append(form)  # the gate closes its files when the answer is out
    refuse_unwritable(form)
    held = [name for name in form if name.startswith(HELD)]
    return Typed(await run_in_threadpool(_with_held, request, form, held) if held else form)


def _with_held(request: Request, form: FormData, held: list[str]) -> FormData:
    """A form that is sent anew has its files from the shop."""
    shop: RecordShop = request.app.state.shop
    rest = [pair for pair in form.multi_items() if pair[0] not in held]
    for field in held:
        for value in form.getlist(field):
            sha256, _, name = str(value).partition("|")
            if not HASH_IN_HEX.fullmatch(sha256):
                continue
            kept = shop.file(sha256)
            file = UploadFile(io.BytesIO(kept), size=len(kept), filename=name)
            rest.append((field.removeprefix(HELD), file))
    return FormData(rest)


async def deed(act: Callable[..., T], request: Request, /, *args: Any, **named: Any) -> T:
    """One deed on the shop, in a thread of its own so that others are not kept waiting.

    A form is kept by what its page had shown: `retrue.records.knowing.Meanwhile` where it would
    go over something that somebody else wrote since. A form that does not say what it knows, or
    claims to know what is not there yet, knows nothing of what other devices wrote.
    """
    form = await typed(request) if request.method == "POST" else None
    if form is not None:
        return await run_in_threadpool(_by_turns, act, request, form, *args, **named)
    return await run_in_threadpool(_noticed, act, request, *args, **named)


@contextmanager
def gathering(request: Request) -> Iterator[None]:
    """A form with many things in it: what nobody wrote since is kept, then all the rest asked."""
    form = Typed(cast(FormData, request.state.forms[-1]))
    knowing = _knowing(request, form)
    knowing.gathers = True
    yield
    if knowing.met:
        raise Meanwhile(knowing.met)


def _noticed(act: Callable[..., T], request: Request, /, *args: Any, **named: Any) -> T:
    """A page says up to which record it knows: noticed before the first thing on it is read."""
    shop: RecordShop = request.app.state.shop
    if not hasattr(request.state, "knows"):
        request.state.knows = shop.newest()
        request.state.undecided = len(twice.undecided(shop))
    return act(shop, *args, **named)


def _by_turns(
    act: Callable[..., T], request: Request, form: Typed, /, *args: Any, **named: Any
) -> T:
    knowing, aside = _knowing(request, form), _aside(request, form)
    with _TURNS[hash(request.url.path) % len(_TURNS)]:
        try:
            done = act(cast(RecordShop, knowing), *args, **named)
        except Unknown:
            if _is_gone(request, form):
                raise TakenBack from None
            raise
    if aside is not None and twice.settles(request.app.state.shop, aside, knowing.said):
        twice.decide(request.app.state.shop, aside.id, "mine", **hand(request))
    return done


def _aside(request: Request, form: Typed) -> Record[SetAside] | None:
    """What this form says it settles; None where it is not the form that was set aside."""
    if not form.text(SETTLES):
        return None
    try:
        aside = twice.view_aside(request.app.state.shop, form.text(SETTLES)).record
    except Unknown:
        return None  # no such thing; what is sent is kept all the same
    there = dict(aside.fact.form)
    same = all(form.text(name) == there.get(name, "") for name in TARGETS)
    allowed = getattr(request.state, "role", "owner") == "owner" or (
        request.app.state.shop.history(aside.id)[0].device == request.state.device
    )
    here = aside.fact.path.partition("?")[0] == request.url.path
    return aside if same and allowed and here else None


def _is_gone(request: Request, form: Typed) -> bool:
    """Whether a form takes back what somebody took back already."""
    if request.url.path.rpartition("/")[2] not in BACK:
        return False
    shop: RecordShop = request.app.state.shop
    named = (
        form.text("record")
        or request.path_params.get("record")
        or request.path_params.get("finding", "")
    )
    try:
        return isinstance(shop.history(named)[-1].fact, Withdrawn)
    except Unknown:
        return False


def _knowing(request: Request, form: Typed) -> Knowing:
    """The shop as this form's page knew it; one for all deeds of a request."""
    if not hasattr(request.state, "knowing"):
        shop: RecordShop = request.app.state.shop
        told = form.text("knows")
        known = int(told[:18]) if told.isdecimal() else 0
        request.state.knows = known if known <= shop.newest() else 0
        request.state.undecided = len(twice.undecided(shop))
        request.state.knowing = Knowing(
            shop,
            request.state.knows,
            device=request.state.device,
            waited=hand(request, form).get("observed_at"),
            nameless=not request.state.knows and request.state.device == LAPTOP,
        )
    knowing: Knowing = request.state.knowing
    return knowing


def sum_of(request: Request) -> dict[str, int]:
    """Seed and number of worlds of every price this server tells."""
    settings = request.app.state.settings
    return {"seed": settings.seed, "worlds": settings.worlds}


def to(path: str) -> RedirectResponse:
    """After a form: look at the page, so that a reload sends nothing again."""
    return RedirectResponse(path, status_code=303)


def again(page: Page) -> Callable[[Route], Route]:
    """On a refusal, show this page again with every field as it was typed."""

    def around(route: Route) -> Route:
        @wraps(route)
        async def answer(request: Request) -> Response:
            try:
                return await route(request)
            except Refusal as refusal:
                if wants_json(request):
                    raise
                return await page(
                    request,
                    status=STATUS[type(refusal)],
                    refusal=refusal,
                    typed=(await typed(request)).form,
                    wrong={problem.where: problem for problem in refusal.problems},
                )

        return answer

    return around
