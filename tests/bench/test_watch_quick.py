"""The watch bench: its physics is what it says, and a few of its runs end as all of them should."""

from __future__ import annotations

import importlib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

BENCH = Path(__file__).resolve().parents[2] / "bench"


@pytest.fixture
def bench(monkeypatch):
    monkeypatch.syspath_prepend(str(BENCH))
    return importlib.import_module("watch")


def test_a_few_runaways_are_called_in_time_and_a_few_healthy_ones_not_at_all(bench):
    typed = bench.CADENCES[:2]
    away = [bench.one("runaway", 5, number, typed) for number in range(5)]
    assert all(bench.in_time(one) for one in away)
    assert min(bench.lead_minutes(away)) > 0
    assert all(one.reasons for one in away)
    well = [bench.one("healthy", 5, number, typed) for number in range(2)]
    assert all(np.isinf(one.called_s) for one in well)


def test_a_motor_with_nothing_wrong_settles_and_one_with_a_fault_passes_its_class(bench):
    rng = np.random.default_rng(1)
    at, hot, amps, rated, onset = bench.motor(rng, "shorted turn", 120.0, 20.0)
    before = at < onset
    assert hot[before].max() < 75
    assert np.ptp(amps[before]) < 1e-9
    assert hot[-1] > 120
    assert amps[-1] > amps[0]
    assert rated > amps[0]


def test_the_plain_limit_is_given_readings_without_the_bad_ones(bench):
    rng = np.random.default_rng(2)
    at = np.arange(0.0, 20_000.0, 2.0)
    good, read = bench.read(rng, False, at, (at, np.full(len(at), 40.0)), 0.1)
    assert np.abs(good - 40).max() < 1
    assert np.abs(read - 40).max() > 10
    assert bench.first_over((at, np.linspace(0, 100, len(at))), 50.0) == pytest.approx(1e4, abs=2)


def test_a_call_before_anything_is_wrong_does_not_count_as_in_time(bench):
    run = bench.runaway(np.random.default_rng([5, False, 0]))
    early = bench.Outcome(run, run.onset_s - 1, ("winding class_soon",), 0)
    late = replace(early, called_s=run.reached_s)
    assert not bench.in_time(early)
    assert not bench.in_time(late)
    assert bench.in_time(replace(early, called_s=run.reached_s - 1))
