"""The import contract holds, and it bites: each kind of wrong import is planted and refused."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

HOME = Path(__file__).resolve().parents[2]


def lint(home: Path) -> subprocess.CompletedProcess[str]:
    """Run the contract of one tree, whatever else is importable."""
    return subprocess.run(
        [str(Path(sys.executable).parent / "lint-imports"), "--no-logo", "--no-cache"],
        cwd=home,
        env={**os.environ, "PYTHONPATH": str(home / "src"), "NO_COLOR": "1"},
        capture_output=True,
        text=True,
        check=False,
    )


def copied(folder: Path) -> Path:
    """A copy of the house that may be spoiled."""
    shutil.copytree(
        HOME / "src", folder / "src", ignore=shutil.ignore_patterns("__pycache__", "static")
    )
    shutil.copy(HOME / "pyproject.toml", folder)
    return folder


def plant(tree: Path, module: str, line: str) -> None:
    """Add an import to a module of the copy; a module that is not there is made."""
    path = tree / "src" / "retrue" / module
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("a", encoding="utf-8") as file:
        file.write(f"\n{line}\n")


def test_the_contract_is_kept():
    told = lint(HOME)
    assert told.returncode == 0, told.stdout + told.stderr
    assert "0 broken" in told.stdout


WRONG = {
    "the ground floor looks up": ("base/money.py", "import retrue.records.facts", "Imports look"),
    "a science asks a phase": ("science/planted.py", "import retrue.phases", "Imports look"),
    "a room looks into the next": ("belief/planted.py", "import retrue.choose", "Imports look"),
    "a deed asks for the store": ("phases/planted.py", "import retrue.store", "Imports look"),
    "one door knows the other": ("web/planted.py", "import retrue.cli", "Imports look"),
    "a belief asks a database": ("belief/planted.py", "import sqlalchemy", "What thinks"),
    "a case asks for a command": ("cases/planted.py", "import click", "What thinks"),
    "a page asks a database": ("web/planted.py", "import sqlalchemy", "Only the store"),
    "paper knows pages": ("paper/planted.py", "import starlette", "Only the web"),
}


@pytest.fixture(scope="module")
def spoiled(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What is said of a copy in which every wrong import of the list was planted."""
    home = copied(tmp_path_factory.mktemp("spoiled"))
    for module, line, _ in WRONG.values():
        plant(home, module, line)
    plant(home, "phases/planted_one.py", '"""One."""')
    plant(home, "phases/planted_two.py", "import retrue.phases.planted_one")
    plant(home, "attic/__init__.py", '"""Nobody planned this."""')
    told = lint(home)
    assert told.returncode == 1, told.stdout + told.stderr
    return told.stdout


@pytest.mark.parametrize("wrong", WRONG)
def test_a_planted_import_is_refused(spoiled: str, wrong: str):
    module, line, contract = WRONG[wrong]
    importer = "retrue." + module.removesuffix(".py").replace("/", ".")
    (refused,) = [part for part in broken(spoiled) if part.startswith(contract)]
    assert re.search(rf"{importer} -> {line.removeprefix('import ')}\b", refused), refused


def test_a_phase_cannot_import_a_phase(spoiled: str):
    (refused,) = [part for part in broken(spoiled) if part.startswith("A phase never imports")]
    assert "retrue.phases.planted_two -> retrue.phases.planted_one" in refused


def test_only_what_is_broken_is_said_to_be(spoiled: str):
    """Each contract that has a wrong import, and each once."""
    contracts = {contract for _, _, contract in WRONG.values()} | {"A phase never"}
    assert len(broken(spoiled)) == len(contracts)


def broken(told: str) -> list[str]:
    """What is said of each broken contract, its name first."""
    _, _, parts = told.partition("Broken contracts")
    return [part.strip("- \n") for part in re.split(r"\n(?=[^\n]+\n-{5,}\n)", parts)[1:]]


def test_a_room_that_is_on_no_floor_is_refused(spoiled: str):
    (floors,) = [part for part in broken(spoiled) if part.startswith("Imports look")]
    assert "not listed as layers:\n\n- retrue.attic\n" in floors
