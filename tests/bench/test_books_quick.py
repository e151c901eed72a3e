"""The bench of the book in small: it balances, and agrees with sums made by other code."""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

import pytest
from tests.library import load

BENCH = Path(__file__).resolve().parents[2] / "bench"


def test_a_small_run_says_that_the_book_is_exact(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.syspath_prepend(str(BENCH))
    books = importlib.import_module("books")
    monkeypatch.setattr(books, "load", load)
    words = ["books.py", "--lines", "60", "--rows", "40", "--pages", "2"]
    monkeypatch.setattr(sys, "argv", words)
    books.main()
    told = capsys.readouterr().out
    assert "balanced in every currency: yes" in told
    assert "the same in whole coins by other code: yes" in told
    assert "second time" in told
    assert " 0 new lines" in told
