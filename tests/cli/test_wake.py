"""First power at the keyboard: the plan of a kind, every refusal by name, the watch of a file."""

from __future__ import annotations

import json
import wave
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from tests.fakes.shop import TickingClock
from tests.paper.reading import text_of
from tests.powering import AN, BEA, LICENCE, close, signed_up_to, stamp

from retrue.cases.reckon.method import methods
from retrue.cli.wake import METHODS, SECTIONS
from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.waking import StageBegun, StageReading, WatchBegun, WatchCalled, WatchReadings
from retrue.wiring import run

MANUAL = (Path(__file__).resolve().parents[2] / "docs" / "wake.md").read_text(encoding="utf-8")
START = datetime.fromisoformat("2026-11-25T20:00:00+00:00")


@pytest.fixture
def lot(shop, kinds):
    """Everything before the main switch is closed; the plate is typed."""
    made = [Machine(lot="", name="mill", kind="vertical_machining_centre")]
    worth.new_lot(shop, Lot(name="hall 3"), Terms(lot=""), made, by="owner")
    stamp(shop, "hall 3", "mill", kinds)
    signed_up_to(shop, "hall 3", "mill", kinds, "P0")
    close(shop, "hall 3", "mill", kinds, kinds["vertical_machining_centre"].stages["P1-V"])
    return "hall 3"


def told(door, code: int = 0) -> dict:
    assert door.code == code, door.err + door.out
    return json.loads(door.out)


def problems(door, code: int = 3) -> list[str]:
    return [one["where"] for one in told(door, code)["problems"]]


def begin(call, lot: str, stage: str, *more: str):
    return call("wake", "begin", lot, stage, "--by-name", AN, "--at-switch", BEA,
                "--all-cautions", "--json", *more)  # fmt: skip


def logged(
    tmp_path, noses, name="log.csv", start=START, apart=timedelta(minutes=1), amps=5.0
) -> Path:
    rows = (f"{(start + at * apart).isoformat()},{nose},{amps}" for at, nose in enumerate(noses))
    path = tmp_path / name
    path.write_text("\n".join(["time,nose_c,amps", *rows, ""]), encoding="utf-8")
    return path


HEALTHY = [round(25.0 - 4.0 * 0.9**minute, 2) for minute in range(40)]


# the ladder


def test_every_calculator_and_every_command_is_named_once_and_told():
    assert list(METHODS) == [one.id for one in methods("wake")]
    for section in SECTIONS.values():
        for name in section:
            assert f"`retrue wake {name}" in MANUAL or name in METHODS, name


@pytest.mark.parametrize(
    ("kind", "stages"),
    [("vertical_machining_centre", 11), ("turning_centre", 11), ("milling_machine", 8),
     ("surface_grinder", 6)],
)  # fmt: skip
def test_the_plan_of_a_kind_needs_no_shop(call, kind, stages):
    answer = told(call("wake", "plan", "--kind", kind, "--json"))
    assert (answer["schema"], len(answer["stages"])) == ("wake.plan.1", stages)
    assert answer["machine"] is None
    assert answer["why"]["machine"] == "a kind alone"
    assert answer["next"] == answer["stages"][0]["id"]
    live = [one for one in answer["stages"] if one["live"]]
    assert live
    assert all(one["needs"] == [] and one["reason"] for one in live)
    lines = call("wake", "plan", "--kind", kind).out.splitlines()
    assert lines[0].startswith("Caution:")


def test_the_ladder_is_drawn_with_every_stage_on_its_rule(call, tmp_path):
    path = tmp_path / "ladder.svg"
    assert call("wake", "plan", "--kind", "turning_centre", "--picture", str(path)).code == 0
    drawn = path.read_text(encoding="utf-8")
    assert drawn.startswith("<svg")
    assert all(f"P{number}-L" in drawn for number in range(11))


def test_a_kind_that_is_not_there_and_none_at_all_are_refused(call):
    assert call("wake", "plan", "--kind", "lathe").code == 2
    assert problems(call("wake", "plan", "--json"), 2) == ["kind"]


def test_the_plan_of_a_machine_says_what_is_next_and_what_alone(call, lot):
    answer = told(call("wake", "plan", lot, "--json"))
    assert (answer["next"], answer["at_switch"]) == ("P1-V", None)
    assert answer["alone"][0].startswith("dead work")
    assert [one["state"] for one in answer["stages"][:3]] == ["signed", "closed", "closed"]
    there = told(call("wake", "plan", lot, "--at-switch", BEA, "--json"))
    assert there["stages"][1]["state"] == "open"
    assert "Find somebody for the main switch" in call("wake", "plan", lot).out


