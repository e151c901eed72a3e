"""The bench of plans reads what is published as it is, and says what it did not run."""

from __future__ import annotations

import importlib
from pathlib import Path

import pytest

BENCH = Path(__file__).resolve().parents[2] / "bench"
# Our own project, in the published form: jobs 2 and 3 share R 1, 3 to 5 share R 2:
# whichever of 3 and 5 is last, 5 waits for 2 and one waits for the other; by hand it takes 12.
PROJECT = """\
************************************************************************
jobs (incl. supersource/sink ):  6
RESOURCES
  - renewable                 :  2   R
************************************************************************
PROJECT INFORMATION:
pronr.  #jobs rel.date duedate tardcost  MPM-Time
    1      4      0       10        0       7
************************************************************************
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          3           2   3   4
   2        1          1           5
   3        1          1           6
   4        1          1           6
   5        1          1           6
   6        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1  R 2
------------------------------------------------------------------------
  1      1     0       0    0
  2      1     4       2    0
  3      1     5       2    1
  4      1     2       0    1
  5      1     3       1    1
  6      1     0       0    0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1  R 2
    3    1
************************************************************************
"""


@pytest.fixture
def bench(monkeypatch):
    monkeypatch.syspath_prepend(str(BENCH))
    return importlib.import_module("projects"), importlib.import_module("plan")


def test_a_published_folder_is_planned_to_its_optimum_and_one_that_is_missed_is_named(
    bench, tmp_path
):
    projects, _ = bench
    (tmp_path / "own_1.sm").write_text(PROJECT)
    (tmp_path / "optimum").mkdir()
    (tmp_path / "optimum" / "optimum.csv").write_text(
        "problem,optimum\nown_1.sm,12\nown_2.sm,9..11\n"
    )
    assert projects.optima(tmp_path) == {"own_1": 12}
    said = list(projects.published(tmp_path))
    assert len(said) == 1
    assert said[0].startswith("1 published projects: optimum reached in 1, proved in 1")
    (tmp_path / "optimum" / "optimum.csv").unlink()
    (tmp_path / "optimum.txt").write_text("own_1.sm 11\n")
    assert list(projects.published(tmp_path))[1] == "  missed: own_1 12 instead of 11"


def test_without_a_folder_the_published_projects_are_not_run_and_it_says_why(bench, tmp_path):
    projects, _ = bench
    assert "NOT RUN" in next(projects.published(None))
    assert "NOT RUN" in next(projects.published(tmp_path))


def test_a_lot_is_proved_and_its_promise_is_lived_through(bench, monkeypatch):
    _, plan = bench
    whole = plan.restoration
    monkeypatch.setattr(plan, "restoration", lambda seed: whole(seed, 1, 36))
    assert "proved 1 of 1" in next(plan.twenty(1))
    first, second = plan.kept(6)
    assert "as promised" in first
    assert "twice as long" in second
