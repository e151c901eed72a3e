"""Fault-finding at the keyboard: the answer first, the next step, one object for programs."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.cli.conftest import Door
from tests.library import load

from retrue.cases.lot_file import read_lot
from retrue.records.facts import Finding
from retrue.records.seeking import Act, Guess, Hunch, PartMoved, Signed, Trial, Trouble

Call = Callable[..., Door]
HOME = Path(__file__).resolve().parents[2]
FEW = ("--worlds", "300")
WORDS = "Bores come out big"  # of symptom Y05


def told(door: Door) -> dict[str, Any]:
    assert door.code == 0, door.err
    answer: dict[str, Any] = json.loads(door.out)
    assert list(answer) == sorted(answer)
    assert answer["schema"] == 1
    return answer


@pytest.fixture
def hall(call: Call, lot_file: Path) -> str:
    """A lot in the shop with one machine, whose trouble was told."""
    assert call("lot", "new", "hall", "--from", lot_file, "--worlds", "200").code == 0
    assert call("find", "tell", "hall", "Y05", "--words", "drill wanders").code == 0
    return "hall"


# --- what it does ------------------------------------------------------------------------------


def test_the_list_of_symptoms_is_searched_by_words(call):
    whole = call("find", "symptoms").out.splitlines()
    found = call("find", "symptoms", "bores", "drill").out.splitlines()
    assert f"  Y05  {WORDS}, drill wanders" in found
    assert len(found) < len(whole)
    answer = told(
        call("find", "symptoms", "bores", "--kind", "vertical_machining_centre", "--json")
    )
    assert answer["symptoms"][0]["id"] == "Y05"
    assert call("find", "symptoms", "zzzz").out.startswith("None holds")


def test_each_type_of_machine_has_its_own_list(call):
    lists = {kind: told(call("find", "symptoms", "--kind", kind, "--json")) for kind in load()}
    assert all(len(answer["symptoms"]) >= 8 for answer in lists.values())
    assert len({str(answer["symptoms"]) for answer in lists.values()}) == len(lists)


# --- next --------------------------------------------------------------------------------------


def test_the_answer_comes_first_then_the_step_and_its_cautions_before_any_number(call, hall):
    door = call("find", "next", hall, *FEW)
    assert door.code == 0, door.err
    text = " ".join(door.out.split())
    order = ["mill, drill wanders: ", "Next: ", "Caution: ", "€", "What may be behind it:",
             "On average until then", "Estimate for planning."]  # fmt: skip
    places = [text.index(words) for words in order]
    assert places == sorted(places)
    first = told(call("find", "next", hall, "--json", *FEW))["steps"][0]
    assert f" {first['id']}; {first['minutes']:.0f} minutes" in text


def test_the_object_for_programs_has_the_promised_keys_and_twice_the_same_bytes(call, hall):
    first = call("find", "next", hall, "--json", *FEW)
    answer = told(first)
    assert call("find", "next", hall, "--json", *FEW).out == first.out
    assert {"steps", "bound", "guess_cost", "suspects"} <= set(answer)
    step = {"kind", "text", "expected_cost", "cost", "minutes", "separates", "cautions", "tie"}
    assert all(step <= set(one) for one in answer["steps"])
    assert all({"fault", "words", "low", "high"} <= set(one) for one in answer["suspects"])
    assert answer["bound"] <= answer["expected_cost"] <= answer["plain_cost"] + 1e-9
    nulls = [name for name in answer if answer[name] is None]
    assert set(nulls) <= set(answer["why"])


def test_a_file_and_the_shop_say_the_same(call, hall, lot_file):
    assert call("find", "tell", lot_file, "Y05", "--words", "drill wanders").code == 0
    kept = told(call("find", "next", hall, "--json"))
    filed = told(call("find", "next", lot_file, "--json"))
    assert filed["title"] == kept["title"]
    assert filed["expected_cost"] == pytest.approx(kept["expected_cost"], rel=0.1)
    for one, other in zip(filed["suspects"][:3], kept["suspects"][:3], strict=True):
        assert one["share"] == pytest.approx(other["share"], abs=1e-6), one["name"]


def test_a_level_is_another_goal_and_says_so(call, hall):
    clear = told(call("find", "next", hall, "--json", *FEW))
    right = told(call("find", "next", hall, "--goal", "right", "--json", *FEW))
    assert (clear["goal"], right["goal"]) == ("clear", "right")
    assert right["trouble"] is None
    assert right["expected_cost"] > clear["expected_cost"]


def test_a_trouble_is_named_by_its_symptom_and_else_the_newest_one_stands(call, hall):
    call("find", "tell", hall, "Y01")
    newest = told(call("find", "next", hall, "--json", *FEW))
    older = told(call("find", "next", hall, "--trouble", "Y05", "--json", *FEW))
    assert newest["title"] == "Growls from the spindle, more with speed"
    assert older["title"] == "drill wanders"


# --- told, seen, done --------------------------------------------------------------------------


def test_what_was_seen_moves_what_comes_next(call, hall, shop):
    before = told(call("find", "next", hall, "--json", *FEW))
    first = next(one for one in before["steps"] if one["check"])
    door = call("find", "saw", hall, first["check"], "seen")
    assert door.out.startswith("Kept: ")
    assert "Next: " in " ".join(door.out.split())
    after = told(call("find", "next", hall, "--json", *FEW))
    assert after["expected_cost"] != before["expected_cost"]
    assert first["check"] not in [one["check"] for one in after["steps"]]
    (kept,) = shop.current(Finding)
    assert (kept.fact.check, kept.fact.channel, kept.fact.grade) == (
        first["check"], "visit_dead", 3,
    )  # fmt: skip


def test_from_symptom_to_cause(call, hall, shop):
    """Told, signed, seen, repaired, tried: it is gone, and nothing is left to do."""
    assert call("find", "sign", hall, "apart", "An").code == 0
    assert call("find", "saw", hall, "C138", "severe").code == 0
    done = ("--fault", "F02", "--way", "local", "--expected", "a true bore", "--money", "480,50")
    assert call("find", "did", hall, "repair", *done, "--hours", "6", "--needed").code == 0
    still = call("find", "again", hall, "still")
    assert "Next: " in " ".join(still.out.split())
    assert call("find", "did", hall, "adjust", "--fault", "F47").code == 0
    gone = call("find", "again", hall, "gone")
    assert gone.code == 0, gone.err
    answer = told(call("find", "next", hall, "--trouble", "Y05", "--json", *FEW))
    assert answer["met"] is True
    assert answer["steps"] == []
    assert [trial.fact.passes for trial in shop.current(Trial)] == [False, True]
    act, _ = shop.current(Act)
    assert str(act.fact.money) == "480.50"
    assert shop.current(Signed)[0].fact.name == "An"
    assert len(shop.current(Trouble)) == 1


def test_a_hunch_is_told_what_it_costs(call, hall, shop):
    said = "I think it is the bearings"
    door = call("find", "guess", hall, "F01", "--informant", "caretaker", "--text", said)
    assert "Your hunch first" in " ".join(door.out.split())
    (hunch,) = shop.current(Hunch)
    assert hunch.fact.informant == "caretaker"
    answer = told(call("find", "next", hall, "--json", *FEW))
    assert answer["hunch"]["expected_cost"] >= answer["hunch"]["best_cost"]


def test_a_group_is_right_at_a_level(call, hall, shop):
    door = call("find", "again", hall, "gone", "--group", "spindle", "--level", "right")
    assert door.code == 0, door.err
    (trial,) = shop.current(Trial)
    assert (trial.fact.group, trial.fact.level, trial.fact.trouble) == ("spindle", "right", None)


def test_a_photograph_of_an_act_is_kept_by_its_hash(call, hall, shop):
    picture = HOME / "examples" / "photographs" / "a-02-cabinet-S03.jpg"
    assert call("find", "did", hall, "clean", "--job", "J07", "--picture", picture).code == 0
    (act,) = shop.current(Act)
    assert shop.file(act.fact.pictures[0]) == picture.read_bytes()


def test_a_part_that_moved_is_written_with_its_number_and_found_again(call, hall, shop):
    drive = ("axis_drive", "--slot", "X", "--from-slot", "Z", "--serial", "A-17")
    other = ("--other-serial", "B-3", "--same-type")
    early = call("find", "swap", hall, *drive, *other)
    assert early.code == 3
    assert "motor and cable come first" in early.err
    for check in load()["vertical_machining_centre"].swappable["axis_drive"].first:
        assert call("find", "saw", hall, check, "not_seen", "--channel", "apart").code == 0
    done = call("find", "swap", hall, *drive, *other)
    assert done.code == 0, done.err
    (moved,) = shop.current(PartMoved)
    assert moved.fact.serial == "A-17"
    assert told(call("find", "serials", "--json"))["serials"] == [
        {"came_from": "mill, Z", "lot": "hall", "machine": "mill", "part": "axis_drive",
         "serial": "A-17", "slot": "X"},
        {"came_from": "mill, X", "lot": "hall", "machine": "mill", "part": "axis_drive",
         "serial": "B-3", "slot": "Z"},
    ]  # fmt: skip
    assert "A-17: mill, X; came from mill, Z" in call("find", "serials").out


# --- what it taught ----------------------------------------------------------------------------


def test_what_was_tried_is_told_in_its_order_with_what_was_not_needed(call, hall):
    bought = ("--fault", "F01", "--money", "900", "--bought", "bearings", "--not-needed")
    call("find", "did", hall, "replace", *bought, "--seen", "no change", "--decided", "look first")
    call("find", "again", hall, "still")
    out = call("find", "tried", hall).out
    words = ["drill wanders", "no change", "look first", "bought: bearings", "it still does it",
             "Not needed after all: 1"]  # fmt: skip
    places = [out.index(one) for one in words]
    assert places == sorted(places)
    answer = told(call("find", "tried", hall, "--json"))
    assert [line["sort"] for line in answer["tried"]] == ["trouble", "act", "trial"]
    assert answer["not_needed"]["money"] == 900


def test_what_was_said_by_mistake_is_taken_back(call, hall):
    before = told(call("find", "next", hall, "--json", *FEW))
    kept = told(call("find", "saw", hall, "C138", "severe", "--json"))["kept"]
    assert told(call("find", "next", hall, "--json", *FEW)) != before
    assert told(call("find", "take-back", kept, "--json"))["of"] == "finding"
    assert told(call("find", "next", hall, "--json", *FEW)) == before
    assert call("find", "take-back", kept).code == 2


def test_a_teardown_keeps_what_was_guessed_and_what_was(call, hall, shop):
    assert call("find", "learned").out.startswith("The tables are judged, not proved")
    answer = told(call("find", "teardown", hall, "F02", "present", "--json"))
    assert 0 < answer["base_rate"] < answer["guessed"] < 1
    (guess,) = shop.current(Guess)
    assert guess.fact.was is True
    (row,) = told(call("find", "learned", "--json"))["rows"]
    assert (row["fault"], row["was"]) == ("F02", True)
    assert row["next_time"] > row["base_rate"]
    assert "there" in call("find", "learned").out


# --- a file ------------------------------------------------------------------------------------


def test_what_happens_is_written_below_what_the_owner_wrote(call, lot_file):
    before = lot_file.read_bytes()
    for command in (("tell", lot_file, "Y05"), ("sign", lot_file, "apart", "An"),
                    ("saw", lot_file, "C138", "severe"),
                    ("did", lot_file, "repair", "--fault", "F02", "--trouble", "Y05"),
                    ("again", lot_file, "gone")):  # fmt: skip
        door = call("find", *command)
        assert door.code == 0, door.err
    content = lot_file.read_bytes()
    assert content.startswith(before)
    case = read_lot(content, "lot", load())
    assert [(one.id, one.place) for one in case.happened] == [
        ("mill.Y05", 0), ("mill.signed.apart", 0), ("mill.act.F02", 1), ("mill.trial", 1),
    ]  # fmt: skip
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\d", one.on) for one in case.happened)
    answer = told(call("find", "next", lot_file, "--trouble", "Y05", "--json", *FEW))
    assert answer["met"] is True


def test_a_lot_in_which_much_happened_goes_out_to_a_file_and_comes_back(call, hall, tmp_path):
    call("find", "sign", hall, "apart", "An")
    call("find", "saw", hall, "C138", "severe")
    call("find", "did", hall, "repair", "--fault", "F02", "--money", "480", "--trouble", "Y05")
    call("find", "again", hall, "still")
    path = tmp_path / "out.toml"
    path.write_text(call("lot", "export", hall).out, encoding="utf-8")
    case = read_lot(path.read_bytes(), "out", load())
    assert [(one.event.KIND, one.place) for one in case.happened] == [
        ("trouble", 0), ("signed", 0), ("act", 1), ("trial", 1),
    ]  # fmt: skip
    assert call("lot", "new", "twin", "--from", path, "--worlds", "200").code == 0
    assert call("lot", "show", "twin", "--json").code == 0
    here = told(call("find", "next", hall, "--json"))
    there = told(call("find", "next", "twin", "--json"))
    assert there["suspects"][0]["share"] == pytest.approx(here["suspects"][0]["share"], abs=1e-6)


# --- the manual --------------------------------------------------------------------------------


def test_the_manual_names_the_keys_of_every_command(call, hall, monkeypatch):
    manual = (HOME / "docs" / "json.md").read_text(encoding="utf-8")
    part = manual.split("## What fault-finding prints", 1)[1].split("\n## ", 1)[0]
    rows = re.findall(r"^\| (`[^|]+) \| ([^|]+) \|$", part, re.MULTILINE)
    keys = {
        name: set(re.findall(r"`(\w+)`", words))
        for names, words in rows
        for name in re.findall(r"`([\w -]+)`", names)
        if name.startswith("find ")
    }
    picture = HOME / "examples" / "photographs" / "a-02-cabinet-S03.jpg"
    asked: dict[str, tuple[Any, ...]] = {
        "find symptoms": (),
        "find tell": (hall, "Y01", "--picture", picture),
        "find next": (hall, *FEW),
        "find saw": (hall, "C12", "seen"),
        "find guess": (hall, "F01"),
        "find did": (hall, "clean", "--job", "J07"),
        "find again": (hall, "still"),
        "find sign": (hall, "apart", "An"),
        "find teardown": (hall, "F02", "absent"),
        "find tried": (hall,),
        "find serials": (),
        "find learned": (),
        "find rehearse": ("--seed", "3", "--symptom", "Y05"),
    }
    monkeypatch.setattr("sys.stdin", io.StringIO("stop\n"))
    for name, arguments in asked.items():
        assert set(told(call(*name.split(), *arguments, "--json"))) == keys[name], name
