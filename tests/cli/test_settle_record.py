"""The condition record at the keyboard: closed, guards said, given, checked."""

from __future__ import annotations

import json

import pytest
from tests.fakes.shop import FakeShop
from tests.recorded import bare, cleared, ready, say

from retrue.records.facts import Note
from retrue.records.settling import Included, RecordGiven

GUARDS = ("Door interlock", "Door window", "Emergency stop", "Over-travel of every axis",
          "Guard of the drive belt", "Main switch and the lock of the cabinet door")  # fmt: skip


@pytest.fixture
def machine(shop: FakeShop, kinds) -> tuple[str, str]:
    at = bare(shop)
    cleared(shop, at, kinds["vertical_machining_centre"])
    return at


def test_while_a_guard_is_open_it_is_closed_and_the_tree_is_drawn(call, machine, shop):
    door = call("settle", "record", "--as", "as-found")
    assert door.code == 3
    assert door.out.index("Caution:") < door.out.index("closed.")
    assert "└─ Guards and interlocks: 9" in door.out
    assert "door_interlock" in door.err
    assert not shop.current(RecordGiven)


def test_no_file_is_written_while_it_is_closed(call, machine, shop, tmp_path):
    for more in (["--pdf", tmp_path / "a.pdf"], ["--file", tmp_path / "a.json", "--json"]):
        assert call("settle", "record", "--as", "as-found", *more).code == 3
    assert not list(tmp_path.glob("a.*"))
    assert not shop.current(RecordGiven)


def test_guards_are_said_with_the_caution_before_and_then_it_opens(call, machine, shop):
    listed = json.loads(call("settle", "include", "--json").out)
    assert listed["open"] == 9
    assert listed["cautions"]
    for one in listed["guards"]:
        state = "not-fitted" if one["optional"] else "proved"
        door = call("settle", "include", one["id"], "--guard", state, "--grade", "3")
        assert door.code == 0, door.err
        assert door.out.index("Caution:") < door.out.index("Kept:")
    assert json.loads(call("settle", "include", "--json").out)["open"] == 0
    assert call("settle", "record", "--as", "as-found").code == 0


@pytest.mark.parametrize(
    ("more", "field"),
    [
        (["--guard", "proved"], "grade"),
        (["--guard", "proved", "--grade", "1"], "grade"),
        (["--guard", "not-fitted", "--grade", "4"], "state"),
        (["--guard", "defeated", "--goes", "stays"], "goes"),
    ],
)
def test_a_proof_by_a_word_is_refused_and_nothing_is_kept(call, machine, shop, more, field):
    door = call("settle", "include", "Door interlock", *more, "--json")
    assert door.code == 2
    told = json.loads(door.out)
    assert field in {one["where"] for one in told["problems"]}
    assert not shop.current(Included)


def test_it_is_given_kept_and_checked_anywhere(call, shop, kinds, tmp_path):
    ready(shop, kinds)
    pdf, file = tmp_path / "a.pdf", tmp_path / "a.json"
    told = json.loads(call("settle", "record", "--as", "running", "--pdf", pdf, "--file", file,
                           "--to", "Bea", "--json").out)  # fmt: skip
    assert told["schema"] == "settle.record.1"
    assert told["files"] == [str(pdf), str(file)]
    [kept] = shop.current(RecordGiven)
    assert (kept.id, kept.fact.whom) == (told["given"], "Bea")
    assert kept.fact.content_sha256 == told["content_sha256"]
    for path in (pdf, file):
        door = call("settle", "check", path)
        assert door.code == 0, door.out
        assert "Unchanged" in door.out
        assert "Not checked:" in door.out
    other = tmp_path / "b.json"
    other.write_bytes(file.read_bytes().replace(b'"sold_as": "running"', b'"sold_as": "proven!"'))
    assert call("settle", "check", other, "--gate").code == 1
    assert call("settle", "check", file, "--gate").code == 0
    door = call("settle", "check", other, "--json")
    assert door.code == 0  # it was answered
    checked = json.loads(door.out)
    assert checked["unchanged"] is False
    assert any(one.startswith("sold_as:") for one in checked["where"])
    wrong = tmp_path / "c.json"
    wrong.write_text("{}")
    assert call("settle", "check", wrong).code == 2


def test_looking_at_it_gives_nothing_away(call, shop, kinds):
    ready(shop, kinds)
    door = call("settle", "record", "--as", "running")
    assert door.code == 0
    assert "Not tested" in door.out
    assert not shop.current(RecordGiven)
    told = json.loads(call("settle", "record", "--as", "running", "--json").out)
    assert told["given"] is None
    assert set(told["why"]) == {"given", "content_sha256", "code"}


def test_what_it_says_otherwise_is_said_in_words_and_a_way_back_with_what_was_kept(
    call, shop, kinds, tmp_path
):
    at = ready(shop, kinds)
    door = call("settle", "record", "--as", "running", "--file", tmp_path / "a.json")
    [kept] = shop.current(RecordGiven)
    assert f"Take it back: retrue settle take-back {kept.id}" in door.out
    say(shop, at, check="C10", answer="severe")
    shop.add(Note(lot=at[0], machine=at[1], setting="1851", old="3", new="9", why="backlash"),
             by="An")  # fmt: skip
    door = call("settle", "record", "--as", "running")
    told = door.out[door.out.index("Otherwise than the record") :]
    assert "As found: new: Crash marks" in told
    assert "Settings: new: 1851: 3, 9" in told
    assert '{"' not in told
    assert "stated" not in told
    assert "1851: it was 3, it is 9" in door.out
    door = call("settle", "include", "manual")
    assert "Take it back: retrue settle take-back " in door.out


def test_as_json_a_closed_one_says_so_and_why(call, machine):
    told = json.loads(call("settle", "record", "--as", "as-found", "--json").out)
    assert told["blocked"] is True
    assert {one["sort"] for one in told["open"]} == {"guard"}


def test_what_goes_with_it_is_kept_with_the_checksum_of_its_file(call, machine, shop, tmp_path):
    book = tmp_path / "manual.pdf"
    book.write_bytes(b"the manual")
    door = call("settle", "include", "manual", "--file", book, "--text", "in the cabinet")
    assert door.code == 0, door.err
    [kept] = shop.current(Included)
    assert (kept.fact.sort, kept.fact.grade, kept.fact.what) == ("goes_with", 3, "manual")
    assert shop.file(kept.fact.file) == b"the manual"
