"""The run-in watch on its pages, and what follows a logger's file at the server."""

from __future__ import annotations

import logging
import re
import threading
from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.paper.reading import text_of as paper_text
from tests.web.bare import bare_lot
from tests.web.conftest import Clock
from tests.web.joining import joined
from tests.web.recording import wav
from tests.web.visitor import HERE, Visitor, text_of, values

from retrue.kinds.library import Kind
from retrue.records.facts import Note
from retrue.records.shop import RecordShop
from retrue.records.waking import WatchBegun, WatchCalled, WatchEnded, WatchReadings
from retrue.store.logger_file import named
from retrue.web.app import Settings, app
from retrue.web.wake.follower import Follower, running

HEARD = {"what": "spindle nose", "room_c": "21", "alarm": "laptop", "heard": "yes"}
JSON = {"headers": {"accept": "application/json"}}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "loggers"
    made.mkdir()
    (made / "nose.csv").write_text("time,nose_c,amps\n", encoding="utf-8")
    (tmp_path / "secret.csv").write_text("time,nose_c\n", encoding="utf-8")
    return made


@pytest.fixture
def rung() -> list[str]:
    return []


@pytest.fixture
def house(
    kinds: Mapping[str, Kind], clock: Clock, settings: Settings, folder: Path, rung: list[str]
) -> Starlette:
    told = replace(settings, loggers=named([folder]))
    shop = FakeShop(clock)
    return app(shop=shop, kinds=kinds, clock=clock, settings=told, ring=lambda: rung.append("x"))


@pytest.fixture
def shop(house: Starlette) -> RecordShop:
    kept: RecordShop = house.state.shop
    return kept


@pytest.fixture
def follower(house: Starlette) -> Follower:
    made: Follower = house.state.follower
    return made


@pytest.fixture
def machines(shop: RecordShop) -> tuple[str, ...]:
    return bare_lot(shop)


@pytest.fixture
def machine(machines: tuple[str, ...]) -> str:
    return machines[0]


@pytest.fixture
def here(machine: str) -> str:
    return machine + "/wake/watch"


def begun(owner: Visitor, here: str, **more: str) -> str:
    answer = owner.post(here, HEARD | more, follow=False)
    assert answer.status_code == 303, text_of(answer)
    return answer.headers["location"]


def write(folder: Path, clock: Clock, *rows: str) -> None:
    with (folder / "nose.csv").open("a", encoding="utf-8") as file:
        for row in rows:
            file.write(f"{clock().isoformat()},{row}\n")


def state(owner: Visitor, watch: str) -> dict[str, object]:
    said: dict[str, object] = owner.get(watch + "/state").json()
    return said


class TestTheStart:
    def test_it_is_refused_until_the_alarm_was_heard(
        self, owner: Visitor, here: str, shop: RecordShop
    ) -> None:
        page = owner.post(here, HEARD | {"heard": "", "what": "nose, new grease"})
        assert page.status_code == 422
        assert "alarm" in text_of(page)
        assert 'value="nose, new grease"' in page.text
        assert not shop.current(WatchBegun)

    def test_its_keys_stand_closed_until_it_was_sounded(self, owner: Visitor, here: str) -> None:
        page = owner.get(here).text
        for key in ("heard-it", "start-it"):
            assert re.search(rf'id="{key}" disabled', page), key
        assert "disabled" not in page[page.index('id="sound-it"') :].partition(">")[0]

    def test_without_script_it_offers_paper_and_says_so(self, owner: Visitor, here: str) -> None:
        page = owner.get(here)
        assert "Without JavaScript no alarm sounds here" in text_of(page)
        answer = owner.get(here + "/sheet.pdf")
        assert answer.headers["content-type"] == "application/pdf"
        assert "the alarm does not sound from paper" in " ".join(
            paper_text(answer.content).lower().split()
        )
        watch = begun(owner, here, alarm="paper", heard="")
        assert "Watched with paper and a kitchen timer" in text_of(owner.get(watch))

    def test_the_telephone_says_that_the_alarm_sounds_at_the_laptop(
        self, owner: Visitor, here: str, house: Starlette
    ) -> None:
        phone = joined(house, base=HERE)
        assert "The alarm sounds at the laptop, not on this phone" in text_of(phone.get(here))
        assert 'id="start-it"' not in phone.get(here).text
        assert 'id="start-it"' in phone.get(here + "?beside=yes").text
        watch = begun(owner, here)
        page = phone.get(watch + "/readings")
        assert "The alarm sounds at the laptop, not here" in text_of(page)
        assert 'data-screen="no"' in page.text
        assert 'id="stands"' not in page.text

    def test_no_page_can_name_a_path(self, owner: Visitor, here: str, shop: RecordShop) -> None:
        assert values(owner.get(here), "logger") == ["", "loggers/nose.csv"]
        for path in ("../secret.csv", "/etc/hostname", "loggers/../../secret.csv"):
            page = owner.post(here, HEARD | {"logger": path})
            assert page.status_code == 422
        assert not shop.current(WatchBegun)

    def test_numbers_that_cannot_be_are_named(self, owner: Visitor, here: str) -> None:
        page = owner.post(here, HEARD | {"silence_minutes": "120", "room_c": "warm"})
        assert page.status_code == 422
        assert 'value="warm"' in page.text


