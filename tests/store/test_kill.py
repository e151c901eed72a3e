"""A killed writer and a full disk lose nothing that was acknowledged, on either database."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from tests.fakes.postgresql import programs
from tests.store.conftest import DISK

ROOT = Path(__file__).resolve().parents[2]
DATABASES = ["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)]


def kill(*arguments: str) -> subprocess.CompletedProcess[str]:
    """Kill writers in a process of its own: it forks, and has no threads."""
    return subprocess.run(
        [sys.executable, str(ROOT / "bench" / "kill.py"), *arguments],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src"), "TMPDIR": DISK},
    )


@pytest.mark.parametrize("database", DATABASES)
def test_kills_and_full_disks_at_random_moments_lose_nothing(database):
    """Twenty kills and ten full disks on each: forty and twenty in all, of every sort of write."""
    if database == "postgresql" and programs() is None:
        pytest.skip("NOT RUN: PostgreSQL is not installed")
    done = kill("--kills", "20", "--full", "10", "--only", database)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.startswith(f"{database}: 20 kills, 10 full disks, ")
    assert ", 0 lost, 0 kept twice, 0 damaged" in done.stdout
    assert " 0 refused" not in done.stdout


def test_a_writer_that_acknowledges_too_early_is_caught():
    done = kill("--kills", "20", "--only", "sqlite", "--careless")
    assert done.returncode == 1, done.stdout + done.stderr
    assert " 0 lost" not in done.stdout.splitlines()[0]
