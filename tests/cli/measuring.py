"""How the tests of measuring are called at the keyboard."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.house.paste import EXAMPLE_OPTIONS

from retrue.cases.prove.deed import deed

HOME = Path(__file__).resolve().parents[2]
EXAMPLES = HOME / "examples" / "prove"
LEVEL = "x_mm,y_mm,direction,tilt_um_per_m\n200,100,x,68\n200,100,y,50\n1800,900,x,84\n"


def example(test: str) -> Path:
    return EXAMPLES / deed(test).example


def options(test: str) -> list[str]:
    told = EXAMPLE_OPTIONS.get(test, {}).items()
    return [part for id, value in told for part in ("--" + id.replace("_", "-"), value)]


def prove(call, test: str, *more: str, file: Path | None = None):
    return call("prove", test, file or example(test), *options(test), *more)


def told(door) -> dict[str, Any]:
    assert door.code in (0, 1), door.err
    answer = json.loads(door.out)
    assert list(answer) == sorted(answer)
    return answer


def refused(door) -> dict[str, Any]:
    assert door.code == 2, door.out
    answer: dict[str, Any] = json.loads(door.out)
    return answer
