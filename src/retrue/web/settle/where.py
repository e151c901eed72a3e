"""Where a page of money stands, and what every one of them needs."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.formatter import money, number
from retrue.records.facts import Fact
from retrue.records.shop import Record
from retrue.web.fix.where import today as today  # from here as well
from retrue.web.fix.where import words as fix_words
from retrue.web.pages import render

F = TypeVar("F", bound=Fact)
SETTLE = 7  # its place on the path
SETTLE_HOME = "/settle"
BACK = re.compile(r"/(lots/[\w-]+/(machines/[\w-]+/)?)?settle(/[\w.:%-]+)*(\?[\w=&.:%|-]*)?")


def machine_money(lot: str, machine: str) -> str:
    """Where the pages of money of one machine begin.

    Examples
    --------
    >>> machine_money("1f", "2e")
    '/lots/1f/machines/2e/settle'
    """
    return f"/lots/{lot}/machines/{machine}/settle"


def lot_money(lot: str) -> str:
    """Where the pages of money of one lot begin.

    Examples
    --------
    >>> lot_money("1f")
    '/lots/1f/settle'
    """
    return f"/lots/{lot}/settle"


def back_of(path: str, otherwise: str) -> str:
    """Where a form was sent from, if that is a page of money; else where it belongs.

    Examples
    --------
    >>> back_of("/settle/book?month=2026-11", "/settle"), back_of("//elsewhere", "/settle")
    ('/settle/book?month=2026-11', '/settle')
    """
    return path if BACK.fullmatch(path) else otherwise


def just_kept(
    request: Request, records: Iterable[Record[F]], title: Callable[[F], str]
) -> dict[str, str] | None:
    """What the address says was just kept, if it counts: for the line with its way back."""
    wanted = request.query_params.get("kept", "")
    for one in records if wanted else ():
        if one.id == wanted:
            return {"id": one.id, "title": title(one.fact)}
    return None


def show(request: Request, template: str, /, **values: Any) -> Response:
    """A page of money and sale."""
    known: dict[str, Any] = {
        "machine_money": machine_money,
        "lot_money": lot_money,
        "plain_money": money,
        "plain_number": number,
    }
    every = {"phase": SETTLE} | fix_words(request) | known
    return render(request, f"settle/{template}", **every | values)
