"""One tree of refusals, drawn and whole: each has a status, an exit code, a line in the manual."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from retrue.base import refusals
from retrue.base.refusals import Problem, Refusal
from retrue.cli.refusals import EXIT_CODES
from retrue.web.refusals import STATUS

HOME = Path(__file__).resolve().parents[2]
KINDS: set[type[Refusal]] = {
    kind for kind in vars(refusals).values() if isinstance(kind, type) and issubclass(kind, Refusal)
}
LEAVES = KINDS - {Refusal}
ORDER = sorted(LEAVES, key=lambda kind: kind.__name__)


def drawn() -> dict[str, str]:
    """Child to parent, as the module's docstring draws it."""
    above: list[tuple[int, str]] = []
    tree = {}
    for row in re.finditer(r"^( *)[*-] (\w+)", refusals.__doc__ or "", re.MULTILINE):
        depth = len(row[1])
        above = [(d, name) for d, name in above if d < depth]
        if above:
            tree[row[2]] = above[-1][1]
        above.append((depth, row[2]))
    return tree


def test_the_tree_is_drawn_as_it_is():
    assert drawn() == {kind.__name__: kind.__bases__[0].__name__ for kind in LEAVES}


def test_every_refusal_has_a_status_and_an_exit_code():
    assert set(STATUS) == LEAVES
    assert set(EXIT_CODES) == LEAVES
    assert all(400 <= status < 600 for status in STATUS.values())
    assert set(EXIT_CODES.values()) <= {1, 2, 3}


@pytest.mark.parametrize("kind", ORDER)
def test_every_refusal_has_a_true_line_in_the_manual(kind: type[Refusal]):
    manual = (HOME / "docs" / "refusals.md").read_text(encoding="utf-8")
    rows = re.findall(rf"^\| `{kind.__name__}` \|(.*)\|$", manual, re.MULTILINE)
    assert len(rows) == 1
    says, status, code, helps = (cell.strip() for cell in rows[0].split("|"))
    assert says
    assert helps
    assert (int(status), int(code)) == (STATUS[kind], EXIT_CODES[kind])


def test_the_manual_knows_no_other_refusal():
    manual = (HOME / "docs" / "refusals.md").read_text(encoding="utf-8")
    named = set(re.findall(r"^\| `(\w+)` \|", manual, re.MULTILINE))
    assert named == {kind.__name__ for kind in LEAVES}


@pytest.mark.parametrize("kind", ORDER)
def test_every_refusal_keeps_its_reason_remedy_and_problems(kind: type[Refusal]):
    problem = Problem("age", "below zero", "Leave the minus away.")
    refusal = kind("no", remedy="do this", problems=(problem,))
    assert (str(refusal), refusal.reason, refusal.remedy) == ("no", "no", "do this")
    assert refusal.problems == (problem,)
    assert str(problem) == "age: below zero. Leave the minus away."
    with pytest.raises(TypeError):
        kind("a refusal without a remedy")  # type: ignore[call-arg]  # a refusal without its remedy must not be possible
