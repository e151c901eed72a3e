"""The buying bench: it goes on where it stopped, on any number of processes, and plays fair."""

from __future__ import annotations

import importlib
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

BENCH = Path(__file__).resolve().parents[2] / "bench"
FEW = ("--purchases", "1", "--worlds", "100")  # and two to tune by, each for two truths


@pytest.fixture
def here(monkeypatch, capsys):
    """The same program, in this process."""
    monkeypatch.syspath_prepend(str(BENCH))
    program = importlib.import_module("buying")

    def run(file, *more):
        program.main(["--file", str(file), *more])
        return capsys.readouterr().out

    return run


def bench(file, *more):
    return subprocess.run(
        [sys.executable, str(BENCH / "buying.py"), "--file", str(file), *more],
        capture_output=True,
        text=True,
        check=False,
        env=os.environ | {"PYTHONHASHSEED": "7"},  # another order of sets
    )


def every(*luck):
    return {name: list(luck) for name in ("listing", "tool", "mean", "visit")}


@pytest.fixture
def rules(monkeypatch):
    monkeypatch.syspath_prepend(str(BENCH))
    return importlib.import_module("rules")


@pytest.fixture
def lot(rules):
    """A lot that a dealer would take at 2 000, worth 5 000 all in with no luck at all."""
    return importlib.import_module("buyer").Purchase(
        truth="as the tables say",
        index=0,
        asking=4_000.0,
        dealer=2_000.0,
        k=1.0,
        step=10.0,
        signs=(2, 3),
        bids={"tool": 3_000.0, "mean": 5_000.0, "visit": 3_000.0},
        costs={"tool": 20.0, "visit": 200.0},
        gains=every(5_000.0),
    )


def test_a_run_torn_off_and_taken_up_by_two_processes_writes_the_same_bytes(tmp_path, here):
    whole = tmp_path / "whole.jsonl"
    told = here(whole, *FEW, "--processes", "1")
    assert "regretted" in told
    lines = whole.read_text(encoding="utf-8").splitlines(keepends=True)
    assert len(lines) == 1 + 2 * (2 + 1)
    torn = tmp_path / "torn.jsonl"
    torn.write_text("".join(lines[:5]) + lines[5][:50], encoding="utf-8")
    again = bench(torn, *FEW, "--processes", "2")
    assert again.returncode == 0, again.stderr
    assert torn.read_bytes() == whole.read_bytes()
    assert again.stdout == told


def test_lines_of_another_run_are_not_mixed_in(tmp_path, here):
    file = tmp_path / "other.jsonl"
    file.write_text('{"worlds": 7}\n', encoding="utf-8")
    with pytest.raises(SystemExit, match="another run"):
        here(file, "--quick")
    assert file.read_text(encoding="utf-8") == '{"worlds": 7}\n'


def test_the_last_rival_stops_by_what_a_dealer_would_pay_whatever_the_truth_is(rules, lot):
    rule = rules.tool_rules()["the tool"]
    rich = replace(lot, gains=every(50_000.0))
    mine, richer = (rules.play(rule, [each], 0.45) for each in (lot, rich))
    assert richer.bought == mine.bought
    assert richer.gain[0] - mine.gain[0] == pytest.approx(45_000 * mine.bought[0])


def test_a_bid_wins_as_often_as_the_rival_stops_below_it_and_pays_one_step_more(rules, lot):
    played = rules.play(rules.share_of_asking(0.5), [lot], 0.45)
    assert played.bought[0] == pytest.approx(0.5, abs=1 / rules.STOPS)
    sure = rules.play(rules.share_of_asking(50.0), [lot], 0.225)
    wanted = 5_000 - 2_000 * np.exp(0.225**2 / 2)
    assert sure.bought[0] == 1
    assert sure.gain[0] == pytest.approx(wanted, abs=25)


def test_looking_is_paid_for_whether_the_lot_is_won_or_not(rules, lot):
    nothing = replace(lot, bids=dict.fromkeys(lot.bids, 0.0))
    for name, costs in (("the tool", 20.0), ("always visit", 200.0), ("mean, not walk-away", 20.0)):
        played = rules.play(rules.tool_rules()[name], [nothing], 0.45)
        assert (played.gain[0], played.bought[0], played.regretted[0]) == (-costs, 0, 0)


def test_who_never_buys_unseen_stays_at_home_when_the_listing_shows_too_much(rules, lot):
    assert rules.never_unseen(0.5, 1, 99)(lot).costs == 0
    there = rules.never_unseen(0.5, 2, 2)(lot)
    assert (there.costs, there.limit) == (200.0, 0.0)
    assert rules.never_unseen(0.5, 2, 3)(lot).limit == 2_000.0


def test_regret_is_counted_where_the_gain_is_below_what_was_paid(rules, lot):
    half = replace(lot, gains=every(0.0, 9_000.0))
    played = rules.play(rules.share_of_asking(50.0), [half], 0.225)
    assert played.regretted[0] == pytest.approx(0.5)


def test_rules_are_tuned_on_lots_that_are_not_judged(rules, lot):
    dear = [replace(lot, truth="tune as the tables say", asking=1_000.0)]
    rule = rules.tuned(dear, 0.225)["share of asking"]
    assert rule(lot).limit / lot.asking == pytest.approx(1.5)
    poor = [replace(dear[0], gains=every(-1.0))]
    assert rules.tuned(poor, 0.225)["share of asking"](lot).limit == pytest.approx(0.05 * 4_000)
