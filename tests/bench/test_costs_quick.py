"""The bench of the page of what it cost, in small: every page answers."""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

import pytest
from tests.library import load

BENCH = Path(__file__).resolve().parents[2] / "bench"


def test_a_small_run_tells_of_lot_and_machine(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.syspath_prepend(str(BENCH))
    costs = importlib.import_module("costs")
    monkeypatch.setattr(costs, "load", load)
    monkeypatch.setattr(costs, "WORLDS", 100)
    monkeypatch.setattr(costs.books, "LOTS", 2)
    monkeypatch.setattr(sys, "argv", ["costs.py", "--lines", "40", "--pages", "1"])
    costs.main()
    told = capsys.readouterr().out
    assert "40 lines, 4 machines" in told
    assert told.count("first ") == 3