def test_a_stage_tells_its_bands_from_the_plate_with_cautions_first(call, lot):
    answer = told(call("wake", "stage", lot, "p1", "--json"))
    band = answer["bands"][0]
    assert (band["name"], band["expected_low"], band["abort_high"]) == ("line_volts", 380.0, 440.0)
    assert {one["id"]: one["how"] for one in answer["closed"]}["P0-V"] == "signed"
    out = call("wake", "stage", lot, "P1").out
    assert out.index("Caution:") < out.index("380 to 420 V; it ends under 360 or over 440 V")
    assert "Live work. Why:" in out
    assert call("wake", "stage", lot, "P77").code == 2


def test_a_stage_is_printed_to_be_signed(call, lot, tmp_path):
    path = tmp_path / "p1.pdf"
    answer = told(call("wake", "stage", lot, "P1", "--pdf", str(path), "--json"))
    assert answer["files"] == [str(path)]
    assert "Supply proved at the main switch" in text_of(path.read_bytes())


# its stages


def test_a_stage_from_its_start_to_its_signature(call, lot, shop):
    assert problems(begin(call, lot, "P1")) == ["licence"]
    kept = told(begin(call, lot, "P1", "--licence", LICENCE))
    assert (kept["schema"], kept["state"], kept["stage"]) == ("wake.kept.1", "begun", "P1-V")
    for name, amount, *more in (
        ("line_volts", "0.4 kV", "--point", "L1 to L2"), ("line_volts", "401", "--point",
         "L2 to L3"), ("line_volts", "399 V", "--point", "L3 to L1"),
        ("supply_unbalance", "0.4 %"), ("frequency", "50 Hz"),
        ("rotation", "1", "--point", "clockwise, field meter"),
        ("fault_current_share", "28 %", "--point", "2.8 of 10 kA"),
        ("taps_decided", "1", "--point", "400 V"),
    ):  # fmt: skip
        told(call("wake", "read", lot, "P1", name, amount, *more, "--json"))
    assert [one.fact.reading for one in shop.current(StageReading)][:2] == [400.0, 401.0]
    signed = told(call("wake", "sign", lot, "P1", "--name", AN, "--json"))
    assert signed["state"] == "signed"
    assert problems(call("wake", "read", lot, "P1", "frequency", "50", "--json"), 3) == []


def test_what_is_skipped_unnamed_unread_or_open_is_refused_by_name(call, lot, shop, kinds):
    assert "P1-V" in problems(begin(call, lot, "P3"))
    nobody = call("wake", "begin", lot, "P1", "--by-name", AN, "--all-cautions", "--licence",
                  LICENCE, "--json")  # fmt: skip
    assert problems(nobody) == ["at_switch"]
    unread = call("wake", "begin", lot, "P1", "--by-name", AN, "--at-switch", BEA, "--licence",
                  LICENCE, "--caution", "X05", "--json")  # fmt: skip
    assert problems(unread) == ["X32", "X22", "X23", "X25"]
    assert call("find", "saw", lot, "C35", "seen").code == 0
    assert problems(begin(call, lot, "P1", "--licence", LICENCE)) == ["F86"]
    assert shop.current(StageBegun)[1:] == []


def test_a_reading_past_its_limit_ends_it_and_the_cause_comes_first(call, lot):
    told(begin(call, lot, "P1", "--licence", LICENCE))
    ended = told(call("wake", "read", lot, "P1", "line_volts", "450 V", "--point", "L1 to L2",
                      "--json"), 1)  # fmt: skip
    assert (ended["state"], ended["aborted"]) == ("aborted", True)
    assert "450 V" in ended["next_act"]
    assert "cause" in problems(begin(call, lot, "P1", "--licence", LICENCE))
    told(call("wake", "found", lot, "P1", "tap of the street", "--name", AN, "--json"))
    told(begin(call, lot, "P1", "--licence", LICENCE))
    assert told(call("wake", "abort", lot, "P1", "smell", "--name", AN, "--json"))["state"] == (
        "strip"
    )


