"""What a fact of first power must say before it is kept."""

from __future__ import annotations

from dataclasses import replace

import pytest

from retrue.records.checking import problems_of
from retrue.records.waking import Sensed, StageBegun, StageEnded, WatchBegun, WatchReadings

WHERE = {"lot": "hall 3", "machine": "mill"}
ENDED = StageEnded(**WHERE, stage="P8-V", begun="1", how="signed", name="J. Peeters")
WATCH = WatchBegun(**WHERE, heard=True)
ROWS = WatchReadings(**WHERE, watch="1", rows=(("2026-11-25T20:00:05+01:00", "nose", 24.5),))
SENSED = Sensed(**WHERE, sort="sound", readings=(("level_a_db", 78.0),))


@pytest.mark.parametrize("fact", [ENDED, WATCH, ROWS, SENSED])
def test_whole_facts_are_kept(fact):
    assert list(problems_of(fact)) == []


@pytest.mark.parametrize(
    ("fact", "where"),
    [
        (replace(ENDED, how="aborted"), "why"),
        (replace(ENDED, name=" "), "name"),
        (StageBegun(**WHERE, stage="P0-V", by_name=""), "by_name"),
        (replace(WATCH, heard=False), "heard"),
        (replace(ROWS, rows=()), "rows"),
        (replace(ROWS, rows=(("20:00", "nose", 24.5),)), "rows"),
        (replace(ROWS, rows=(("2026-11-25T20:00:05", "nose", 24.5),)), "rows"),
        (replace(ROWS, rows=(("2026-11-25T20:00:05+01:00", "nose", float("nan")),)), "rows"),
        (replace(SENSED, readings=()), "readings"),
        (replace(SENSED, file="recording.wav"), "file"),
    ],
)
def test_what_is_lacking_is_named(fact, where):
    assert where in [problem.where for problem in problems_of(fact)]


def test_a_watch_with_paper_needs_no_alarm():
    assert list(problems_of(replace(WATCH, alarm="paper", heard=False))) == []
