"""Sound, vibration and light at the keyboard, kept in the shop."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.paper.reading import text_of

from retrue.records.facts import Finding
from retrue.records.waking import Sensed

SOUND = (
    "--sort", "sound", "--state", "idling", "--speed-rpm", "7500", "--set", "calibrated=yes",
)  # fmt: skip


@pytest.fixture
def mill(call, lot_file: Path) -> tuple[str, str]:
    assert call("lot", "new", "hall 3", "--from", lot_file).code == 0
    return "hall 3", "mill"


def sense(call, mill, *more):
    return call("prove", "sense", *mill, *more)


class TestKeeping:
    def test_a_level_is_kept_told_with_its_caution_first_and_the_price_hears_of_it(
        self, call, mill, shop
    ):
        door = sense(call, mill, *SOUND, "--value", "level_a_db=84,5")
        assert door.code == 0, door.err
        told = " ".join(door.out.split())
        assert told.index("Caution: Over 80 dBA: plugs or muffs") < told.index("84.5 dB(A) ± 2.0")
        assert "proved bad; aim 75 dB(A), from memory, unverified." in told
        assert "the price, have heard of it (C94)" in told
        (finding,) = shop.current(Finding)
        assert (finding.fact.measure, finding.fact.reading) == ("M28", 84.5)

    def test_a_table_of_levels_is_kept_as_it_came_and_told_as_one_object(
        self, call, mill, shop, tmp_path: Path
    ):
        """Energy mean of 80 and 82 dB: 10 lg of the mean of the powers (by definition)."""
        path = tmp_path / "ear.csv"
        path.write_text("level_a_db\n80\n82\n", encoding="utf-8")
        door = sense(call, mill, path, *SOUND, "--state", "cutting", "--json")
        told = json.loads(door.out)
        assert told["value"] == pytest.approx(81.114, abs=0.001)
        assert told["schema"] == "prove.sense.1"
        assert told["learned"] == []
        assert "idling" in told["why"]["learned"]
        assert list(told) == sorted(told)
        (record,) = shop.current(Sensed)
        assert shop.file(record.fact.file) == path.read_bytes()

    @pytest.mark.parametrize(
        ("more", "says"),
        [
            (("--value", "level_a_db"), "says no value"),
            (("--value", "level_a_db=loud"), "is not a number"),
            (("--value", "lux=300"), "is nothing that is read of sound"),
            (("--value", "level_a_db=80", "--set", "balls=9"), "is no option of sound"),
            (("--value", "level_a_db=80", "--set", "instrument=meter"), "no instrument meter"),
            ((), "is empty"),
        ],
    )
    def test_what_cannot_be_kept_is_refused_by_name(self, call, mill, shop, more, says):
        door = sense(call, mill, *SOUND, *more)
        assert door.code == 2
        assert says in door.err
        assert shop.current(Sensed) == []

    def test_a_state_that_nobody_said_is_not_made_up(self, call, mill, shop):
        door = call(
            "prove", "sense", *mill, "--sort", "sound", "--value", "level_a_db=84", "--json"
        )
        assert json.loads(door.out)["state"] == ""
        assert "Nobody said in what state" in json.loads(door.out)["why"]["learned"]
        assert shop.current(Finding) == []

    def test_a_file_that_cannot_be_worked_out_is_kept_and_refused(
        self, call, mill, shop, tmp_path: Path
    ):
        path = tmp_path / "ear.csv"
        path.write_text("loudness\n3\n", encoding="utf-8")
        door = sense(call, mill, path, *SOUND)
        assert door.code == 2
        assert "The file is kept as it came." in door.err
        assert len(shop.current(Sensed)) == 1
        assert shop.current(Finding) == []


class TestSideBySide:
    @pytest.fixture
    def measured(self, call, mill) -> tuple[str, str]:
        """93 dB before, 83 after, a fan off in between (common practice, no source)."""
        for more in (
            ("--value", "level_a_db=93", "--when", "before"),
            ("--value", "level_a_db=90", "--set", "without=fan"),
            ("--value", "level_a_db=83", "--when", "after"),
        ):
            assert sense(call, mill, *SOUND, *more).code == 0
        return mill

    def test_the_change_the_sources_and_the_hours_are_listed(self, call, measured):
        """29 CFR 1910.95, table G-16A: 93 dBA 5.3 h, 83 dBA 21.1 h."""
        told = " ".join(call("prove", "quiet", *measured, "--hours", "8").out.split())
        assert told.index("plugs or muffs") < told.index("−10.0 dB")
        assert "−10.0 dB, give or take 2.8: better, by more than the doubt" in told
        assert "fan 3.0 dB worth treating" in told
        assert "5 dB for half the time: 5.3 h before, 21.1 h after" in told
        assert "3 dB for half the time: 1.3 h before, 12.7 h after" in told
        assert "Level of your day over 8 hours, after: 83.0 dB(A)." in told

    def test_as_one_object_it_says_the_same(self, call, measured):
        told = json.loads(call("prove", "quiet", *measured, "--json").out)
        assert told["schema"] == "prove.quiet.1"
        (pair,) = told["pairs"]
        assert (pair["difference"], pair["difference_unit"], pair["told"]) == (-10, "dB", "better")
        assert [one["name"] for one in told["sources"]] == ["fan"]
        assert told["hours"][0]["allowed"][0] == {
            "hours": pytest.approx(5.278, abs=0.001), "hours_with_doubt": 4.0, "rule": "osha",
        }  # fmt: skip
        assert [one["when"] for one in told["measured"]] == ["before", "", "after"]

    def test_it_prints_as_one_sheet(self, call, measured, tmp_path: Path):
        path = tmp_path / "quiet.pdf"
        door = call("prove", "quiet", *measured, "--pdf", path)
        assert door.code == 0, door.err
        assert door.out.splitlines()[-1] == str(path)
        told = text_of(path.read_bytes())
        for part in ("93.0 dB(A)", "83.0 dB(A)", "−10.0 dB", "5.3 h before, 21.1 h after"):
            assert part in told, part

    def test_without_both_there_is_no_sheet(self, call, mill, tmp_path: Path):
        path = tmp_path / "quiet.pdf"
        door = call("prove", "quiet", *mill, "--pdf", path)
        assert door.code == 3
        assert not path.exists()

    def test_it_is_taken_back_once(self, call, measured, shop):
        id = json.loads(call("prove", "quiet", *measured, "--json").out)["measured"][0]["id"]
        assert call("prove", "take-back", id, "--why", "wrong machine").code == 0
        assert len(shop.current(Sensed)) == 2
        assert shop.current(Finding) == []
        again = call("prove", "take-back", id)
        assert again.code == 2
        assert "still counts" in again.err