class TestTheScreen:
    def test_one_large_state_stands_before_numbers_picture_and_table(
        self, owner: Visitor, here: str, clock: Clock
    ) -> None:
        watch = begun(owner, here)
        for nose in ("21", "21,4", "21,9"):
            clock.passes(minutes=1)
            page = owner.post(watch + "/readings", {"nose": nose, "amps": "3.1"})
        order = ['id="state"', 'id="due"', 'id="numbers"', 'id="curve"', 'id="rows"', 'id="end"']
        places = [page.text.index(mark) for mark in order]
        assert places == sorted(places)
        assert page.text.count("<svg") == 2  # the telephone's and the laptop's
        assert "Go on" in text_of(page)
        assert "Do not reach for this screen while it turns" in text_of(page)

    def test_a_program_asks_for_the_state_alone(
        self, owner: Visitor, here: str, clock: Clock
    ) -> None:
        watch = begun(owner, here, silence_minutes="6")
        clock.passes(minutes=2)
        said = state(owner, watch)
        assert said["schema"] == "watch_state/1"
        assert said["due_s"] == 240.0
        assert (said["call"], said["alarm"], said["rows"]) == ("go", False, 0)
        clock.passes(minutes=5)
        said = state(owner, watch)
        assert (said["call"], said["alarm"], said["shape"]) == ("no_reading", True, "bad")
        assert said["words"] == "Stop"

    def test_a_reading_over_the_limit_calls_stop(self, owner: Visitor, here: str) -> None:
        watch = begun(owner, here)
        owner.post(watch + "/readings", {"nose": "61.5"})
        assert state(owner, watch)["call"] == "stop"
        assert "The nose reads 61.5" in text_of(owner.get(watch))

    def test_a_typed_reading_sent_twice_is_kept_once_with_its_own_moment(
        self, owner: Visitor, here: str, shop: RecordShop, clock: Clock
    ) -> None:
        watch = begun(owner, here)
        clock.passes(minutes=3)
        form = {"id": "8d1c2ab6-0000-4000-8000-0000000000b1", "nose": "22,5", "room": "20.5",
                "observed_at": (clock() - timedelta(seconds=90)).isoformat()}  # fmt: skip
        for _ in range(2):
            assert owner.post(watch + "/readings", form, **JSON).json()["id"] == form["id"]
        (record,) = shop.current(WatchReadings)
        assert [(name, value) for _, name, value in record.fact.rows] == [
            ("nose", 22.5), ("room", 20.5),
        ]  # fmt: skip
        assert record.fact.rows[0][0].startswith("2026-11-25T20:41:30")

    def test_a_recording_is_kept_as_readings_and_a_table_is_none(
        self, owner: Visitor, here: str, shop: RecordShop
    ) -> None:
        path = begun(owner, here) + "/sound"
        assert owner.post(path, {}).status_code == 422
        for content in (wav(3), b"time,nose"):  # too short for one level; no recording
            page = owner.post(path, {}, [("recording", ("a.wav", content, "audio/wav"))])
            assert page.status_code in (415, 422)
        assert not shop.current(WatchReadings)
        page = owner.post(path, {}, [("recording", ("a.wav", wav(20), "audio/wav"))])
        assert page.status_code == 200
        (record,) = shop.current(WatchReadings)
        assert (record.fact.source, len(record.fact.rows)) == ("sound", 2)

    def test_a_typed_reading_is_taken_back(
        self, owner: Visitor, here: str, shop: RecordShop
    ) -> None:
        watch = begun(owner, here)
        page = owner.post(watch + "/readings", {"room": "205", "back": "readings"})
        (record,) = values(page, "record")
        page = owner.post(watch + "/back", {"record": record, "back": "readings"})
        assert page.url.path == watch + "/readings"
        assert not shop.current(WatchReadings)
        assert state(owner, watch)["rows"] == 0

    def test_nothing_typed_and_no_number_are_refused(self, owner: Visitor, here: str) -> None:
        watch = begun(owner, here)
        assert owner.post(watch + "/readings", {}).status_code == 422
        page = owner.post(watch + "/readings", {"nose": "hot", "amps": "3"})
        assert page.status_code == 422
        assert 'value="hot"' in page.text
        refused = owner.post(watch + "/readings", {"nose": "hot"}, **JSON)
        assert refused.json()["problems"][0]["where"] == "nose"

    def test_it_ends_by_name_and_says_so(self, owner: Visitor, here: str, shop: RecordShop) -> None:
        watch = begun(owner, here)
        before = text_of(owner.get(watch))
        assert "After it stands" in before
        assert "or the step is over" not in before
        assert owner.post(watch + "/end", {"how": "left"}).status_code == 422
        page = owner.post(watch + "/end", {"how": "left", "name": "An"})
        assert state(owner, watch)["ended"] is True
        assert 'id="end"' not in page.text
        assert shop.current(WatchEnded)[0].fact.name == "An"

    def test_every_page_of_first_power_leads_back_to_a_watch_that_runs(
        self, owner: Visitor, here: str
    ) -> None:
        watch = begun(owner, here)
        pages = (here, here.removesuffix("/watch"), here.removesuffix("watch") + "stages/P0-V")
        for path in pages[:2]:
            assert f'<a href="{watch}">' in owner.get(path).text
        assert "A watch runs" in text_of(owner.get(pages[0]))
        owner.post(watch + "/end", {"how": "left", "name": "An"})
        for path in pages:
            assert "A watch runs" not in text_of(owner.get(path))

    def test_another_machine_s_watch_is_not_shown(
        self, owner: Visitor, here: str, machines: tuple[str, ...]
    ) -> None:
        watch = begun(owner, here).rsplit("/", 1)[1]
        path = f"{machines[1]}/wake/watch/{watch}"
        assert owner.get(path).status_code == 404


