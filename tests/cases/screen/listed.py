"""Lots of an invented catalogue, for tests: a lathe, a mill, each worth having."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from tests.cases.priced import LATHE, MILL, lot, used

from retrue.cases.screen.listing import ListedLot
from retrue.cases.screen.parts import Part, PartDone
from retrue.cases.screen.score import score_part
from retrue.kinds.library import Kind


def listed(
    number: str, *machines: str, stand_in: bool = False, line: int = 2, **terms: object
) -> ListedLot:
    """One line that was read: a lathe unless told otherwise."""
    case = lot(machines=machines or ("lathe",), **terms)
    dear = tuple(used(kind, 36_000, 40_000, 46_000) for kind in (MILL, LATHE))  # else: worth having
    case = replace(case, lot=replace(case.lot, name=number), alternatives=dear)
    return ListedLot(
        number=number,
        line=line,
        title=f"turning centre {number}",
        case=case,
        why="",
        kinds=tuple(machine.kind for machine in case.machines),
        stand_in=stand_in,
        said=(),
        gaps=(),
    )


def cabinet(number: str = "99", line: int = 9) -> ListedLot:
    """A line that is no machine."""
    return replace(
        listed(number, line=line), title="cabinet", case=None, why="is no machine", kinds=()
    )


def small_parts(count: int, worlds: int = 100) -> tuple[Part, ...]:
    """Parts of two lots each."""
    return tuple(
        Part(
            number=number,
            lots=(listed(f"{number}a", line=2 * number), listed(f"{number}b", stand_in=True)),
            seed=7,
            worlds=worlds,
        )
        for number in range(count)
    )


KILLS = 2  # the part that ends its worker


def killed_once(part: Part, kinds: Mapping[str, Kind]) -> PartDone:
    """The true work, but the first who takes part ``KILLS`` is killed; he leaves a mark."""
    mark = Path(os.environ["RETRUE_TEST_KILL"])
    if part.number == KILLS and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return score_part(part, kinds)


def always_killed(part: Part, kinds: Mapping[str, Kind]) -> PartDone:
    """The true work, but whoever takes part ``KILLS`` is killed."""
    if part.number == KILLS:
        time.sleep(0.05)  # its neighbours are at work by then
        os.kill(os.getpid(), signal.SIGKILL)
    return score_part(part, kinds)
