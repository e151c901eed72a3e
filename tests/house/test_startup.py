"""A question about the commands is answered without loading what reckons, keeps or draws."""

from __future__ import annotations

import subprocess
import sys

import pytest

HEAVY = ("numpy", "scipy", "sqlalchemy", "ortools", "matplotlib", "rich", "starlette", "typst")
ASK = """
import sys
sys.argv = ["retrue", *{arguments!r}]
from retrue.wiring import main
try:
    main()
except SystemExit as end:
    assert not end.code, end.code
print("LOADED", *sorted(sys.modules))
"""


def loaded(*arguments: str) -> set[str]:
    told = subprocess.run(
        [sys.executable, "-c", ASK.format(arguments=arguments)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert told.returncode == 0, told.stderr
    assert "LOADED" in told.stdout, told.stderr
    return set(told.stdout.rpartition("LOADED")[2].split())


@pytest.mark.parametrize(
    "arguments", [("--help",), ("worth", "--help"), ("prove", "--help"), ("--version",)]
)
def test_help_loads_nothing_heavy(arguments: tuple[str, ...]):
    assert loaded(*arguments) & set(HEAVY) == set()


def test_the_package_itself_loads_nothing():
    told = subprocess.run(
        [sys.executable, "-c", "import sys, retrue; print(*sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert not [name for name in told.stdout.split() if name.startswith("retrue.")]
    assert set(told.stdout.split()) & set(HEAVY) == set()
