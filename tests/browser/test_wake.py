"""A run-in is watched beside a growing file, in a real browser: seen, heard, and nothing lost."""

from __future__ import annotations

import contextlib
import re
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect
from tests import powering
from tests.browser.conftest import PATIENCE_MS, WORLDS, House, answering, free_port, now
from tests.browser.made import machine_of

from retrue.kinds.library import Kind
from retrue.records.waking import WatchBegun, WatchCalled, WatchReadings
from retrue.store.logger_file import named
from retrue.store.shop import SqlShop, open_shop
from retrue.web.app import Settings, app

LAPTOP = {"width": 1180, "height": 800}
FOLDED_PX = 7000  # on a telephone: what is closed, and steps that are not next, are folded
# ISO 9241-303 (from memory): letters of 20 minutes of arc are read with ease; at three metres that
# is 17.5 mm, and a CSS pixel is 0.2646 mm (CSS Values and Units 4, 5.2): 66 px for a capital.
CAPITAL_PX, CAPITAL_SHARE = 66, 0.7  # a capital of the page's letter is about 0.7 of its size
# Every sound that the page starts and stops, in order.
SPY = """window.sounds = [];
for (const [act, word] of [["start", "on"], ["stop", "off"]]) {
  const real = AudioBufferSourceNode.prototype[act];
  AudioBufferSourceNode.prototype[act] = function (...all) {
    sounds.push(word); return real.apply(this, all); };
}"""
# The page's letters and colours are other tests' work: axe is slow beside a clock that runs.


def until(done: Callable[[], object]) -> None:
    """Wait for what another thread does."""
    deadline = time.monotonic() + PATIENCE_MS / 1000
    while not done():
        assert time.monotonic() < deadline
        time.sleep(0.05)


@dataclass
class Bench:
    """A server that can be stopped and started, its clock, its logger, the shop behind it."""

    folder: Path
    kinds: Mapping[str, Kind]
    port: int = field(default_factory=free_port)
    ahead: timedelta = timedelta()
    rung: list[datetime] = field(default_factory=list)
    written: int = 0
    shop: SqlShop = field(init=False)

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def file(self) -> Path:
        return self.folder / "nose.csv"

    def clock(self) -> datetime:
        return now() + self.ahead

    @contextlib.contextmanager
    def open(self) -> Iterator[None]:
        self.shop = open_shop(str(self.folder / "shop.sqlite"), clock=self.clock)
        settings = Settings(
            secret="only for tests", port=self.port, lan="127.0.0.1", edition="retrue",
            worlds=WORLDS, loggers=named([self.file]),
        )  # fmt: skip
        made = app(shop=self.shop, kinds=self.kinds, clock=self.clock, settings=settings,
                   ring=lambda: self.rung.append(self.clock()))  # fmt: skip
        try:
            with answering(made, self.port), made.state.follower.following(0.2):
                yield
        finally:
            self.shop.close()

    def logs(self, nose: float, amps: float, minutes: float = 1.0) -> None:
        """Time goes on, and the logger writes a line."""
        self.ahead += timedelta(minutes=minutes)
        with self.file.open("a", encoding="utf-8") as file:
            file.write(f"{self.clock().isoformat(timespec='milliseconds')},{nose:.2f},{amps:.1f}\n")
        self.written += 1

    def is_read(self) -> bool:
        """Whether every line of the logger is in the shop."""
        return sum(channel != "room" for _, channel, _ in self.rows()) == 2 * self.written

    def rows(self) -> list[tuple[str, str, float]]:
        return [row for one in self.shop.current(WatchReadings) for row in one.fact.rows]

    def calls(self) -> list[str]:
        return [one.fact.call for one in self.shop.current(WatchCalled)]


@pytest.fixture
def bench(tmp_path: Path, kinds: Mapping[str, Kind]) -> Bench:
    made = Bench(tmp_path, kinds)
    made.file.write_text("time,nose_c,amps\n", encoding="utf-8")
    return made


