"""A line of the diary says what was read or done in words, with its value and unit: no codes."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from tests.library import load

from retrue.base.say import speaking
from retrue.cases.diary_codes import band_words, card_words
from retrue.cases.diary_record import About, headline, told
from retrue.cases.diary_values import value_words
from retrue.cases.prove.sensed import SENSES
from retrue.kinds.spoken import spoken
from retrue.records.fixing import CardMarked, Out, Rung
from retrue.records.seeking import Act
from retrue.records.settling import Posting
from retrue.records.stripping import AsFound, CleanReading, PutBack, Taken, Ticked
from retrue.records.waking import Sensed, SensedResult, StageReading, WatchEnded

AT: dict[str, Any] = {"lot": "l", "machine": "m"}
KINDS = load()
MILL = About(kinds={"m": KINDS["vertical_machining_centre"]})
LATHE = About(kinds={"m": KINDS["turning_centre"]})


def plain(fact: Any, about: About = MILL, of: Any = None) -> str:
    return headline(fact, about, of).replace("\u202f", " ")


class TestAReadingOfAStage:
    READ = StageReading(**AT, stage="P0-V", begun="b", name="earth", point="column", reading=0.05,
                        unit="Ω", taken_by="An")  # fmt: skip

    def test_it_says_what_was_read_where_and_how_much(self):
        assert plain(self.READ).startswith("Earth, each metal part: column: 0.05 Ω, ")

    def test_its_number_is_written_as_its_reader_writes_it(self):
        with speaking("nl"):
            assert "0,05" in plain(self.READ)

    def test_its_page_says_the_same_words(self):
        rows = {one.name: one.value for one in told(self.READ, MILL)}
        assert rows["name"] == "Earth, each metal part"
        assert rows["reading"].replace("\u202f", " ") == "0.05 Ω"

    @pytest.mark.parametrize("about", [MILL, LATHE])
    def test_every_reading_of_the_library_has_its_words(self, about: About):
        kind = about.kinds["m"]
        assert kind is not None
        for stage, bands in kind.stage_readings.items():
            for band in bands:
                fact = StageReading(**AT, stage=stage, begun="b", name=band.name, reading=1.0)
                assert band.name not in plain(fact, about).split(", ")[0].split(": ")

    def test_a_run_in_step_is_named(self):
        kind = MILL.kinds["m"]
        assert band_words(kind, "P8-V", "nose_rise_step1") == "Nose over its start, step 1"
        assert band_words(kind, "P8-V", "no_such") == ""


class TestCodes:
    @pytest.mark.parametrize("about", [MILL, LATHE])
    def test_every_tick_of_every_list_says_its_own_words(self, about: About):
        kind = about.kinds["m"]
        assert kind is not None
        for tick in kind.ticks.values():
            assert plain(Ticked(**AT, list=tick.list, item=tick.id), about) == tick.text[:160]

    @pytest.mark.parametrize(
        ("key", "words"),
        [("J01", KINDS["turning_centre"].jobs["J01"].name), ("open:cabinet", "Open: Electrical"),
         ("F59:repair", KINDS["turning_centre"].faults["F59"].name),
         ("send:F59:repair", "Take out"),
         ("measure:clear", "Looks that clear"), ("unseen", "What nobody has seen yet")],
    )  # fmt: skip
    def test_a_card_is_called_by_its_title(self, key: str, words: str):
        marked = CardMarked(**AT, card=key, how="done", marked_on="2026-11-25")
        line = plain(marked, LATHE)
        assert line.startswith(words)
        assert line.endswith("done")

    def test_own_words_stay_and_an_unknown_code_too(self):
        assert card_words(KINDS["turning_centre"], "new feet") == ""
        assert (
            plain(CardMarked(**AT, card="J99", how="done", marked_on="2026-11-25")) == "J99: done"
        )

    def test_a_repair_reads_as_done_not_as_damage(self):
        act = Act(**AT, sort="replace", fault="F59", way="replace")
        fault = KINDS["turning_centre"].faults["F59"].name
        assert plain(act, LATHE) == f"{fault}: a new one fitted"

    def test_the_line_is_in_its_readers_language(self):
        with speaking("nl"):
            about = About(kinds={"m": spoken(KINDS)["vertical_machining_centre"]})
            entry = next(iter(KINDS["vertical_machining_centre"].as_found.values()))
            line = plain(AsFound(**AT, entry=entry.id), about)
        assert line
        assert not line.startswith(str.__str__(entry.text)[:20])


class TestWhatItHangsOn:
    def test_what_was_put_back_is_named(self):
        taken = Taken(**AT, place="cabinet", sort="wire", code="CFTVV6PD", what="fan, blue")
        assert "fan, blue" in plain(PutBack(**AT, taken="t", torque_nm=12.0), of=taken)
        assert plain(PutBack(**AT, taken="t", torque_nm=12.0), of=taken).endswith("12 Nm")

    def test_a_call_says_about_what(self):
        out = Out(**AT, sort="repair", line="F59:repair", what="cylinder", whom="a workshop",
                  since_on="2026-11-25")  # fmt: skip
        line = plain(Rung(lot="l", out="o", rung_on="2026-11-25", text="seals ordered"), LATHE, out)
        assert line.startswith(KINDS["turning_centre"].faults["F59"].name)
        assert line.endswith("seals ordered")

    def test_without_it_the_line_still_says_something(self):
        assert plain(WatchEnded(**AT, watch="w", how="levelled", name="An")) == "levelled, An"


class TestWhatWasMeasured:
    def test_light_says_its_number_and_unit(self):
        key = SENSES["light"].key
        said = SensedResult(**AT, sensed="s", sort="light", answer=f'{{"{key}": 616.0}}')
        assert plain(said).endswith("616 lux")
        assert plain(Sensed(**AT, sort="light", point="on the work")) == "Light, on the work"

    def test_an_answer_nobody_can_read_says_so(self):
        said = SensedResult(**AT, sensed="s", sort="light", answer="x")
        assert plain(said) == "Light, it says no number"

    def test_a_clean_reading_and_one_as_found(self):
        clean = CleanReading(**AT, place="cabinet", when="after", sort="insulation", point="L1",
                             reading=2.5, unit="MΩ")  # fmt: skip
        assert "insulation, L1: 2.5 MΩ" in plain(clean)
        found = AsFound(**AT, entry="A17", reading=0.02, unit="mm")
        assert plain(found).endswith(": 0.02 mm")


class TestMoney:
    def test_a_line_of_the_book_has_its_cents_as_the_book_has_them(self):
        for amount, words in (("411.4", "€ 411.40"), ("340", "€ 340.00")):
            line = Posting(sort="paid", posted_on="2026-11-25", what="x", amount=Decimal(amount))
            told = value_words(line, "amount", currency="EUR", kind=None)
            assert told.replace("\u202f", " ") == words
