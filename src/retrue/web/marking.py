"""Every form says what its page knew and whether it may wait: put in here, once, for all pages."""

from __future__ import annotations

import re
from html import unescape
from uuid import uuid4

from markupsafe import Markup

from retrue.base.say import say
from retrue.web.waiting import may_wait

_FORM = re.compile(r'(<form\b[^>]*\bmethod="post"[^>]*)>(.*?)</form>', re.DOTALL)
_ACTION = re.compile(r'\baction="([^"]*)"')
_OWN_WAY = re.compile(r"\b(data-tick|data-camera|data-watches|data-kept|data-outbox|hx-post)\b")
PAGE = '<div id="page">'


def marked(page: str, knows: int, undecided: int) -> str:
    """A page whose forms carry the number of the newest record it was made from.

    Parameters
    ----------
    page : str
        As HTML.
    knows : int
        Of the newest record there was before anything on the page was read.
    undecided : int
        How many times two said something else, and nobody has said which counts.

    Returns
    -------
    str
        The page; a form that may wait has an id of its own, so that sent twice it is kept once.
    """
    page = _FORM.sub(lambda found: _form(found[1], found[2], knows), page)
    return page.replace(PAGE, f"{PAGE}{_asks(undecided)}", 1) if undecided else page


def _form(opening: str, inside: str, knows: int) -> str:
    found = _ACTION.search(opening)
    waits = found is not None and may_wait(unescape(found[1]))
    hidden = Markup('<input type="hidden" name="knows" value="{}">').format(knows)
    if waits and 'name="id"' not in inside:
        hidden += Markup('<input type="hidden" name="id" value="{}">').format(uuid4())
    return f"{opening}{_way(opening, waits=waits)}>{hidden}{inside}</form>"


def _way(opening: str, *, waits: bool) -> str:
    """What the page's own program does with it while the laptop is away."""
    if waits:
        way = "" if _OWN_WAY.search(opening) else " data-outbox"
        says = say("Waits on this device: {what}")
        full = say(
            "This device is full: it could not be kept here. Send it when the laptop answers."
        )
        return way + Markup(' data-stays="{}" data-full="{}"').format(says, full)
    if _OWN_WAY.search(opening):
        return ""
    says = say(
        "This needs the laptop, and it does not answer. Nothing you typed is lost: press again "
        "when it is back."
    )
    return Markup(' data-laptop="{}"').format(says)


def _asks(undecided: int) -> str:
    words = say("{count} things are said in two ways: say which counts", count=undecided)
    if undecided == 1:
        words = say("One thing is said in two ways: say which counts")
    return Markup(
        '<div class="caution" role="status" id="undecided"><p><a href="/twice">{}</a></p></div>'
    ).format(words)