class TestTheFollower:
    @pytest.fixture
    def watch(self, owner: Visitor, here: str) -> str:
        return begun(owner, here, logger="loggers/nose.csv", expected_a="3")

    def rows(self, shop: RecordShop) -> list[tuple[str, str, float]]:
        return [row for one in shop.current(WatchReadings) for row in one.fact.rows]

    def test_it_takes_new_rows_once_and_leaves_a_half_written_line(
        self, shop: RecordShop, follower: Follower, folder: Path, clock: Clock, watch: str
    ) -> None:
        for n in range(3):
            clock.passes(seconds=20)
            write(folder, clock, f"{21 + n / 10},3.0")
            follower.once()
            follower.once()
        with (folder / "nose.csv").open("a", encoding="utf-8") as file:
            file.write(f"{(clock() + timedelta(seconds=5)).isoformat()},2")
        follower.once()
        assert [value for _, name, value in self.rows(shop) if name == "nose"] == [21, 21.1, 21.2]
        clock.passes(seconds=20)
        with (folder / "nose.csv").open("a", encoding="utf-8") as file:
            file.write("1.3,3.0\n")
        follower.once()
        assert [value for _, name, value in self.rows(shop) if name == "nose"][-1] == 21.3

    def test_a_stop_is_kept_once_and_rings_again_until_somebody_ends_the_watch(
        self, owner: Visitor, shop: RecordShop, follower: Follower, folder: Path, clock: Clock,
        watch: str, rung: list[str],
    ) -> None:  # fmt: skip
        clock.passes(seconds=20)
        write(folder, clock, "21.0,3.0")
        follower.once()
        assert rung == []
        clock.passes(seconds=20)
        write(folder, clock, "62.0,9.5")
        follower.once()
        assert rung == ["x"]
        clock.passes(seconds=4)
        follower.once()
        assert rung == ["x"]
        clock.passes(seconds=8)
        follower.once()
        assert rung == ["x", "x"]
        assert [one.fact.call for one in shop.current(WatchCalled)] == ["stop"]
        owner.post(watch + "/end", {"how": "stopped", "name": "An"})
        clock.passes(seconds=30)
        follower.once()
        assert rung == ["x", "x"]
        assert running(shop) == []

    def test_no_reading_for_the_set_time_rings_without_any_page_open(
        self, follower: Follower, clock: Clock, here: str, owner: Visitor, rung: list[str]
    ) -> None:
        begun(owner, here)
        clock.passes(minutes=5)
        follower.once()
        assert rung == []
        clock.passes(minutes=2)
        follower.once()
        assert rung == ["x"]

    def test_a_file_that_stops_growing_is_named_on_the_page(
        self, owner: Visitor, follower: Follower, folder: Path, clock: Clock, watch: str
    ) -> None:
        write(folder, clock, "21.0,3.0")
        follower.once()
        clock.passes(seconds=70)
        follower.once()
        assert "has not grown since" in str(state(owner, watch)["trouble"])
        assert "has not grown since" in text_of(owner.get(watch))
        write(folder, clock, "21.1,3.0")
        follower.once()
        assert state(owner, watch)["trouble"] == ""

    def test_degrees_fahrenheit_are_asked_and_the_answer_is_kept(
        self, owner: Visitor, shop: RecordShop, follower: Follower, folder: Path, clock: Clock,
        watch: str,
    ) -> None:  # fmt: skip
        for warm in (69.8, 70.2, 70.7):
            clock.passes(seconds=10)
            write(folder, clock, f"{warm},3.0")
        follower.once()
        assert "°F" in str(state(owner, watch)["trouble"])
        assert {name for _, name, _ in self.rows(shop)} <= {"amps"}
        owner.post(watch + "/logger", {"degrees": "f"})
        clock.passes(seconds=10)
        write(folder, clock, "71.6,3.0")
        follower.once()
        nose = [value for _, name, value in self.rows(shop) if name == "nose"]
        assert nose[-1] == pytest.approx(22.0)
        assert "°F" in shop.current(Note)[-1].fact.text
        assert state(owner, watch)["trouble"] == ""

    def test_a_logger_that_is_gone_is_said_and_comes_back(
        self, owner: Visitor, follower: Follower, folder: Path, clock: Clock, watch: str
    ) -> None:
        (folder / "nose.csv").rename(folder / "away.pdf")
        follower.once()
        assert "no logger is called" in str(state(owner, watch)["trouble"])
        (folder / "away.pdf").rename(folder / "nose.csv")
        write(folder, clock, "21.0,3.0")
        follower.once()
        assert state(owner, watch)["trouble"] == ""

    def test_it_goes_on_in_its_thread_after_a_bad_pass_and_rings(
        self, follower: Follower, monkeypatch: pytest.MonkeyPatch, rung: list[str],
        caplog: pytest.LogCaptureFixture,
    ) -> None:  # fmt: skip
        passes: list[int] = []
        enough = threading.Event()

        def bad(self: Follower) -> None:
            passes.append(1)
            if len(passes) == 3:
                enough.set()
            raise OSError("disk gone")

        monkeypatch.setattr(Follower, "once", bad)
        with caplog.at_level(logging.ERROR), follower.following(0.01):
            assert enough.wait(120)
        assert len(rung) >= 2
        assert "disk gone" in caplog.text

    def test_an_offset_that_is_no_number_comes_back(self, owner: Visitor, watch: str) -> None:
        page = owner.post(watch + "/logger", {"offset_s": "an hour"})
        assert page.status_code == 422
        assert 'value="an hour"' in page.text