def test_what_was_mistyped_is_taken_back(call, lot):
    told(begin(call, lot, "P1", "--licence", LICENCE))
    wrong = told(call("wake", "read", lot, "P1", "supply_unbalance", "40", "--json"), 1)
    assert problems(call("wake", "take-back", wrong["kept"], "--json"), 2) == ["reason"]
    back = call("wake", "take-back", wrong["kept"], "--reason", "it was 0.4", "--json")
    assert told(back)["of"] == "stage_reading"
    assert told(call("wake", "stage", lot, "P1", "--json"))["state"] == "begun"
    assert told(call("wake", "leave", lot, "P1", "--name", AN, "--json"))["state"] == "open"


def test_a_band_is_typed_with_its_reason_and_a_first_turn_asks_for_more(call, lot, shop, kinds):
    signed_up_to(shop, lot, "mill", kinds, "P3")
    stage = kinds["vertical_machining_centre"].stages
    close(shop, lot, "mill", kinds, stage["P4-V"])
    for wrong in ("motor_amps", "motor_amps=3:x", "motor_amps=a..3:x"):
        assert begin(call, lot, "P4", "--expect", wrong).code == 2, wrong
    told(begin(call, lot, "P4", "--expect", "motor_amps=..3:the motor's own plate"))
    signed_up_to(shop, lot, "mill", kinds, "P7")
    close(shop, lot, "mill", kinds, stage["P8-V"])
    assert problems(begin(call, lot, "P8")) == ["laptop"]
    assert problems(begin(call, lot, "P8", "--laptop")) == ["heard"]
    assert problems(begin(call, lot, "P8", "--paper", "--step", "3")) == ["step"]
    assert told(begin(call, lot, "P8", "--paper"))["state"] == "begun"


# the watch


def test_a_healthy_file_is_judged_whole(call, tmp_path):
    path = logged(tmp_path, HEALTHY)
    answer = told(call("wake", "watch", str(path), "--room", "21 °C", "--plate", "N16=30 A",
                       "--json"))  # fmt: skip
    assert (answer["schema"], answer["call"]) == ("wake.watch.1", "go")
    assert answer["settles_c"] == pytest.approx(25.0, abs=0.2)
    assert answer["called_at"] is None
    assert answer["why"]["called_at"] == "nothing called for a stop"
    assert answer["readings"] == 80


def test_a_stop_anywhere_in_a_file_is_a_stop_and_rings(call, tmp_path):
    path = logged(tmp_path, [*HEALTHY[:10], 61.0, 61.5, *HEALTHY[12:]])
    door = call("wake", "watch", str(path), "--room", "70 °F")
    assert door.code == 1
    assert "\a" in door.out
    assert "STOP, called at 2026-11-25 20:10" in door.out
    answer = told(call("wake", "watch", str(path), "--room", "21 °C", "--json"), 1)
    assert answer["call"] == "stop"
    assert "60 °C" in answer["called_why"]


def test_a_hole_in_a_file_is_a_stop(call, tmp_path):
    path = logged(tmp_path, HEALTHY)
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join(lines[:6] + lines[16:]), encoding="utf-8")
    answer = told(call("wake", "watch", str(path), "--room", "21 °C", "--json"), 1)
    assert answer["call"] == "no_reading"
    assert len(answer["gaps"]) == 1


def test_a_step_of_a_kind_has_its_own_limits(call, tmp_path):
    path = logged(tmp_path, [21.0 + at / 4 for at in range(40)])
    step = ("--kind", "turning_centre", "--stage", "P8", "--plate", "N16=30", "--plate", "N21=3000")
    answer = told(call("wake", "watch", str(path), "--room", "21 °C", *step, "--step", "1",
                       "--json"), 1)  # fmt: skip
    assert "8 K" in answer["called_why"]  # step 1 ends over 8 K
    assert call("wake", "watch", str(path), *step, "--step", "12").code == 2
    assert call("wake", "watch", str(path), "--stage", "P8").code == 2


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "no reading can be taken"),
        ("when,what\n1,2\n", ""),
        ("time,nose_c\n2026-11-25T20:00:00,70\n2026-11-25T20:01:00,71\n", "only a person"),
        ("time,nose_c\nyesterday,21\n", "no moment"),
    ],
    ids=["empty", "no column", "°F asked", "no moment"],
)
def test_a_bad_file_is_named(call, tmp_path, text, word):
    path = tmp_path / "bad.csv"
    path.write_text(text, encoding="utf-8")
    door = call("wake", "watch", str(path), "--room", "21 °C")
    assert door.code == 2
    assert word in door.err


