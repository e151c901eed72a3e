"""Scripts of one page share one room of names: a name declared twice stops the second of them."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest

import retrue.web

HOME = Path(retrue.web.__file__).parent
# ECMA-262, 16.1.7, GlobalDeclarationInstantiation, steps 3 to 4: a let or const of a name that the
# page has already is a SyntaxError, and nothing of that script is run.
DECLARED = re.compile(r"^(?:async )?(?:function\*?|const|let|var|class) +([\w$]+)", re.MULTILINE)
ASKED = re.compile(r"<script src=\"\{\{ asset\('([\w.]+\.js)'\)")
BASE = HOME / "templates/base.html"  # every page begins with its scripts


def scripts_of(template: Path) -> tuple[str, ...]:
    """What a page of this template loads, in order; htmx, another's, declares nothing by name."""
    asked = dict.fromkeys(
        name for one in (BASE, template) for name in ASKED.findall(one.read_text(encoding="utf-8"))
    )
    return tuple(name for name in asked if name != "htmx.min.js")


def names(scripts: tuple[str, ...]) -> Counter[str]:
    read = [(HOME / "static" / one).read_text(encoding="utf-8") for one in scripts]
    return Counter(name for text in read for name in DECLARED.findall(text))


TOGETHER = sorted({scripts_of(one) for one in (HOME / "templates").rglob("*.html")})


@pytest.mark.parametrize("scripts", TOGETHER, ids=lambda scripts: scripts[-1])
def test_no_name_is_declared_twice_on_one_page(scripts: tuple[str, ...]) -> None:
    found = names(scripts)
    assert len(found) > 30
    assert [name for name, count in found.items() if count > 1] == []


def test_the_pages_with_scripts_of_their_own_are_all_read() -> None:
    read = {name for scripts in TOGETHER for name in scripts}
    own = {one.name for one in (HOME / "static").glob("*.js")}
    # a worker and the clock of a watch have rooms of their own
    assert own - read == {"htmx.min.js", "worker.js", "tick.js"}
