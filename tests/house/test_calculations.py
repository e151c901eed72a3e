"""The manual has a note for every quantity, names each page once, and goes with the program."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

from hatchling.builders.wheel import WheelBuilder
from tests.house.calculations import MARKS, PHASES, THINKING, mark, told, where
from tests.house.test_docstrings import modules, public
from tests.house.trees import tree_of

HOME = Path(__file__).resolve().parents[2]
DOCS = HOME / "docs"


def test_every_quantity_that_is_reckoned_has_a_note():
    lacking = []
    for phase in PHASES:
        page = (DOCS / f"calculations-{phase}.md").read_text(encoding="utf-8")
        noted = set(re.findall(r"^### `(\w+)` \((\w+)\)$", page, re.MULTILINE))
        wanted = {(one.name, path.stem) for path in where(phase) for one in told(path)}
        assert noted == wanted
    every = {path for phase in PHASES for path in where(phase)}
    for room in THINKING:
        for path in modules(room):
            if list(public(tree_of(path))) and path not in every:
                lacking.append(str(path))
    assert lacking == []


def test_a_note_says_what_comes_out_where_from_how_sure_and_by_what_it_is_held():
    rows = ("gives", "how", "source", "mark", "give or take", "checked")
    for phase in PHASES:
        page = (DOCS / f"calculations-{phase}.md").read_text(encoding="utf-8")
        for note in page.split("\n### ")[1:]:
            without = [row for row in rows if f"\n- *{row}*: " not in note]
            assert without == [], note.splitlines()[0]
        tests = set(re.findall(r"`tests/([\w/]+\.py)", page))
        assert all((HOME / "tests" / one).is_file() for one in tests)


def test_a_mark_is_read_from_the_words_beside_the_source():
    assert mark("ISO 230-2:2014, clause 3 (from memory).") == "from memory"
    assert mark("secondary source, unverified") == "unverified, secondary source"
    assert mark("ISO 1").startswith("the source is named")
    page = (DOCS / "calculations.md").read_text(encoding="utf-8")
    assert all(f"| {name} |" in page for _, name in MARKS)


def test_the_first_page_names_each_page_once():
    index = (DOCS / "index.md").read_text(encoding="utf-8")
    named = re.findall(r"\]\(([\w-]+)\.md\)", index)
    assert sorted(named) == sorted({path.stem for path in DOCS.glob("*.md")} - {"index"})


def test_the_manual_goes_with_the_program(tmp_path: Path):
    made = next(iter(WheelBuilder(str(HOME)).build(directory=str(tmp_path), versions=["standard"])))
    with zipfile.ZipFile(made) as wheel:
        inside = {name for name in wheel.namelist() if name.startswith("retrue/manual/")}
    wanted = [one for one in DOCS.rglob("*") if one.is_file()]
    assert inside == {f"retrue/manual/{one.relative_to(DOCS)}" for one in wanted}
