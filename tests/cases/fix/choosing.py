"""A machine of the invented lot with something wrong, seen from today, for tests of choices."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from tests.cases.priced import found, kinds, lot

from retrue.cases.case import Event, Happened, LotCase
from retrue.cases.fix.scene import Scene, scene_of
from retrue.records.facts import CostLine
from retrue.records.fixing import Chosen
from retrue.records.seeking import Act, Signed

ON = date(2026, 11, 26)
WORLDS = 600


def burnt(**said: object) -> LotCase:
    """The mill alone, its spindle motor found burnt at teardown."""
    here = found("open", "mill", fault="F15", answer="present", channel="apart")
    return replace(lot(here, machines=("mill",)), **said)


def scene(case: LotCase, **asked: object) -> Scene:
    """The mill of a case in a few worlds."""
    return scene_of(case, "mill", kinds(), worlds=WORLDS, **asked)


def way(fault: str, name: str) -> Chosen:
    """The owner's way."""
    return Chosen(lot="school", machine="mill", sort="way", what=fault, way=name)


def happened(*events: Event) -> tuple[Happened, ...]:
    """What happened, in this order, on one day, after all findings."""
    return tuple(
        Happened(id=f"e{place}", event=event, place=99, on="2026-11-25")
        for place, event in enumerate(events)
    )


def act(**said: object) -> Act:
    """Something done to the mill."""
    return Act(lot="school", machine="mill", **said)


def signed(stage: str) -> Signed:
    """A stop point signed by the invented owner."""
    return Signed(lot="school", machine="mill", stage=stage, name="the owner")


def figure(line: str, amount: int, **said: object) -> CostLine:
    """The owner's own figure."""
    return CostLine(
        lot="school", machine="mill", line=line, amount=Decimal(amount), reason="I know a winder",
        **said,
    )  # fmt: skip
