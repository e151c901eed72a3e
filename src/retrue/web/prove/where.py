"""Which lot, machine and test a page of measuring stands at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.kinds.library import Kind
from retrue.phases import prove, worth
from retrue.phases.prove import SetView
from retrue.phases.worth import LotView
from retrue.records.facts import Machine
from retrue.web.door import deed
from retrue.web.pages import render

MEASURE = 6  # its place on the path


@dataclass(frozen=True, slots=True)
class Place:
    """A machine in its lot, with the address of its pages."""

    view: LotView
    key: str
    machine: Machine
    kind: Kind

    @property
    def path(self) -> str:
        """Where the machine's own page is."""
        return f"/lots/{self.view.id}/machines/{self.key}"

    @property
    def bench(self) -> str:
        """Where its tests are listed."""
        return f"{self.path}/measure"


async def place_of(request: Request, lot: str = "", machine: str = "") -> Place:
    """The machine that the address names, or the one that is given."""
    lot = lot or request.path_params["lot"]
    machine = machine or request.path_params["machine"]
    view: LotView = await deed(worth.view_lot, request, lot)
    record = await deed(worth.machine_of, request, view.id, machine)
    kind = request.app.state.kinds[record.fact.kind]
    return Place(view, view.machine_id(machine), record.fact, kind)


async def set_of(request: Request) -> tuple[SetView, Place]:
    """The set of readings that the address names, and its machine."""
    kinds = request.app.state.kinds
    view: SetView = await deed(prove.open_set, request, request.path_params["set"], kinds)
    fact = view.record.fact
    return view, await place_of(request, fact.lot, fact.machine)


def show(request: Request, template: str, place: Place | None, /, **values: Any) -> Response:
    """A page of measuring."""
    return render(request, f"prove/{template}", **{"phase": MEASURE, "place": place} | values)