@pytest.fixture
def screen(page: Page) -> Page:
    """The laptop beside the machine."""
    page.set_viewport_size({"width": LAPTOP["width"], "height": LAPTOP["height"]})
    page.add_init_script(SPY)
    page.on("dialog", lambda dialog: dialog.accept())
    return page


def sounds(page: Page) -> list[str]:
    heard: list[str] = page.evaluate("sounds")
    return heard


def started(bench: Bench, screen: Page, stage: str, **typed: str) -> str:
    """The alarm is heard, then the watch starts; its address."""
    machine = machine_of(House(bench.address, bench.shop), "Run-in")
    if stage:
        lot, key = re.findall(r"/lots/([^/]+)/machines/([^/]+)", machine)[0]
        powering.stamp(bench.shop, lot, key, bench.kinds)
        powering.signed_up_to(bench.shop, lot, key, bench.kinds, "P7")
        kind = bench.kinds["vertical_machining_centre"]
        powering.close(bench.shop, lot, key, bench.kinds, kind.stages[stage])
        powering.begun(bench.shop, lot, key, bench.kinds, stage)
    screen.goto(f"{machine}/wake/watch" + (f"?stage={stage}" if stage else ""))
    for name, text in typed.items():
        screen.locator(f"#{name}").fill(text)
    screen.locator("label", has_text="nose.csv").click()
    assert screen.locator("#heard-it").is_disabled()
    assert screen.locator("#start-it").is_disabled()
    screen.locator("#sound-it").click()
    expect(screen.locator("#heard-it")).to_be_enabled()
    assert screen.locator("#start-it").is_disabled()
    assert sounds(screen) == ["on"]
    screen.locator("#heard-it").click()
    screen.locator("#start-it").click()
    expect(screen.locator("#state")).to_be_visible()
    assert sounds(screen) == ["on", "off"]
    expect(screen.locator("#nosound")).to_be_hidden()  # its sound began with the key
    expect(screen).to_have_url(re.compile(r"/wake/watch/[^/?]+$"))
    return screen.url


def calls(screen: Page, call: str) -> None:
    expect(screen.locator("#state")).to_have_attribute("data-call", call)


def knows(screen: Page, what: str) -> None:
    """The page asks at once, as it would within two seconds, until it knows."""
    screen.wait_for_function(f"() => {{ ask(); return {what}; }}", polling=200)


def passes(screen: Page, seconds: int) -> None:
    """The page's day goes on, as it does while a laptop sleeps; no answer is on its way."""
    screen.wait_for_function("() => !asking")
    screen.evaluate(f"answered.day -= {1000 * seconds}")


