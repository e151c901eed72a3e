"""Every record of a full shop is taken back in turn: no page falls over what is gone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from retrue.base.refusals import Refusal
from retrue.records.facts import Lot, Machine

PAGES = ("/", "/settle", "/fix/buy", "/lots/{lot}", "/lots/{other}")
LATER = ("/fix", "/kept", "/search?words=mill", "/settle/book", "/lots/{other}/freeze")


@pytest.fixture
def full(bench: Any, tmp_path: Path) -> Iterator[Any]:
    shop = bench.strange_shop(tmp_path)
    made = bench.Strangers(replace(shop, pages=[]), seed=1)  # no form is filled in here
    yield made
    made.close()


@pytest.fixture
def fallen(full: Any) -> Callable[..., list[str]]:
    """Which pages the owner is not shown."""
    lots = {"lot": full.shop.fitting["lot"][0], "other": full.shop.fitting["lot"][-1]}

    def look(*pages: str) -> list[str]:
        answers = {page: full._send("laptop", "GET", page.format(**lots), [], b"")
                   for page in pages or PAGES}  # fmt: skip
        return [f"{page}: {one.status}" for page, one in answers.items() if one.status >= 500]

    return look


def test_what_was_kept_of_a_machine_that_is_gone_breaks_no_page(full, fallen):
    assert fallen(*PAGES, *LATER) == []
    kept = full.shop.kept
    gone = kept.current(Machine)[::-1]
    for machine in gone:  # the words of the others hang on nothing then
        kept.withdraw(machine.id, by="owner")
        assert fallen() == []
    assert fallen(*LATER) == []
    told = full._send("laptop", "GET", "/settle", [], b"").text
    assert f"{gone[0].fact.name}, taken back" in told
    for lot in kept.current(Lot):
        kept.withdraw(lot.id, by="owner")
    assert fallen(*PAGES, *LATER) == []


def test_one_after_the_other_from_the_first_to_the_last(full, fallen):
    assert fallen(*PAGES, *LATER) == []
    taken = 0
    for row in list(full.shop.kept.rows()):
        try:
            full.shop.kept.withdraw(row.id, by="owner")
        except Refusal:
            continue  # it was replaced since
        taken += 1
        assert fallen("/", "/settle", "/fix/buy") == [], row.kind
    assert taken > 30
    assert fallen(*LATER) == []
