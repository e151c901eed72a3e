"""What cannot be used is refused with what helps, and nothing is kept of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.cli.conftest import Door
from tests.fakes.shop import FakeShop

Call = Callable[..., Door]

# what, arguments behind "find", exit code, what the refusal holds
FILE = "FILE"
BAD: dict[str, tuple[tuple[str, ...], int, str]] = {
    "no such command": (("nxt", FILE), 2, "Commands: symptoms, tell, next"),
    "no such type of machine": (("symptoms", "--kind", "mill"), 2, "there is no type of machine"),
    "no such lot": (("next", "nowhere"), 2, "nowhere"),
    "no such file": (("next", "nowhere.toml"), 2, "cannot be read"),
    "nothing told": (("next", FILE), 2, ""),
    "no such machine": (("tell", FILE, "Y05", "--machine", "mil"), 2, "Did you mean mill?"),
    "no such symptom": (("tell", FILE, "Y055"), 2, "Did you mean Y05?"),
    "an empty symptom": (("tell", FILE, ""), 2, "symptom"),
    "no such trouble": (("next", FILE, "--trouble", "Y01"), 2, "Tell it first"),
    "no such goal": (("next", FILE, "--goal", "new"), 2, "just_running"),
    "a hunch on nothing": (("guess", FILE, "F01"), 3, "Tell what it does"),
    "again, nothing told": (("again", FILE, "gone"), 3, "Tell what it does"),
    "again, a word nobody knows": (("again", FILE, "maybe"), 2, "gone"),
    "a group without its level": (("again", FILE, "gone", "--group", "spindle"), 2, "level"),
    "no such group": (("again", FILE, "gone", "--group", "x", "--level", "right"), 2, "Known"),
    "no such level": (("again", FILE, "gone", "--group", "spindle", "--level", "x"), 2, "right"),
    "no such look": (("saw", FILE, "C999", "seen"), 2, "is no look of"),
    "no such answer": (("saw", FILE, "C12", "sene"), 2, "seen"),
    "no answer": (("saw", FILE, "C12"), 2, "answer"),
    "a number that is none": (("saw", FILE, "C12", "--reading", "ten"), 2, "not a valid float"),
    "no such sort of act": (("did", FILE, "weld"), 2, "call_for_help"),
    "an act on nothing": (("did", FILE, "repair"), 2, "put right"),
    "no such fault": (("did", FILE, "repair", "--fault", "F999"), 2, "is no fault"),
    "no such way": (("did", FILE, "repair", "--fault", "F02", "--way", "x"), 2, "is no way"),
    "no such job": (("did", FILE, "clean", "--job", "J999"), 2, "is no job"),
    "money that is none": (
        ("did", FILE, "clean", "--job", "J07", "--money", "much"), 2, "not an amount"),
    "money below zero": (
        ("did", FILE, "clean", "--job", "J07", "--money", "-3"), 2, "negative"),
    "hours that are none": (
        ("did", FILE, "clean", "--job", "J07", "--hours", "nan"), 2, "not a finite number"),
    "a chance above one": (
        ("did", FILE, "repair", "--fault", "F02", "--cures", "2"), 2, "outside 0 to 1"),
    "no such picture": (
        ("did", FILE, "clean", "--job", "J07", "--picture", "no.jpg"), 2, "cannot be read"),
    "nobody signs": (("sign", FILE, "apart", "  "), 2, "name"),
    "no such stop point": (("sign", FILE, "on", "An"), 2, "power_up"),
    "a swap in a file": (
        ("swap", FILE, "axis_drive", "--slot", "X", "--from-slot", "Z", "--serial", "1"), 3,
        "lot new"),
    "a teardown in a file": (("teardown", FILE, "F02", "present"), 3, "lot new"),
    "tried in a file": (("tried", FILE), 3, "lot new"),
    "no such record": (("take-back", "1234"), 2, "1234"),
}  # fmt: skip


@pytest.mark.parametrize("what", BAD)
def test_bad_input_is_refused_and_the_file_stays_as_it_was(what: str, call: Call, lot_file: Path):
    arguments, code, holds = BAD[what]
    before = lot_file.read_bytes()
    door = call("find", *(str(lot_file) if part == FILE else part for part in arguments))
    assert door.code == code, door.out + door.err
    assert holds in " ".join((door.out + door.err).split())
    assert lot_file.read_bytes() == before


IN_SHOP: dict[str, tuple[tuple[str, ...], int, str]] = {
    "no such symptom": (("tell", "hall", "Y055"), 2, "Did you mean Y05?"),
    "no such look": (("saw", "hall", "C999", "seen"), 2, "C999"),
    "no such fault": (("guess", "hall", "F999"), 2, "F999"),
    "no such way": (("did", "hall", "repair", "--fault", "F02", "--way", "x"), 2, "way"),
    "no such fault opened": (("teardown", "hall", "F999", "present"), 2, "F999"),
    "nobody signs": (("sign", "hall", "apart", " "), 2, "name"),
    "a swap of unlike parts": (
        ("swap", "hall", "axis_drive", "--slot", "X", "--from-slot", "Z", "--serial", "1",
         "--other-serial", "2"), 3, "same"),
    "a swap of no part": (
        ("swap", "hall", "axis", "--slot", "X", "--from-slot", "Z", "--serial", "1",
         "--other-serial", "2", "--same-type"), 2, "change places"),
    "a part on its place": (
        ("swap", "hall", "axis_drive", "--slot", "X", "--from-slot", "X", "--serial", "1",
         "--other-serial", "2", "--same-type"), 2, "already is"),
}  # fmt: skip


@pytest.mark.parametrize("what", IN_SHOP)
def test_bad_input_is_refused_and_the_shop_stays_as_it_was(
    what: str, call: Call, lot_file: Path, shop: FakeShop
):
    call("lot", "new", "hall", "--from", lot_file, "--worlds", "200")
    assert call("find", "tell", "hall", "Y05", "--json").code == 0
    before = call("find", "tried", "hall", "--json").out
    arguments, code, holds = IN_SHOP[what]
    door = call("find", *arguments)
    assert door.code == code, door.out + door.err
    assert holds in " ".join((door.out + door.err).split())
    assert call("find", "tried", "hall", "--json").out == before


def test_a_refusal_for_programs_is_one_object(call: Call, lot_file: Path):
    door = call("find", "tell", lot_file, "Y055", "--json")
    assert door.code == 2
    assert '"refusal": "Unusable"' in door.out


def test_two_machines_and_nobody_said_which(call: Call, lot_file: Path):
    with lot_file.open("a", encoding="utf-8") as file:
        file.write('\n[[machine]]\nname = "lathe"\nkind = "turning_centre"\n')
    door = call("find", "tell", lot_file, "Y05")
    assert door.code == 2
    assert "which machine is it? The lot has mill, lathe" in door.err
    assert call("find", "tell", lot_file, "Y05", "--machine", "mill").code == 0
    assert call("find", "next", lot_file, "--json", "--worlds", "300").code == 0
