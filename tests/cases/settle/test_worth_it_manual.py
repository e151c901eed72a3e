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
JSON = (HOME / "docs" / "json.md").read_text(encoding="utf-8")
BESIDE = {"schema", "why"}


def keys_under(page: str, *headings: str) -> set[str]:
    part = page
    for heading in headings:
        part = part.split(heading, 1)[1]
    part = re.split(r"\n(?:#|A row:)", part, maxsplit=1)[0]
    return set(re.findall(r"^\| `(\w+)` \|", part, re.MULTILINE))


@pytest.mark.parametrize(
    ("headings", "sort", "more"),
    [
        (("### settle.rate.1",), HourRateView, BESIDE | {"because"}),
        (("### settle.versus.1",), VersusView, BESIDE),
        (("### settle.versus.1", "\nA row:"), VersusRow, set()),
    ],
)
def test_every_key_is_in_the_manual(headings: tuple[str, ...], sort: type, more: set[str]) -> None:
    assert keys_under(JSON, *headings) == {one.name for one in fields(sort)} | more


def test_every_figure_is_in_the_manual() -> None:
    assert keys_under(PAGE, "### Figures") == set(RUN_ITEMS)


def test_the_example_says_what_the_manual_says_of_it() -> None:
    """Common practice, from memory: 12 582 over 900 h is 14 an hour, a new one 22."""
    path = HOME / "examples" / "settle" / "hour-rate.toml"
    told = flat_rate(rate_of_file(read_rate(path.read_bytes(), path.name)))
    assert round(told["an_hour"]["mean"]) == 14
    assert told["asked"] == pytest.approx((told["an_hour"]["mean"] + 45) / 0.8)
