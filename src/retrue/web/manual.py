"""The manual in the browser: its pages, and one field to look a word up in all of them."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import Response

from retrue.base.manual_files import JOB, manual, picture
from retrue.base.manual_find import Found, look_up, nearest
from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.web.manual_html import page_html, part_html
from retrue.web.pages import render

HELP = "/help"
MOST = 12
TYPES = {"png": "image/png", "webp": "image/webp"}
DAY = {"cache-control": "private, max-age=86400"}


@dataclass(frozen=True, slots=True)
class Place:
    """One place that was found: its name, where it is, and on which page."""

    words: str
    path: str
    title: str


async def show_help(request: Request) -> Response:
    """The manual: a word looked up, and all pages of it."""
    asked = request.query_params.get("word", "")[:200].strip()
    found = look_up(manual(), asked) if asked else []
    places = list(dict.fromkeys(map(_place, found)))[:MOST]
    return render(
        request,
        "manual.html",
        phase=-1,
        title=say("The manual"),
        asked=asked,
        best=_best(found[0]) if found else None,
        places=places,
        nearest=[] if found or not asked else nearest(manual(), asked),
        whole=page_html("index", _below_title("index")),
    )


async def show_page(request: Request) -> Response:
    """One page of the manual."""
    name = request.path_params["page"]
    pages = manual().pages
    if name not in pages:
        close = nearest(manual(), name, 1)
        raise Unknown(
            say("the manual has no page called so"),
            remedy=say("Look for “{word}” on /help.", word=close[0])
            if close
            else say("All pages are named on /help."),
        )
    return render(
        request,
        "manual.html",
        phase=JOB.index(name) if name in JOB else -1,
        title=manual().title(name),
        asked="",
        best=None,
        places=[],
        nearest=[],
        whole=page_html(name, pages[name]),
        inside=[one for one in manual().sections if one.page == name and one.level == 2],
    )


async def show_picture(request: Request) -> Response:
    """One picture of the manual."""
    name = request.path_params["name"]
    content, ending = picture(name), name.rpartition(".")[2]
    if content is None or ending not in TYPES:
        raise Unknown(
            say("the manual has no picture called so"),
            remedy=say("Open the page of the manual that shows it."),
        )
    return Response(content, media_type=TYPES[ending], headers=DAY)


def _place(one: Found) -> Place:
    section = one.section
    return Place(one.words, f"{HELP}/{section.page}#{section.anchor}", section.title)


def _best(one: Found) -> tuple[Place, Markup]:
    return _place(one), part_html(one.section, one.text)


def _below_title(page: str) -> str:
    return manual().pages[page].partition("\n")[2]
