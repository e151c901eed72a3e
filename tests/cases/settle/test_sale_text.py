"""The listing in words: what the condition record states, and nothing that was only told."""

from __future__ import annotations

from typing import Any

import pytest

from retrue.base.refusals import Unknown
from retrue.cases.settle.record_lines import (
    Claim,
    ConditionRecord,
    OpenItem,
    Part,
    Proved,
    Untested,
    part,
)
from retrue.cases.settle.sale_text import LANGUAGES, listing_text

NOTHING = Part()
CLAIMS = (
    Claim(what="spindle quiet cold", grade=3, by="An", on="2026-11-20"),
    Claim(what="never crashed", grade=0, by="the seller", on="2026-11-01"),
    Claim(what="screws dry", grade=1, by="the seller", on="2026-11-01"),
)


def proved(**more: Any) -> Proved:
    said: dict[str, Any] = {
        "title": "Reversal, X", "value": 6.2, "unit": "µm", "uncertainty": 1.1, "limit": 10.0,
        "source": "as agreed", "ruling": "proved_good", "words": "", "apart": "",
        "on": "2026-11-21", "by": "An", "instrument": "indicator", "certificate": "", "grade": 4,
    }  # fmt: skip
    return Proved(**said | more)


def record(**more: Any) -> ConditionRecord:
    parts = ("title", "as_found", "done", "stages", "quiet", "parts", "known", "data", "included",
             "moved")  # fmt: skip
    said: dict[str, Any] = dict.fromkeys(parts, NOTHING) | {
        "machine": "lathe", "kind": "Turning centre", "made_on": "2026-11-26", "made_by": "An",
        "sold_as": "running", "sold_words": "", "stands_for": "", "cautions": (),
        "looked": part(CLAIMS), "proved": (proved(), proved(title="Level", apart="provisional")),
        "settings": (), "live_with": (), "guards": (), "open": (), "again": (), "pictures": (),
        "untested": (Untested(place="Turret", looks=("index",)),),
    }  # fmt: skip
    return ConditionRecord(**said | more)


@pytest.mark.parametrize("language", LANGUAGES)
def test_only_what_was_seen_or_measured_stands_in_it(language: str) -> None:
    told = listing_text(record(), 9500.0, "EUR", language=language)
    assert "spindle quiet cold (Seen by An on 2026-11-20)" in told
    assert "Reversal, X: 6.2 ± 1.1 µm, 2026-11-21" in told
    for never in ("never crashed", "screws dry", "Level:"):
        assert never not in told
    assert "Turret" in told


def test_every_language_has_words_of_its_own() -> None:
    told = {listing_text(record(), None, "EUR", language=one).split("\n")[0] for one in LANGUAGES}
    assert len(told) == len(LANGUAGES)


def test_parts_say_how_much_is_open_and_that_it_is_not_to_be_used() -> None:
    item = OpenItem(id="F102", sort="stop", what="Door interlock")
    told = listing_text(record(sold_as="parts", open=(item,)), None, "EUR")
    assert "For parts or repair only. Not to be put to use" in told
    assert "Open, not cleared: 1 points" in told


def test_a_language_we_do_not_have_is_named() -> None:
    with pytest.raises(Unknown, match="language xx"):
        listing_text(record(), None, "EUR", language="xx")
