"""The commands about types of machine: an answer, or the file, line and key that keep it back."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace

import pytest
from click.testing import CliRunner, Result
from tests.library import load

from retrue.base.refusals import Unknown, Unusable
from retrue.cli.kinds import SECTIONS, kinds

HOUSE = SimpleNamespace(kinds=load)


def run(*arguments: str) -> Result:
    return CliRunner().invoke(kinds, arguments, obj=HOUSE, catch_exceptions=False)


def test_list_names_the_four_and_says_what_their_numbers_are():
    told = run("list").output.splitlines()
    assert told[0] == "4 types of machine. Their numbers are judgement."
    assert [line.split()[0] for line in told[1:]] == list(load())


def test_list_as_json_is_one_object_with_hashes():
    told = json.loads(run("list", "--json").output)
    assert told["schema"] == 1
    assert {kind["id"]: kind["hash"] for kind in told["kinds"]} == {
        kind.id: kind.hash for kind in load().values()
    }


def test_show_counts_what_a_type_holds():
    told = dict(line.split(None, 1) for line in run("show", "turning_centre").output.splitlines())
    assert told["faults"] == "87"
    assert told["hash"] == load()["turning_centre"].hash


@pytest.mark.parametrize("section", SECTIONS)
def test_every_section_can_be_shown(section: str):
    told = run("show", "surface_grinder", "--section", section).output.splitlines()
    held = getattr(load()["surface_grinder"], section)
    rows = sum(len(ways) for ways in held.values()) if section == "fixes" else len(held)
    assert len(told) == rows + 1
    assert all(line.strip() for line in told)


def test_a_section_as_json_holds_its_numbers():
    told = json.loads(run("show", "turning_centre", "--section", "faults", "--json").output)
    assert told["faults"]["F12"]["prior"] == 0.25
    assert "checks" not in told


def test_an_unknown_type_is_answered_with_the_nearest():
    with pytest.raises(Unknown) as refusal:
        run("show", "turning_center")
    assert refusal.value.remedy == "Did you mean turning_centre?"


def test_check_says_what_a_file_changes(tmp_path: Path):
    file = tmp_path / "own.toml"
    file.write_text('[[fault]]\nid = "F12"\nprior = 0.4\n', encoding="utf-8")
    assert run("check", str(file)).output.splitlines() == [
        "own.toml can be used. It changes 1 number.",
        "turning_centre  faults.F12.prior  0.25  0.4",
    ]
    told = json.loads(run("check", str(file), "--json").output)
    assert told["changes"] == [
        {"after": 0.4, "before": 0.25, "kind": "turning_centre", "number": "faults.F12.prior"}
    ]


def test_check_of_a_file_that_changes_nothing(tmp_path: Path):
    file = tmp_path / "own.toml"
    file.write_text("# later\n", encoding="utf-8")
    assert run("check", str(file)).output == "own.toml can be used. It changes no number.\n"


def test_check_names_file_line_and_key(tmp_path: Path):
    file = tmp_path / "own.toml"
    file.write_text('[[fault]]\nid = "F12"\npiror = 0.4\n', encoding="utf-8")
    with pytest.raises(Unusable, match=r"own\.toml cannot be used as it stands") as refusal:
        run("check", str(file))
    assert [str(problem) for problem in refusal.value.problems] == [
        "own.toml, line 3, fault F12, piror: unknown key. Did you mean prior?"
    ]


def test_check_of_a_file_that_is_not_there():
    assert run("check", "nowhere.toml").exit_code == 2
