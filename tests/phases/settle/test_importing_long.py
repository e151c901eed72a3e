"""A bank that tells a long story: it is kept, cut where it names the line, whole in its text."""

from __future__ import annotations

from datetime import date

import pytest

from retrue.cases.settle.bring_lines import Choices
from retrue.phases import settle
from retrue.records.settling import Posting

ON = date(2026, 11, 26)
STORY = "kogellagers voor de freesmachine, " * 20  # 680 characters


@pytest.mark.parametrize(
    ("heading", "row"),
    [
        ("date,amount,currency,description", f'2026-11-03,-45.50,EUR,"{STORY}"'),
        ("date,amount,currency,counterparty,description", f'2026-11-03,-45.50,EUR,x,"{STORY}"'),
        ("date,amount,currency,reference", f'2026-11-03,-45.50,EUR,"{STORY}"'),
        ("date,amount,currency,counterparty", f'2026-11-03,-45.50,EUR,"{STORY}"'),
    ],
)
def test_a_long_story_is_kept_whole_and_read_once(shop, kinds, heading, row):
    content = f"{heading}\n{row}\n".encode()
    for count in (1, 0):
        told = settle.read_import(shop, content, "bank.csv", kinds, on=ON)
        assert len(settle.keep_import(shop, told, Choices(), on=ON, by="owner")) == count
    (kept,) = shop.current(Posting)
    assert len(kept.fact.what) <= 300
    assert len(kept.fact.whom) <= 300
    assert STORY.strip() in kept.fact.text
