"""The manual page names every key of the JSON and every figure; the example file fits it."""

from __future__ import annotations

import re
from dataclasses import fields
from pathlib import Path

import pytest

from retrue.cases.settle.hour_rate_file import rate_of_file, read_rate
from retrue.cases.settle.rate_json import flat_rate
from retrue.cases.settle.rate_lines import HourRateView
from retrue.cases.settle.versus_lines import VersusRow, VersusView
from retrue.records.settling import RUN_ITEMS

HOME = Path(__file__).resolve().parents[3]
PAGE = (HOME / "docs" / "worth-it.md").read_text(encoding="utf-8")
BESIDE = {"schema", "why"}


def keys_under(heading: str) -> set[str]:
    part = PAGE.split(heading, 1)[1]
    part = re.split(r"\n(?:#|A row:)", part, maxsplit=1)[0]
    return set(re.findall(r"^\| `(\w+)` \|", part, re.MULTILINE))


@pytest.mark.parametrize(
    ("heading", "sort", "more"),
    [
        ("### settle rate", HourRateView, BESIDE | {"because"}),
        ("### settle versus", VersusView, BESIDE),
        ("A row:", VersusRow, set()),
    ],
)
def test_every_key_is_in_the_manual(heading: str, sort: type, more: set[str]) -> None:
    assert keys_under(heading) == {one.name for one in fields(sort)} | more


def test_every_figure_is_in_the_manual() -> None:
    assert keys_under("### Figures") == set(RUN_ITEMS)


def test_the_example_says_what_the_manual_says_of_it() -> None:
    """Common practice, from memory: 12 582 over 900 h is 14 an hour, a new one 22."""
    path = HOME / "examples" / "settle" / "hour-rate.toml"
    told = flat_rate(rate_of_file(read_rate(path.read_bytes(), path.name)))
    assert round(told["an_hour"]["mean"]) == 14
    assert told["asked"] == pytest.approx((told["an_hour"]["mean"] + 45) / 0.8)
