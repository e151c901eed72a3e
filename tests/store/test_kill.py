"""A killed writer loses nothing it acknowledged, on either database."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from tests.fakes.postgresql import programs

ROOT = Path(__file__).resolve().parents[2]
DATABASES = ["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)]


def kill(*arguments: str) -> subprocess.CompletedProcess[str]:
    """Kill writers in a process of its own: it forks, and has no threads."""
    return subprocess.run(
        [sys.executable, str(ROOT / "bench" / "kill.py"), *arguments],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
    )


@pytest.mark.parametrize("database", DATABASES)
def test_forty_kills_at_random_moments_lose_nothing(database):
    if database == "postgresql" and programs() is None:
        pytest.skip("NOT RUN: PostgreSQL is not installed")
    done = kill("--kills", "40", "--only", database)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.startswith(f"{database}: 40 kills, ")
    assert ", 0 lost, 0 kept twice, 0 damaged" in done.stdout


def test_a_writer_that_acknowledges_too_early_is_caught():
    done = kill("--kills", "40", "--only", "sqlite", "--careless")
    assert done.returncode == 1, done.stdout + done.stderr
    assert " 0 lost" not in done.stdout.splitlines()[0]