def test_what_a_file_asked_is_answered(call, tmp_path):
    path = logged(tmp_path, [70.0, 70.4, 70.8])
    answer = told(call("wake", "watch", str(path), "--room", "21 °C", "--fahrenheit", "--json"))
    assert answer["nose_c"] == pytest.approx(21.5, abs=0.2)


def test_no_file_and_no_file_of_that_name_are_refused(call, tmp_path):
    assert problems(call("wake", "watch", "--json"), 2) == ["file"]
    assert call("wake", "watch", str(tmp_path / "none.csv")).code == 2


def test_it_is_followed_only_once_the_bell_was_heard(call, tmp_path):
    path = logged(tmp_path, HEALTHY[:3])
    assert problems(call("wake", "watch", str(path), "--follow", "--json"), 3) == ["heard"]
    assert call("wake", "watch", "--ring").out.startswith("\a")


class Logging(TickingClock):
    """At the first two looks a logger's file is empty; then it writes a line in every second."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.path, self.looks = path, 0
        path.write_text("time,amps\n", encoding="utf-8")

    def __call__(self) -> datetime:
        now = super().__call__()
        self.looks += 1
        if self.looks > 2:
            with self.path.open("a", encoding="utf-8") as file:
                file.write(f"{now.isoformat()},{5 if self.looks < 7 else 12}\n")
        return now


def test_a_growing_file_is_followed_until_it_stops(tmp_path, house, capsys):
    path = tmp_path / "grows.csv"
    logging = replace(house, clock=Logging(path))
    code = run(["wake", "watch", str(path), "--follow", "--heard", "--every", "0.02",
                "--expected-amps", "5"], logging)  # fmt: skip
    out = capsys.readouterr().out
    assert code == 1
    assert out.count("\a") == 20
    assert "GO ON" in out
    assert "STOP, called at" in out
    assert "12.0 A" in out.rpartition("STOP, called at")[2]


def test_a_file_that_stops_growing_is_a_stop(call, tmp_path):
    path = tmp_path / "still.csv"
    path.write_text("time,nose_c\n", encoding="utf-8")
    door = call("wake", "watch", str(path), "--follow", "--heard", "--every", "0.02", "--silence",
                "1", "--json")  # fmt: skip
    answer = told(door, 1)  # the clock of this house ticks a second at each look
    assert answer["call"] == "no_reading"


def test_with_a_shop_everything_is_kept_once_and_it_is_gone_on_with(
    call, lot, shop, tmp_path, house, monkeypatch
):
    monkeypatch.setattr(shop, "_clock", house.clock)
    start = house.clock()
    at = ("--lot", lot, "--heard", "--what", "spindle", "--room", "21 °C", "--json",
          "--expected-amps", "5")  # fmt: skip
    path = logged(tmp_path, HEALTHY[:3], start=start, apart=timedelta(seconds=1))
    first = told(call("wake", "watch", str(path), *at))
    assert (first["call"], shop.current(WatchBegun)[0].fact.what) == ("go", "spindle")
    again = ("--watch", first["watch"], "--json")
    told(call("wake", "watch", str(path), *again))
    assert len(shop.current(WatchReadings)) == 1
    with path.open("a", encoding="utf-8") as file:
        for second in range(3, 50):
            file.write(f"{(start + timedelta(seconds=second)).isoformat()},21.5,14.0\n")
    house.clock.now += timedelta(seconds=45)
    for _ in range(2):
        assert told(call("wake", "watch", str(path), *again), 1)["call"] == "stop"
    assert [one.fact.call for one in shop.current(WatchCalled)] == ["stop"]
    ended = told(call("wake", "watch", *again, "--end", "stopped", "--name", AN))
    assert ended["how"] == "stopped"
    assert told(call("wake", "watch", str(path), *again))["call"] == "ended"
    assert problems(call("wake", "watch", "--end", "left", "--lot", lot, "--json"), 2) == ["watch"]


def test_a_recording_is_held_against_its_own_beginning(call, tmp_path):
    path = tmp_path / "growl.wav"
    quiet, loud = b"\x00\x01\x00\xff" * 400_000, b"\x00\x08\x00\xf8" * 400_000
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(8000)
        file.writeframes(quiet + loud)  # a hundred seconds each, the second 18 dB louder
    answer = told(call("wake", "watch", str(path), "--json"), 1)
    assert answer["call"] == "stop"
    assert "over its own level" in answer["called_why"]
