"""Taking apart at the keyboard: gates, labels, bags, cleaning, what is not back."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from tests.paper.reading import text_of

from retrue.cases.strip.table_file import READING_COLUMNS, TAKEN_COLUMNS
from retrue.cli import strip as deeds
from retrue.phases import worth
from retrue.records.facts import File, Lot, Machine, Terms
from retrue.records.stripping import PutBack, Taken, Ticked

MANUAL = (Path(__file__).resolve().parents[2] / "docs" / "strip.md").read_text(encoding="utf-8")


@pytest.fixture
def lot(shop):
    return keep_lot(shop, "hall 3", "mill")


def keep_lot(shop, name: str, *machines: str) -> str:
    kinds = {"mill": "vertical_machining_centre", "lathe": "turning_centre"}
    made = [Machine(lot="", name=one, kind=kinds[one]) for one in machines]
    worth.new_lot(shop, Lot(name=name), Terms(lot=""), made, by="owner")
    return name


@pytest.fixture
def photo(tmp_path):
    from PIL import Image

    def make(name: str) -> str:
        path = tmp_path / f"{name}.jpg"
        image = Image.new("RGB", (8, 8), (len(name), 20 * (ord(name[-1]) % 10), 90))
        image.save(path, "JPEG")
        return str(path)

    return make


@pytest.fixture
def listed(tmp_path):
    def write(text: str, name: str = "list.csv") -> str:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


def told(door) -> dict:
    assert door.code == 0, door.err
    return json.loads(door.out)


def refused(door, code: int = 2) -> dict:
    assert door.code == code, door.out + door.err
    return json.loads(door.out)


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


# without a shop


def whole_machine() -> str:
    rows = ["sort,what,from,to,place,count,torque,shim,back"]
    for n in range(120):
        sort = ("wire", "hose", "connector")[n % 3]
        rows.append(f"{sort},core {n},K{n}:1,X{n}:2,cabinet,,,,{'' if n % 12 == 5 else 'yes'}")
    rows += [f"bag,bolts {n},,,axis_x,{n + 1},35 Nm,0.02 in,yes" for n in range(40)]
    return "\n".join(rows) + "\n"


def test_a_list_of_120_gives_120_labels_and_40_bags(call, listed, tmp_path):
    path, out, sheet = listed(whole_machine()), tmp_path / "out.csv", tmp_path / "out.xlsx"
    answer = told(call("strip", "labels", path, "--csv", str(out), "--xlsx", str(sheet), "--json"))
    assert (answer["count"], answer["schema"]) == (160, "strip.labels.1")
    assert answer["cautions"]
    assert len({row["code"] for row in answer["rows"]}) == 160
    assert len(rows_of(out.read_text(encoding="utf-8"))) == 160
    wires = told(call("strip", "labels", path, "--sort", "wire", "--json"))
    assert wires["count"] == 40
    assert told(call("strip", "labels", path, "--off", "--json"))["count"] == 10
    bags = told(call("strip", "bags", str(sheet), "--json"))
    assert bags["count"] == 40
    assert {(row["count"], row["torque_nm"]) for row in bags["rows"]} == {
        (n + 1, 35.0) for n in range(40)
    }
    assert {round(row["shim_mm"], 6) for row in bags["rows"]} == {0.508}
    again = told(call("strip", "labels", str(out), "--json"))
    assert [row["code"] for row in again["rows"]] == [row["code"] for row in answer["rows"]]


def test_ten_left_off_are_found_in_reverse_order(call, listed):
    path = listed(whole_machine())
    answer = told(call("strip", "remaining", path, "--json"))
    assert [row["what"] for row in answer["rows"]] == [f"core {n}" for n in range(113, 0, -12)]
    assert (answer["count"], answer["undone"]) == (10, 160)
    assert call("strip", "remaining", path, "--gate").code == 1
    done = listed("sort,what,back\nbag,x,yes\n", "done.csv")
    door = call("strip", "remaining", done, "--gate")
    assert (door.code, door.out.splitlines()[-1]) == (0, "Everything is back.")


def test_the_caution_and_what_it_defers_to_stand_before_the_numbers(call, listed):
    path = listed(whole_machine())
    for what in ("labels", "bags", "remaining"):
        out = call("strip", what, path).out
        assert out.startswith("Caution: ")
        assert out.index("licensed practice") < out.index("40") if what == "bags" else True


def test_units_are_converted_when_written_and_never_guessed(call, listed):
    mixed = listed("sort,what,torque,shim\nbag,a,26 lbf.ft,0.02 in\nbag,b,35 Nm,20 thou\n")
    rows = told(call("strip", "labels", mixed, "--json"))["rows"]
    assert rows[0]["torque_nm"] == pytest.approx(26 * 1.3558179483)  # NIST SP 811, B.8
    assert [round(row["shim_mm"], 9) for row in rows] == [0.508, 0.508]
    bare = listed('sort,what,torque_nm,shim_mm\nbag,a,35,"0,5"\n', "bare.csv")
    row = told(call("strip", "labels", bare, "--json"))["rows"][0]
    assert (row["torque_nm"], row["shim_mm"]) == (35.0, 0.5)
    wrong = listed(
        "sort,what,from,count,torque,shim,code,back\n"
        "bag,a,,,35,,,\n"
        "bag,b,,,,2 bar,,\n"
        "bag,c,,2.5,,,,\n"
        "wire,d,,,,,,\n"
        "bag,,,,,,,\n"
        "tube,f,,,,,,\n"
        "bag,g,,,,,AAAA-AAAA,\n"
        "bag,h,,,,,,perhaps\n",
        "wrong.csv",
    )
    problems = refused(call("strip", "labels", wrong, "--json"))["problems"]
    assert [one["where"] for one in problems] == [
        "row 2, column torque",
        "row 3, column shim",
        "row 4, column count",
        "row 5, column from",
        "row 6, column what",
        "row 7, column sort",
        "row 8, column code",
        "row 9, column back",
    ]


def test_a_column_nobody_knows_and_a_code_that_stands_twice_are_refused(call, listed):
    strange = listed("sort,what,colour\nbag,a,red\n")
    assert "colour" in refused(call("strip", "labels", strange, "--json"))["problems"][0]["what"]
    code = told(call("strip", "labels", listed("sort,what\nbag,a\n"), "--json"))["rows"][0]["code"]
    twice = listed(f"sort,what,code\nbag,a,{code}\nbag,b,{code}\n")
    found = refused(call("strip", "labels", twice, "--json"))["problems"]
    assert [one["where"] for one in found] == ["row 3, column code"]
    alike = listed("sort,what\nbag,a\nbag,a\n")
    rows = told(call("strip", "labels", alike, "--json"))["rows"]
    assert rows[0]["code"] != rows[1]["code"]
    assert refused(call("strip", "labels", listed("what\na\n"), "--json"))
    assert told(call("strip", "bags", listed("what\na\n"), "--json"))["count"] == 1
    assert refused(call("strip", "labels", "nothing.csv", "--json"))


def test_readings_in_a_table_prove_or_do_not(call, listed):
    head = "point,sort,when,reading,temperature,humidity,seen\n"
    dirty = "main,insulation,before,2 MΩ,20 °C,50 %,\nX,winding,before,1 MΩ,20 °C,50 %,\n"
    clean = "main,insulation,after,0.5 GΩ,68 °F,50 %,\nX,winding,after,500 MΩ,20 °C,50 %,\n"
    run = clean.replace("after", "after_running")
    path = listed(head + dirty + clean + run)
    answer = told(call("strip", "cleaning", path, "--muck", "conductive", "--json"))
    assert answer["accepted"] is True
    assert [one["ruling"] for one in answer["readings"]] == ["proved_good", "proved_good"]
    assert [one["muck"] for one in answer["plan"]] == ["conductive"]
    assert call("strip", "cleaning", path, "--gate").code == 0
    half = listed(head + dirty + clean, "half.csv")
    answer = told(call("strip", "cleaning", half, "--json"))
    assert answer["accepted"] is None
    assert answer["why"]["accepted"] == "not proved"
    assert "after running" in answer["accepted_why"]
    assert call("strip", "cleaning", half, "--gate").code == 1
    bad = listed(head + dirty + clean + run.replace("0.5 GΩ", "0.4 MΩ"), "bad.csv")
    assert told(call("strip", "cleaning", bad, "--json"))["accepted"] is False
    bare = listed(head + "main,insulation,after,500,,,\n", "bare.csv")
    assert refused(call("strip", "cleaning", bare, "--json"))["problems"][0]["where"] == (
        "row 2, column reading"
    )
    out = call("strip", "cleaning", path).out
    assert out.index("Never blow it") < out.index("Hours: ")


def test_labels_print_as_a_pdf_with_every_code(call, listed, tmp_path):
    pdf = tmp_path / "labels.pdf"
    answer = told(call("strip", "labels", listed(whole_machine()), "--pdf", str(pdf), "--json"))
    text = text_of(pdf.read_bytes()).replace(" ", "")
    assert all(row["code"] in text for row in answer["rows"])


def test_a_written_code_is_never_given_to_another_row(call, listed):
    bare = listed("sort,what\nbag,screws\n", "one.csv")
    [row] = told(call("strip", "labels", bare, "--json"))["rows"]
    both = listed(f"sort,what,code\nbag,screws,\nbag,nuts,{row['code']}\n", "two.csv")
    rows = told(call("strip", "labels", both, "--json"))["rows"]
    assert [one["what"] for one in rows] == ["screws", "nuts"]
    assert rows[1]["code"] == row["code"] != rows[0]["code"]


def test_two_torques_in_a_row_and_a_count_without_end_are_refused_by_row(call, listed):
    two = listed("sort,what,torque,torque_nm\nbag,a,35 lbf.ft,10\n", "two.csv")
    problems = refused(call("strip", "labels", two, "--json"))["problems"]
    assert [one["where"] for one in problems] == ["row 2, column torque_nm"]
    long = listed(f"sort,what,count\nbag,a,{'9' * 5000}\nbag,b,0\n", "long.csv")
    problems = refused(call("strip", "labels", long, "--json"))["problems"]
    assert [one["where"] for one in problems] == ["row 2, column count", "row 3, column count"]
    assert len(problems[0]["what"]) < 80


def test_a_table_in_utf_16_is_refused_with_what_to_do(call, tmp_path):
    path = tmp_path / "wide.csv"
    path.write_text("sort,what\nbag,a\n", encoding="utf-16")
    assert "UTF-8" in refused(call("strip", "labels", str(path), "--json"))["remedy"]


def test_a_file_that_cannot_be_written_is_named(call, listed, lot, tmp_path):
    path, gone = listed("sort,what\nbag,a\n"), str(tmp_path / "none" / "out")
    for option in ("--pdf", "--csv", "--xlsx"):
        answer = refused(call("strip", "labels", path, option, gone, "--json"))
        assert [one["where"] for one in answer["problems"]] == [gone], option
    assert refused(call("strip", "sheet", lot, "--out", gone, "--json"))["problems"]


def test_an_evening_of_no_day_is_refused(call, lot):
    answer = refused(call("strip", "evening", lot, "--day", "foo", "--json"))
    assert [one["where"] for one in answer["problems"]] == ["day"]


def test_running_is_not_signed_while_a_wire_is_off(call, lot):
    ends = ("--from", "K1", "--to", "K2")
    assert call("strip", "off", lot, "outside", "wire", *ends).code == 0
    for stage in ("power_up", "running"):
        assert call("find", "sign", lot, stage, "An").code == 3, stage


# in the shop


def test_a_place_is_not_cleaned_before_its_photographs_and_oiling_is_never_refused(
    call, lot, photo, shop
):
    answer = refused(call("strip", "clean", lot, "enclosure", "oil", "--json"), 3)
    assert [one["where"] for one in answer["problems"]] == ["A06", "A07", "A08"]
    assert call("strip", "tick", lot, "allowed", "A75").code == 0
    assert [one.fact.item for one in shop.current(Ticked)] == ["A75"]
    kept = told(call("strip", "shot", lot, "enclosure", photo("a"), photo("b"), "--json"))
    assert [one["shot"] for one in kept["kept"]] == ["A06", "A08"]
    assert call("strip", "shot", lot, "enclosure", photo("c"), "--entry", "A07").code == 0
    assert call("strip", "clean", lot, "enclosure", "oil", "--waste", "26 lb").code == 0
    stands = told(call("strip", "place", lot, "enclosure", "--json"))
    assert stands["may_clean"] is True
    assert (stands["cleaned"], stands["wipes"]) == (["oil"], 1)
    assert len(shop.current(File)) == 3


def test_apart_and_together_again_and_only_then_first_power(call, lot, shop):
    answer = refused(call("strip", "off", lot, "axis_x", "part", "--what", "cover", "--json"), 3)
    assert [one["where"] for one in answer["problems"]] == ["A41"]
    assert call("strip", "entry", lot, "A41", "--reading", "0.04 mm").code == 0
    first = told(call("strip", "off", lot, "axis_x", "part", "--what", "cover", "--json"))
    second = told(
        call("strip", "off", lot, "axis_x", "bag", "--what", "M8", "--count", "6", "--torque",
             "26 lbf.ft", "--shim", "0.02 in", "--state", "stuck", "--json")
    )  # fmt: skip
    kept = {one.fact.what: one.fact for one in shop.current(Taken)}
    assert round(kept["M8"].torque_nm, 2) == 35.25
    assert (round(kept["M8"].shim_mm, 3), kept["M8"].state) == (0.508, "stuck")
    door = call("find", "sign", lot, "power_up", "An", "--json")
    assert [one["where"] for one in refused(door, 3)["problems"]] == [
        second["code"], first["code"],
    ]  # fmt: skip
    left = told(call("strip", "remaining", lot, "--json"))
    assert [row["code"] for row in left["rows"]] == [second["code"], first["code"]]
    assert call("strip", "back", lot, second["code"].lower(), first["code"]).out.strip() == (
        "Not yet back: 0"
    )
    assert len(shop.current(PutBack)) == 2
    assert told(call("strip", "labels", lot, "--json"))["count"] == 2
    assert told(call("strip", "bags", lot, "--json"))["count"] == 1
    assert call("strip", "off", lot, "outside", "bag", "--what", "x", "--torque", "35").code == 2


def test_a_step_is_written_and_a_mistake_is_taken_back(call, lot):
    for word in ("first", "second"):
        assert call("strip", "off", lot, "outside", "bag", "--what", word).code == 0
    late = told(call("strip", "off", lot, "outside", "bag", "--what", "late", "--step", "1",
                     "--json"))  # fmt: skip
    rows = told(call("strip", "labels", lot, "--json"))["rows"]
    assert [row["what"] for row in rows] == ["late", "first", "second"]
    gone = told(call("strip", "take-back", rows[1]["id"], "--reason", "twice", "--json"))
    assert gone["of"] == "taken"
    left = [row["what"] for row in told(call("strip", "labels", lot, "--json"))["rows"]]
    assert (left, late["code"]) == (["late", "second"], rows[0]["code"])


def test_night_and_evening_say_what_is_ticked(call, lot):
    for item in ("T01", "T02"):
        assert call("strip", "tick", lot, "first_night", item).code == 0
    answer = told(call("strip", "night", lot, "--json"))
    assert [one["done"] for one in answer["ticks"]] == [True, True] + [False] * 4
    assert (answer["wanted_shots"], len(answer["places"])) == (25, 20)
    assert call("strip", "night", lot).out.startswith("Caution: ")
    assert call("strip", "tick", lot, "evening", "T13").code == 0
    answer = told(call("strip", "evening", lot, "--json"))
    assert [one["id"] for one in answer["ticks"] if one["done"]] == ["T13"]
    other = told(call("strip", "evening", lot, "--day", "2020-01-01", "--json"))
    assert not any(one["done"] for one in other["ticks"])
    assert call("strip", "tick", lot, "evening", "T01").code == 2


def test_readings_and_files_are_kept(call, lot, tmp_path):
    said = ("--point", "main", "--temperature", "70 °F", "--humidity", "50 %")
    assert call("strip", "reading", lot, "cabinet", "after", "insulation", "--reading", "0.4 GΩ",
                *said).code == 0  # fmt: skip
    [row] = told(call("strip", "cleaning", lot, "--json"))["readings"]
    assert (row["after"], row["unit"], row["ruling"]) == (400.0, "MΩ", "proved_good")
    assert call("strip", "reading", lot, "cabinet", "after", "insulation", "--reading", "4",
                *said).code == 2  # fmt: skip
    path = tmp_path / "all.nc"
    path.write_text("N1 G0\n", encoding="utf-8")
    [row] = told(call("strip", "files", lot, str(path), "--sort", "programs", "--json"))["files"]
    assert (row["name"], row["kind_words"], row["read_back"]) == ("all.nc", "programs", None)
    copy = tmp_path / "copy.nc"
    copy.write_text("N1 G1\n", encoding="utf-8")
    assert call("strip", "files", lot, "--read-back", row["id"], str(copy)).code == 1
    answer = told(call("strip", "files", lot, "--read-back", row["id"], str(path), "--json"))
    assert (answer["same"], answer["files"][0]["read_back"]) == (True, True)


def test_which_machine_is_asked_where_a_lot_has_several(call, shop):
    keep_lot(shop, "hall 4", "mill", "lathe")
    answer = refused(call("strip", "night", "hall 4", "--json"))
    assert "mill" in answer["remedy"]
    assert "lathe" in answer["remedy"]
    answer = told(call("strip", "night", "hall 4", "--machine", "lathe", "--json"))
    assert answer["machine"] == "lathe"
    assert refused(call("strip", "night", "hall 9", "--json"))


# the manual


def test_the_manual_names_every_command_every_column_and_every_key(call, lot, listed):
    for name in deeds.DEEDS:
        assert f"`retrue strip {name}" in MANUAL, name
    for column in (*TAKEN_COLUMNS, *READING_COLUMNS):
        assert f"| `{column}` |" in MANUAL, column
    assert call("strip", "off", lot, "outside", "bag", "--what", "x").code == 0
    for what in ("night", "evening", "labels", "remaining", "bags", "cleaning", "files"):
        answer = told(call("strip", what, lot, "--json"))
        missing = [key for key in _keys(answer) if f"`{key}`" not in MANUAL]
        assert missing == [], what
    assert list(answer) == sorted(answer)


def _keys(value) -> set[str]:
    if isinstance(value, dict):
        return set(value) | {key for v in value.values() for key in _keys(v)}
    if isinstance(value, list):
        return {key for one in value for key in _keys(one)}
    return set()


def test_the_log_and_the_first_night_are_written(call, lot, tmp_path):
    off = call("strip", "off", lot, "lighting", "wire", "--from", "-X1:14", "--json")
    assert off.code == 0, off.err
    log, night = tmp_path / "log.pdf", tmp_path / "night.pdf"
    made = told(call("strip", "sheet", lot, "--out", str(log), "--json"))
    assert made == {"file": str(log), "not_back": 1, "schema": "strip.sheet.1"}
    assert call("strip", "sheet", lot, "--night", "--out", str(night)).code == 0
    assert "X1:14" in text_of(log.read_bytes())
    assert "X1:14" not in text_of(night.read_bytes())
