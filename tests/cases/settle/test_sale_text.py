"""The listing in words: what the condition record states, and nothing that was only told."""

from __future__ import annotations

import re
from typing import Any

import pytest

from retrue.base.refusals import Unknown
from retrue.cases.settle.record_lines import (
    Claim,
    ConditionRecord,
    GuardLine,
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
    assert re.search(r"spindle quiet cold \([^)]* An [^)]*2026-11-20\)", told)
    read = "6.2 ± 1.1" if language == "en" else "6,2 ± 1,1"  # CLDR: their decimal mark
    assert f"Reversal, X: {read} µm, 2026-11-21" in told
    for never in ("never crashed", "screws dry", "Level:"):
        assert never not in told
    assert "Turret" in told


class TestWhatSpeaksAgainstIt:
    """A listing that leaves out what its seller knows is what the law calls a hidden fault."""

    @pytest.mark.parametrize("language", LANGUAGES)
    def test_known_faults_and_what_is_proved_bad_stand_first_and_uncut(self, language: str) -> None:
        seen = [Claim(what=f"fault {at}", grade=3, by="An", on="2026-11-20") for at in range(30)]
        heard = Claim(what="gearbox howls", grade=0, by="the seller", on="2026-11-01")
        bad = proved(title="Level", value=90.0, unit="µm/m", limit=40.0, ruling="proved_bad")
        told = listing_text(record(known=part((*seen, heard)), proved=(proved(), bad)), None, "EUR",
                            language=language)  # fmt: skip
        first = told.index("spindle quiet cold")
        for words in (*(f"fault {at} (" for at in range(30)), "Level: 90", "gearbox howls ("):
            assert told.index(words) < first
        assert told.index("fault 29 (") < told.index("gearbox howls")

    @pytest.mark.parametrize(
        ("ruling", "words"),
        [
            ("proved_good", "proved good"),
            ("not_proved", "not proved"),
            ("proved_bad", "proved bad"),
        ],
    )
    def test_no_number_stands_without_its_limit_and_its_ruling(
        self, ruling: Any, words: str
    ) -> None:
        told = listing_text(record(proved=(proved(ruling=ruling),)), None, "EUR")
        (line,) = (one for one in told.split("\n") if one.startswith("- Reversal, X"))
        assert line.replace("\u202f", " ").endswith(f"limit 10.0 µm, {words}")

    def test_what_is_bad_stands_in_it_though_it_is_provisional(self) -> None:
        bad = proved(title="Level", ruling="proved_bad", apart="provisional")
        told = listing_text(record(proved=(bad,)), None, "EUR")
        assert "proved bad, provisional" in told

    def test_guards_that_are_not_proved_are_named(self) -> None:
        lines = (
            GuardLine(id="door", name="Door interlock", state="defeated", words="Defeated."),
            GuardLine(id="panel", name="Panel lock", state="proved", words="Proved.", grade=3,
                      open=False),
        )  # fmt: skip
        told = listing_text(record(sold_as="parts", guards=lines), None, "EUR")
        assert "Door interlock: Defeated." in told
        assert "Panel lock" not in told


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
