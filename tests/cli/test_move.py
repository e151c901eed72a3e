"""Commands of moving: answers with exit codes, files without a shop, a shop that remembers."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from pathlib import Path

import pytest
import xlsxwriter
from tests.cli.conftest import Door

from retrue.cases.reckon.method import methods
from retrue.cli.calculators import EXITS
from retrue.cli.move import METHODS

Call = Callable[..., Door]
HOME = Path(__file__).resolve().parents[2]
GO = ("--mass-kg", "4000", "--legs", "2", "--angle-deg", "45", "--centre", "drawing",
      "--leg-rated-kg", "3000", "--hook-rated-kg", "5000")  # fmt: skip


@pytest.fixture
def lot(call: Call) -> str:
    made = call("lot", "new", "S", "--from", str(HOME / "examples" / "ghent-school-lot.toml"))
    assert made.code == 0, made.err
    return "S"


def test_there_is_a_command_for_every_calculator_in_its_order():
    assert list(METHODS) == [one.id for one in methods("move")]


@pytest.mark.parametrize("one", methods("move"), ids=lambda one: one.id)
def test_each_runs_its_published_example_with_and_without_json(call: Call, one, monkeypatch):
    monkeypatch.chdir(HOME)
    told = call("move", one.id, *one.example, "--json")
    made = json.loads(told.out)
    assert told.code == EXITS[made["answer"]]
    assert made["schema"] == f"move.{one.id}.1"
    assert list(made) == sorted(made)
    assert made["cautions"]
    spoken = call("move", one.id, *one.example).out
    caution, answer = spoken.index("Caution:"), spoken.index("Estimate for planning.")
    assert caution < spoken.index("Defers to:") < answer
    figures = [made[key] for key in made["units"] if made[key] is not None]
    assert figures or made["answer"] != "go"


def test_the_caution_and_its_code_stand_before_any_number(call: Call):
    out = call("move", "lift", *GO).out
    assert out.index("Defers to") < out.index("2\u202f828")


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (GO, 0),
        ((*GO[:4], "--angle-deg", "29", "--centre", "drawing"), 2),
        ((*GO[:6], "--centre", "unknown"), 3),
        (GO[:8], 3),
        (("--mass-kg", "4 tons"), 2),
    ],
)
def test_go_no_go_get_first_and_bad_input_have_their_exit_codes(call: Call, words, code):
    assert call("move", "lift", *words).code == code


def test_a_field_that_cannot_be_read_is_named_with_its_remedy(call: Call):
    told = call("move", "lift", "--mass-kg", "4 tons", "--legs", "two")
    assert "mass_kg" in told.err
    assert "means two things" in told.err
    assert "legs" in told.err


def test_fields_come_from_a_table_and_options_go_before_it(call: Call, tmp_path: Path):
    pairs = [("field", "value"), ("mass_kg", "8818.49 lb"), ("legs", "2"), ("angle_deg", "45"),
             ("centre", "drawing")]  # fmt: skip
    path = tmp_path / "lift.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(pairs)
    book = xlsxwriter.Workbook(str(tmp_path / "lift.xlsx"))
    sheet = book.add_worksheet()
    for row, pair in enumerate(pairs):
        sheet.write_row(row, 0, pair)
    book.close()
    for name in ("lift.csv", "lift.xlsx"):
        made = json.loads(call("move", "lift", "--values", str(tmp_path / name), "--json").out)
        assert made["leg_kg"] == pytest.approx(2828.4, abs=0.1)
    made = json.loads(
        call("move", "lift", "--values", str(path), "--mass-kg", "2000", "--json").out
    )
    assert made["leg_kg"] == pytest.approx(1414.2, abs=0.1)


def test_a_table_with_a_strange_field_is_refused(call: Call, tmp_path: Path):
    path = tmp_path / "lift.csv"
    path.write_text("field,value\nmas_kg,4000\n", encoding="utf-8")
    told = call("move", "lift", "--values", str(path))
    assert told.code == 2
    assert "mas_kg" in told.err


def test_a_log_is_read_and_a_bad_one_named_by_row(call: Call, tmp_path: Path):
    rows = "\n".join(f"{hour},{8 + hour % 3},70" for hour in range(48))
    path = tmp_path / "log.csv"
    path.write_text(f"time,air_c,humidity_percent\n{rows}\n", encoding="utf-8")
    made = json.loads(call("move", "layup", "--log", str(path), "--json").out)
    assert made["hours_logged"] == pytest.approx(47.0)
    path.write_text("time,air_c,humidity_percent\n0,8,50\n1,8,x\n", encoding="utf-8")
    told = call("move", "layup", "--log", str(path))
    assert told.code == 2
    assert "row 3, column humidity_percent" in told.err


def test_a_picture_is_written_or_it_is_said_why_not(call: Call, tmp_path: Path):
    path = tmp_path / "lift.svg"
    assert call("move", "lift", *GO, "--spread-mm", "1400", "--picture", str(path)).code == 0
    assert path.read_text(encoding="utf-8").startswith("<svg")
    assert call("move", "tie", "--mass-kg", "5000", "--picture", str(path)).code == 2


def test_a_shop_remembers_and_the_plan_follows(call: Call, lot: str, tmp_path: Path):
    first = json.loads(call("move", "plan", lot, "mill", "--json").out)
    assert first["answer"] == "get_first"
    kept = call("move", "keep", lot, "mill", "lift", "mass_kg=4200", "mass_from=weighed",
                "angle-deg=60", "centre=drawing", "leg-rated-kg=3000", "hook-rated-kg=5000",
                "--json")  # fmt: skip
    assert kept.code == 0, kept.err
    again = json.loads(call("move", "plan", lot, "mill", "--json").out)
    lift = next(one for one in again["methods"] if one["method"] == "lift")
    assert (lift["answer"], lift["filled_in"]) == ("go", True)
    from_shop = json.loads(call("move", "ramp", "--lot", lot, "--machine", "mill", "--json").out)
    assert "mass_kg" not in [one["field"] for one in from_shop["missing"]]
    sheet = tmp_path / "sheet.pdf"
    assert call("move", "sheet", lot, "mill", "--out", str(sheet)).code == 0
    assert sheet.read_bytes().startswith(b"%PDF")


def test_keep_refuses_what_is_no_field_and_keeps_nothing(call: Call, lot: str):
    told = call("move", "keep", lot, "mill", "lift", "mass=4200")
    assert told.code == 2
    assert "mass_kg" in told.err
    plan = json.loads(call("move", "plan", lot, "mill", "--json").out)
    assert not next(one for one in plan["methods"] if one["method"] == "lift")["filled_in"]


def test_data_are_saved_read_back_and_open_the_plug(call: Call, lot: str, tmp_path: Path):
    for step in ("cell_held", "plugs_marked"):
        assert call("move", "step", lot, "mill", step).code == 0
    shut = call("move", "step", lot, "mill", "unplugged", "--name", "electrician")
    assert shut.code == 3
    assert "no copy that was read back" in shut.err
    for sort in ("parameters", "pitch_tables", "ladder"):
        path = tmp_path / f"{sort}.txt"
        path.write_text(sort, encoding="utf-8")
        kept = call("move", "save", lot, "mill", sort, str(path), "--json")
        assert json.loads(kept.out)["read_back"] is None
        back = call("move", "readback", lot, "mill", sort, str(path), "--json")
        assert json.loads(back.out)["read_back"] is True
    opened = call("move", "step", lot, "mill", "unplugged", "--name", "electrician", "--json")
    assert opened.code == 0
    assert json.loads(opened.out)["step"] == "unplugged"


def test_damage_is_told_with_its_last_day_and_printed(call: Call, lot: str, tmp_path: Path):
    none = call("move", "damage", lot, "mill")
    assert none.code == 3
    kept = call("move", "arrive", lot, "mill", "--on", "2026-11-20", "--damage", "hidden",
                "--text", "tank cracked", "--json")  # fmt: skip
    assert json.loads(kept.out)["last_day"] == "2026-11-28"
    path = tmp_path / "note.pdf"
    told = call("move", "damage", lot, "mill", "--out", str(path))
    assert "tank cracked" in told.out
    assert path.read_bytes().startswith(b"%PDF")


def test_a_machine_at_rest_has_rounds_that_are_due(call: Call, lot: str):
    assert call("move", "round", lot, "mill", "looked").code == 3
    laid = call("move", "rest", lot, "mill", "--since", "2026-11-20", "--every", "30", "--json")
    assert json.loads(laid.out)["due"] == "2026-12-20"
    kept = call("move", "round", lot, "mill", "looked", "cell_read", "--cell-volts", "3.0",
                "--json")  # fmt: skip
    assert json.loads(kept.out)["due"] == "2026-12-25"
    assert "Next round on 2026-12-25" in call("move", "rest", lot, "mill").out


def test_a_floor_plan_from_a_file_is_printed_to_scale(call: Call, lot: str, tmp_path: Path):
    out = tmp_path / "layout.pdf"
    empty = call("move", "layout", lot, "mill", "--out", str(out))
    assert empty.code == 3
    plan = HOME / "examples" / "move" / "floor.csv"
    kept = call("move", "keep", lot, "mill", "floor", f"plan={plan}")
    assert kept.code == 0, kept.err
    assert call("move", "layout", lot, "mill", "--out", str(out)).code == 0
    assert out.read_bytes().startswith(b"%PDF")