def test_a_runaway_is_seen_and_heard_through_a_reload_and_a_new_server(
    bench: Bench, screen: Page, context: BrowserContext
) -> None:
    with bench.open():
        watch = started(bench, screen, "P8-V", room_c="21")
        for n in range(3):
            bench.logs(21 + 0.3 * n, 3.1)
        knows(screen, "state.rows === 6")
        calls(screen, "go")
        big = screen.locator("#state-words")
        size = float(big.evaluate("e => parseFloat(getComputedStyle(e).fontSize)"))
        assert size * CAPITAL_SHARE >= CAPITAL_PX
        screen.reload()
        calls(screen, "go")
        expect(screen.locator("#nosound")).to_be_visible()  # it says loudly that it is mute
        screen.keyboard.press("a")
        expect(screen.locator("#nosound")).to_be_hidden()
        screen.wait_for_function("() => sounds.join() === 'on,off'")  # and says so in a word
    passes(screen, 7)
    expect(screen.locator("#cut")).to_be_visible()  # the server is gone: it says since when
    calls(screen, "no_word")
    screen.locator("#type summary").first.click()
    screen.locator("#room").fill("21,5")
    screen.keyboard.press("Enter")
    expect(screen.locator("#type .says-kept")).to_contain_text("waits on this device")
    bench.logs(21.9, 3.1)  # the logger does not know of servers
    with bench.open():
        calls(screen, "go")
        expect(screen.locator("#cut")).to_be_hidden()
        screen.evaluate("sendAll()")  # it would ask again by itself, four times a minute
        knows(screen, "state.rows === 9")
        before = len(sounds(screen))
        for n in range(8):
            bench.logs(22.2 + 1.7 * n, 3.1 + 0.4 * n)
            until(bench.is_read)
        calls(screen, "stop")
        expect(screen.locator("#alarm")).to_be_visible()
        expect(screen.locator("#state-words")).to_have_text("Stop")
        assert sounds(screen)[before:] == ["on"]  # and goes on by itself
        screen.wait_for_function("() => siren && siren.loop && speaker.state === 'running'")
        until(lambda: bench.rung)
        screen.keyboard.press("Escape")
        expect(screen.locator("#alarm")).to_be_hidden()
        assert sounds(screen)[before:] == ["on", "off"]
        calls(screen, "stop")  # silenced, not forgotten
        knows(screen, f"state.rows === {2 * bench.written + 1}")  # the last line was read too
        rows = bench.rows()
        assert len(rows) == len(set(rows)) == 2 * bench.written + 1
        assert [row[2] for row in rows if row[1] == "room"] == [21.5]
        expect(screen.locator("#rows h2 .num")).to_have_text(str(len(rows)))
        assert bench.calls() == ["stop"]
        assert watch.rsplit("/", 1)[1] in {one.id for one in bench.shop.current(WatchBegun)}


def test_no_reading_in_time_is_a_stop_even_without_the_server(bench: Bench, screen: Page) -> None:
    with bench.open():
        started(bench, screen, "", silence_minutes="2")
        bench.logs(21.0, 3.1, minutes=0.1)
        knows(screen, "state.rows === 2")
        bench.ahead += timedelta(seconds=60)
        knows(screen, "state.due_s < 70")
        calls(screen, "go")
    bench.ahead += timedelta(seconds=70)
    passes(screen, 70)
    calls(screen, "no_reading")  # by the page alone
    expect(screen.locator("#late")).to_be_visible()
    expect(screen.locator("#alarm")).to_be_visible()
    assert sounds(screen) == ["on", "off", "on"]
    screen.locator("#stands").click()  # it stands: now a tap is in order
    assert sounds(screen) == ["on", "off", "on", "off"]
    with bench.open():
        expect(screen.locator("#cut")).to_be_hidden()
        calls(screen, "no_reading")
        expect(screen.locator("#why")).to_contain_text("was not read")
        assert len(bench.rows()) == 2
        until(lambda: bench.calls() == ["no_reading"] and bench.rung)


def test_a_stage_takes_the_alarm_for_heard_only_once_it_sounded(bench: Bench, screen: Page) -> None:
    with bench.open():
        machine = machine_of(House(bench.address, bench.shop), "Run-in")
        lot, key = re.findall(r"/lots/([^/]+)/machines/([^/]+)", machine)[0]
        powering.stamp(bench.shop, lot, key, bench.kinds)
        powering.signed_up_to(bench.shop, lot, key, bench.kinds, "P7")
        powering.close(bench.shop, lot, key, bench.kinds,
                       bench.kinds["vertical_machining_centre"].stages["P8-V"])  # fmt: skip
        screen.set_viewport_size({"width": 360, "height": 800})
        screen.goto(f"{machine}/wake/stages/P8-V")
        heard = screen.locator("input[name=heard][value=yes]")
        expect(heard).to_be_disabled()
        tall: int = screen.evaluate("document.documentElement.scrollHeight")
        assert tall < FOLDED_PX, tall
        screen.locator("#sound-it").click()
        expect(screen.locator("#heard-it")).to_be_enabled()
        screen.locator("#heard-it").click()
        expect(heard).to_be_checked()
