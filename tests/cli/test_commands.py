"""Each command translates: a file or the shop in, lines or one JSON object out, an exit code."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest
from tests.cli.conftest import keys_of_others

from retrue.base.refusals import NotKept, NotYet, Overtaken, Unknown
from retrue.cases import sheet as sheets
from retrue.cli import refusals
from retrue.cli.worth import ruling
from retrue.records.facts import File, Note, Terms

HOME = Path(__file__).resolve().parents[2]
FEW = ("--worlds", "300")  # how good a price is, is tested with the prices


def told(door) -> dict[str, Any]:
    assert door.code == 0, door.err
    answer = json.loads(door.out)
    assert list(answer) == sorted(answer)
    assert str(answer["schema"]).rpartition(".")[2] == "1"  # alone, or behind the name of its shape
    return answer


# --- worth -------------------------------------------------------------------------------------


def test_the_price_of_a_file_is_the_answer_first(call, lot_file):
    door = call("worth", "price", lot_file, *FEW)
    assert door.code == 0
    first = door.out.splitlines()[0]
    assert first.startswith("Do not go above €\u202f")
    assert "hall 3" in first
    order = [door.out.index(words) for words in ("Do not go above", "Next: ", "mill: ", "Seed 7")]
    assert order == sorted(order)
    assert "Nobody said, so this was taken:" in door.out


def test_json_is_one_object_with_the_promised_keys_and_twice_the_same_bytes(call, lot_file):
    first = call("worth", "price", lot_file, "--json", *FEW)
    answer = told(first)
    assert call("worth", "price", lot_file, "--json", *FEW).out == first.out
    promised = (
        "walk_away options machines questions moves moved clear_first assumed currency seed worlds "
        "version schema"
    )
    assert set(promised.split()) <= set(answer)
    walk = "amount all_in option odds error by_hour_value"
    assert set(walk.split()) <= set(answer["walk_away"])
    assert set(answer["walk_away"]["by_hour_value"]) == {"zero", "alternative", "full"}
    assert {"name", "walk_away", "mean_gain", "regret_odds"} <= set(answer["options"][0])
    machine = answer["machines"][0]
    assert {"name", "level", "cost", "own_hours", "days", "buckets"} <= set(machine)
    assert set(machine["cost"]) == {"p10", "p50", "p90"}
    asked = "machine check text worth asking_costs net error"
    assert set(asked.split()) <= set(answer["questions"][0])


def test_another_seed_gives_other_numbers(call, lot_file):
    one = told(call("worth", "price", lot_file, "--json", *FEW))
    other = told(call("worth", "price", lot_file, "--json", "--seed", "8", *FEW))
    assert one["walk_away"]["mean"] != other["walk_away"]["mean"]


def test_the_manual_names_every_key_of_the_json(call, lot_file):
    manual = (HOME / "docs" / "json.md").read_text(encoding="utf-8")
    sections = dict(re.findall(r"^## (\w+)\n(.*?)(?=^## |\Z)", manual, re.MULTILINE | re.DOTALL))

    def check(value: Any, cls: Any) -> None:
        keys = set(re.findall(r"^\| `(\w+)` \|", sections[cls.__name__], re.MULTILINE))
        assert set(value) - {"why"} | ({"why"} & keys & set(value)) == keys, cls.__name__
        hints = get_type_hints(cls)
        for field in fields(cls):
            for inner in (hints[field.name], *get_args(hints[field.name])):
                if is_dataclass(inner) and value[field.name]:
                    part = value[field.name]
                    check(part[0] if isinstance(part, list) else part, inner)

    answer = told(call("worth", "price", lot_file, "--json", *FEW))
    assert answer["why"].keys() <= {key for key in answer["why"] if "." in key or key in answer}
    check(answer, sheets.PriceSheet)


def test_a_fresh_process_prints_the_same_bytes(call, lot_file):
    command = [sys.executable, "-c", "from retrue.wiring import main; main()"]
    command += ["worth", "price", str(lot_file), "--json", *FEW]
    env = {"PYTHONPATH": str(HOME / "src"), "HOME": str(lot_file.parent), "PYTHONHASHSEED": "7"}
    fresh = subprocess.run(command, capture_output=True, check=True, env=os.environ | env)
    assert fresh.stdout.decode() == call("worth", "price", lot_file, "--json", *FEW).out


def test_the_gate_ends_with_one_unless_the_bid_is_proved_good(call, lot_file):
    assert call("worth", "price", lot_file, "--gate", *FEW).code == 0
    dear = lot_file.read_text().replace("bid_now = 2000", "bid_now = 90000")
    lot_file.write_text(dear)
    assert call("worth", "price", lot_file, "--gate", "--json", *FEW).code == 1


@pytest.mark.parametrize(
    ("bid", "says"),
    [(None, "not_proved"), (4000, "proved_good"), (4950, "not_proved"), (6000, "proved_bad")],
)
def test_a_bid_within_two_errors_is_not_proved(call, lot_file, bid, says, monkeypatch):
    class Walk:
        amount, error = 5000.0, 30.0

    class Sheet:
        walk_away = Walk

    assert ruling(Sheet, Terms(lot="x", bid_now=bid)) == says


def test_questions_text_and_their_json(call, lot_file):
    answer = told(call("worth", "questions", lot_file, "--json", "--count", "3", *FEW))
    assert len(answer["questions"]) == 3
    assert "asking costs" in call("worth", "questions", lot_file, *FEW).out
    dutch = told(call("worth", "text", lot_file, "--language", "nl", "--json", *FEW))
    assert dutch["text"].startswith("Goedendag,")
    assert call("worth", "text", lot_file, "--language", "nl", *FEW).out.strip() == dutch["text"]


def test_a_file_freezes_to_paper_and_says_that_it_does_not_remember(call, lot_file, tmp_path):
    target = tmp_path / "frozen.pdf"
    door = call("worth", "freeze", lot_file, "--to", target, *FEW)
    assert door.code == 0
    assert door.out.splitlines()[-1] == str(target)
    assert "keep the lot in the shop" in door.out
    assert target.read_bytes().startswith(b"%PDF")


def test_a_visit_needs_the_shop(call, lot_file, tmp_path):
    door = call("worth", "visit-pack", lot_file, *FEW)
    assert door.code == 3
    assert "retrue lot new --from" in door.err
    call("lot", "new", "hall", "--from", lot_file, *FEW)
    target = tmp_path / "visit.pdf"
    answer = told(call("worth", "visit-pack", "hall", "--to", target, "--json", *FEW))
    assert target.read_bytes().startswith(b"%PDF")
    assert len(answer["code"]) == 8
    assert {look["machine"] for look in answer["looks"]} == {"mill"}


def test_the_frozen_number_of_the_shop_rises_only_with_a_reason(call, lot_file, tmp_path):
    call("lot", "new", "hall", "--from", lot_file, *FEW)
    low = ("note", "finding", "hall", "mill", "C31", "--reading", "0.4", "--uncertainty", "0.1",
           "--channel", "visit_dead", *FEW)  # fmt: skip
    assert call(*low).code == 0
    freeze = ("worth", "freeze", "hall", "--to", tmp_path / "f.pdf", "--json", *FEW)
    first = told(call(*freeze))
    good = ("note", "finding", "hall", "mill", "C20", "not_seen", "--channel", "visit_dead", *FEW)
    assert call(*good).code == 0
    door = call(*freeze)
    assert door.code == 3
    assert json.loads(door.out)["refusal"] == "NotYet"
    risen = told(call(*freeze, "--reason", "turned it by hand"))
    assert risen["hammer"] > first["hammer"]
    assert len(risen["dangers"]) == 3


def test_won_needs_its_price_and_the_list_tells_what_came_of_it(call, lot_file):
    call("lot", "new", "hall", "--from", lot_file, *FEW)
    assert call("worth", "outcome", "hall", "won").code == 2
    assert (
        call("worth", "outcome", "hall", "won", "--at", "4 800").out
        == "hall: won at €\u202f4\u202f800\n"
    )
    assert "won" in call("lot", "list").out


# --- lot ---------------------------------------------------------------------------------------


def test_a_new_lot_is_priced_at_once_and_says_what_was_assumed(call):
    new = ("lot", "new", "school", "--machine", "lathe:turning_centre:22", "--bid-now", "1 500,50")
    door = call(*new, *FEW)
    assert door.code == 0
    assert "Nobody said, so this was taken:" in door.out
    assert "school: machines: lathe" in call("lot", "list").out
    (row,) = told(call("lot", "list", "--json"))["lots"]
    assert (row["name"], row["machines"], row["frozen"]) == ("school", ["lathe"], None)
    shown = told(call("lot", "show", "school", "--json"))
    assert shown["case"]["terms"]["bid_now"] == "1500.50"
    assert call(*new, *FEW).code == 2


def test_a_new_lot_may_be_a_file_that_can_be_priced(call, tmp_path):
    target = tmp_path / "new.toml"
    new = ("lot", "new", "x", "--machine", "lathe:turning_centre", "--file", target, "--json", *FEW)
    assert told(call(*new))["file"] == str(target)
    assert call("worth", "price", target, *FEW).code == 0
    assert call(*new).code == 2


@pytest.mark.parametrize(
    ("machine", "words"),
    [
        ("lathe", "is no machine"),
        ("lathe:turning_center", "Did you mean turning_centre?"),
        ("lathe:turning_centre:old", "is no machine"),
        ("lathe:turning_centre:-3", "is no machine"),
    ],
)
def test_a_wrong_machine_is_refused_with_what_helps(call, machine, words):
    door = call("lot", "new", "x", "--machine", machine)
    assert door.code == 2
    assert words in door.err
    assert call("lot", "list").out.startswith("No lots yet")


def test_a_lot_of_the_shop_goes_to_a_file_and_gives_the_same_price(call, lot_file, tmp_path):
    call("lot", "new", "hall 3", "--from", lot_file, *FEW)
    target = tmp_path / "out.toml"
    assert call("lot", "export", "hall 3", "--to", target).code == 0
    there = told(call("worth", "price", target, "--json", *FEW))
    assert there == told(call("worth", "price", "hall 3", "--json", *FEW))
    assert target.read_text().rstrip() == call("lot", "export", "hall 3").out.rstrip()


def test_show_tells_what_was_found(call, lot_file):
    call("note", "finding", lot_file, "mill", "C12", "severe", *FEW)
    out = call("lot", "show", lot_file).out
    assert "mill: Vertical machining centre, 24 years" in out
    assert "Found so far: 1" in out
    assert "severe" in out


# --- note --------------------------------------------------------------------------------------


def test_a_finding_goes_below_the_file_and_the_owners_remarks_stay(call, lot_file):
    before = lot_file.read_bytes()
    door = call("note", "finding", lot_file, "mill", "C31", "--reading", "0.4", "--uncertainty",
                "0.1", "--channel", "visit_dead", "--json", *FEW)  # fmt: skip
    answer = told(door)
    assert answer["after"] < answer["before"]
    after = lot_file.read_bytes()
    assert after.startswith(before)
    assert b'id = "mill.C31"' in after
    assert b'measure = "M07"' in after
    assert b"grade = 4" in after
    again = told(call("note", "finding", lot_file, "mill", "C12", "seen", "--json", *FEW))
    assert again["before"] == answer["after"]


def test_a_refused_finding_leaves_the_file_as_it_was(call, lot_file):
    before = lot_file.read_bytes()
    for wrong in (("mill", "C37", "seen"), ("mill", "C12", "sene"), ("saw", "C12", "seen")):
        door = call("note", "finding", lot_file, *wrong, *FEW)
        assert door.code == 2
        assert "hall.toml, line" in door.err
    assert lot_file.read_bytes() == before


def test_windows_line_ends_stay(call, lot_file):
    lot_file.write_bytes(lot_file.read_bytes().replace(b"\n", b"\r\n"))
    call("note", "finding", lot_file, "mill", "C12", "seen", *FEW)
    call("note", "line", "called him", "--lot", lot_file)
    content = lot_file.read_bytes()
    assert content.count(b"\n") == content.count(b"\r\n")


def test_a_line_on_a_file_is_a_remark_that_changes_no_price(call, lot_file):
    before = told(call("worth", "price", lot_file, "--json", *FEW))
    assert call("note", "line", "friendly\nand vague", "--lot", lot_file).code == 0
    assert call("note", "file", lot_file, "--lot", lot_file, "--caption", "itself").code == 0
    assert "# 2026-11-25 20:00  friendly" in lot_file.read_text()
    assert told(call("worth", "price", lot_file, "--json", *FEW)) == before


def test_notes_photographs_files_alarms_and_settings_go_to_the_shop(call, lot_file, shop):
    picture = HOME / "examples" / "photographs" / "a-02-cabinet-S03.jpg"
    call("lot", "new", "hall", "--from", lot_file, *FEW)
    photo = call("note", "photo", picture, "--lot", "hall", "--machine", "mill", "--shot", "S03")
    assert (photo.code, photo.err) == (0, "")
    (kept,) = shop.current(File)
    assert (kept.fact.media_type, kept.fact.shot) == ("image/jpeg", "S03")
    assert call("note", "line", "oil under the head", "--lot", "hall", "--photo", picture).code == 0
    assert call("note", "file", lot_file, "--place", "office").code == 0
    assert call("note", "alarm", "414", "--doing", "homing", "--machine", "mill").code == 0
    assert call("note", "setting", "1851", "12", "9", "--put-back").code == 0
    notes = [record.fact for record in shop.current(Note)]
    assert [note.text or note.alarm or note.setting for note in notes] == [
        "oil under the head", "414", "1851",
    ]  # fmt: skip
    assert notes[2].put_back is True
    assert len(shop.current(File)) == 3


def test_a_photograph_that_is_none_is_refused_and_nothing_is_kept(call, tmp_path, shop):
    path = tmp_path / "a.jpg"
    path.write_bytes(b"<html><script>alert(1)</script></html>")
    assert call("note", "photo", path).code == 2
    assert call("note", "photo", tmp_path / "gone.jpg").code == 2
    assert shop.current(File) == []


# --- refusals ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (("worth", "price", "nowhere"), 2, "there is no lot nowhere"),
        (("worth", "price", "nowhere.toml"), 2, "cannot be read"),
        (("worth", "prize", "x"), 2, "There is no command prize"),
        (("worht",), 2, "Did you mean worth?"),
        (("worth", "price"), 2, "Missing argument"),
        (("worth", "price", "x", "--worlds", "3"), 2, "--worlds"),
        (("lot", "new", "x"), 2, "at least one machine"),
        (("lot", "new", "x", "--bid-now", "much"), 2, "is not an amount"),
    ],
)
def test_a_wrong_call_ends_with_two_and_one_sentence_that_helps(call, arguments, code, words):
    door = call(*arguments)
    assert door.code == code
    assert words in door.err
    assert door.out == ""


def test_a_refused_file_names_every_line_also_in_json(call, lot_file):
    lot_file.write_text(lot_file.read_text() + "\nage = 3\nmass_kg = -1\n")
    door = call("worth", "price", lot_file, "--json")
    assert door.code == 2
    answer = json.loads(door.out)
    assert answer["refusal"] == "Unusable"
    assert ["machine.1.age" in p["where"] for p in answer["problems"]].count(True) == 1
    assert ["machine.1.mass_kg" in p["where"] for p in answer["problems"]].count(True) == 1
    assert door.err.splitlines()[-1] == answer["remedy"]


@pytest.mark.parametrize(
    ("refusal", "code"), [(Unknown, 2), (NotYet, 3), (Overtaken, 2), (NotKept, 1)]
)
def test_each_refusal_has_its_exit_code(call, house, monkeypatch, refusal, code):
    def refuse(*_: Any, **__: Any) -> None:
        raise refusal("no", remedy="Do this.")

    monkeypatch.setattr("retrue.phases.worth.lots.RecordShop", None, raising=False)
    monkeypatch.setattr("retrue.cli.lot.worth.lots", refuse)
    door = call("lot", "list")
    assert (door.code, door.err) == (code, "no\nDo this.\n")
    assert refusals.EXIT_CODES[refusal] == code


# --- the manual --------------------------------------------------------------------------------


# Of these the keys are asked where each is tested: test_demo, test_next, test_search, test_keeping,
# test_worth_screen, test_worth_bids, test_worth_share.
ASKED_ELSEWHERE = {
    "demo", "help", "help WORD", "next", "next MACHINE", "note back", "note check", "note list",
    "search", "shop backup", "shop copy", "shop devices", "shop export", "shop restore",
    "shop revoke", "worth bidder", "worth bids", "worth catalogue", "worth screen", "worth share",
    "worth take",
}  # fmt: skip


def test_the_manual_names_the_keys_of_every_other_command(call, lot_file, tmp_path):
    keys = keys_of_others()
    call("lot", "new", "hall", "--from", lot_file, *FEW)
    asked = {
        "worth questions": (lot_file, *FEW),
        "worth text": (lot_file, *FEW),
        "worth freeze": (lot_file, "--to", tmp_path / "x.pdf", *FEW),
        "worth visit-pack": ("hall", "--to", tmp_path / "x.pdf", *FEW),
        "worth outcome": ("hall", "walked"),
        "lot new": ("other", "--machine", "lathe:turning_centre", *FEW),
        "lot list": (),
        "lot show": ("hall",),
        "lot export": ("hall",),
        "note finding": ("hall", "mill", "C12", "seen", *FEW),
        "note photo": (HOME / "examples" / "photographs" / "a-02-cabinet-S03.jpg",),
        "note line": ("words",),
        "note file": (lot_file,),
        "note alarm": ("414",),
        "note setting": ("1851", "12", "9"),
        "prove sheet": ("backlash", "--out", tmp_path / "x.pdf"),
        "prove list": ("hall", "mill"),
        "prove sense": ("hall", "mill", "--sort", "light", "--value", "lux=600"),
        "prove quiet": ("hall", "mill"),
        "prove limits": ("vertical_machining_centre",),
        "prove instrument keep": ("clock", "--sort", "indicator"),
        "prove instrument list": (),
        "prove acceptance": ("hall", "mill", "--out", tmp_path / "x.pdf"),
    }
    assert {*asked, *ASKED_ELSEWHERE} == set(keys)
    for name, arguments in asked.items():
        assert set(told(call(*name.split(), *arguments, "--json"))) == keys[name], name
    wrong = json.loads(call("lot", "show", "nowhere", "--json").out)
    assert set(wrong) == {"problems", "reason", "refusal", "remedy", "schema"}
