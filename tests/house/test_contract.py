"""The import contract holds, and it bites: each kind of wrong import is planted and refused."""

from __future__ import annotations

import os
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


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """A copy of the house that may be spoiled."""
    shutil.copytree(
        HOME / "src", tmp_path / "src", ignore=shutil.ignore_patterns("__pycache__", "static")
    )
    shutil.copy(HOME / "pyproject.toml", tmp_path)
    return tmp_path


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


@pytest.mark.parametrize("wrong", WRONG)
def test_a_planted_import_is_refused(tree: Path, wrong: str):
    module, line, contract = WRONG[wrong]
    plant(tree, module, line)
    told = lint(tree)
    assert told.returncode == 1, told.stdout + told.stderr
    broken = [row for row in told.stdout.splitlines() if row.endswith("BROKEN")]
    assert len(broken) == 1
    assert broken[0].startswith(contract)


def test_a_phase_cannot_import_a_phase(tree: Path):
    plant(tree, "phases/planted_one.py", '"""One."""')
    plant(tree, "phases/planted_two.py", "import retrue.phases.planted_one")
    told = lint(tree)
    assert told.returncode == 1, told.stdout + told.stderr
    assert "A phase never imports a phase BROKEN" in told.stdout


def test_a_room_that_is_on_no_floor_is_refused(tree: Path):
    plant(tree, "attic/__init__.py", '"""Nobody planned this."""')
    told = lint(tree)
    assert told.returncode == 1, told.stdout + told.stderr
    assert "attic" in told.stdout
