"""What all tests share: one thread for sums, repeatable chance, a list of what was not run."""

from __future__ import annotations

import asyncio
import gc
import os
import time
from collections.abc import Generator
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest
from _pytest.runner import runtestprotocol
from hypothesis import settings
from hypothesis.internal.conjecture import providers

for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")
os.environ["TZ"] = "UTC"  # a day ends at the same moment wherever the tests run
if hasattr(time, "tzset"):
    time.tzset()

HOUSE = "tests/house/"
READ = (HOUSE, "tests/base/test_dutch.py")  # they read the program's whole source

SELDOM = 20_000  # things made until it is looked which of them are waste; 700 looks all the time

settings.register_profile("house", deadline=None, derandomize=True, database=None, max_examples=25)
settings.load_profile("house")
# Else it draws from what stands in whatever of our modules is loaded: others alone than together.
providers._get_local_constants = lambda: providers._local_constants


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--not-run", metavar="FILE", help="write what was not run to FILE")


class NotRun:
    """Keeps the reason of every test that was left out, once each."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.reasons: dict[str, int] = {}

    def note(self, reason: str) -> None:
        reason = " ".join(reason.removeprefix("Skipped: ").split()).replace(";", ",")
        self.reasons[reason] = self.reasons.get(reason, 0) + 1

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if hasattr(report, "wasxfail") and report.skipped:
            self.note(f"{report.nodeid} (expected to fail)")
        elif report.skipped:
            self.note(_why(report))

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.skipped:
            self.note(_why(report))

    def pytest_sessionfinish(self) -> None:
        lines = [f"{reason} ({count})" for reason, count in sorted(self.reasons.items())]
        self.path.write_text("\n".join(lines), encoding="utf-8")


class Library:
    """The files of the library are parsed once a process, not once a test."""

    @pytest.hookimpl(wrapper=True)
    def pytest_runtestloop(self) -> Generator[None, object, object]:
        from tests import library  # late: how many threads count is said above

        with library.parsed_once():
            return (yield)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Generator[None, object, object]:
        if not isinstance(item, pytest.DoctestItem) or item.path.parent.name == "kinds":
            return (yield)
        from tests import library

        with library.read_once(), library.unchanged():
            return (yield)


class Brief:
    """In a process beside the first: of what passed it is told once, not that it began and ended.

    Three messages more for each of fourteen thousand tests cost both of them twenty seconds.
    """

    @pytest.hookimpl
    def pytest_runtest_protocol(self, item: pytest.Item, nextitem: pytest.Item | None) -> bool:
        for report in runtestprotocol(item, log=False, nextitem=nextitem):
            if report.when == "call" or not report.passed:
                item.ihook.pytest_runtest_logreport(report=report)
        item.ihook.pytest_runtest_logfinish(nodeid=item.nodeid, location=item.location)
        return True


class FromTheEnd:
    """The second process begins with the last files: what one compiles, the other finds.

    On a new checkout every assert of the tests is rewritten: a quarter of a minute for each.
    """

    @pytest.hookimpl(tryfirst=True)
    def pytest_collection(self, session: pytest.Session) -> None:
        home = session.config.rootpath
        files = sorted(TESTS.rglob("test_*.py"))
        for path in files[: len(files) // 2 : -1]:
            # it is imported for its compiled file alone: what is wrong with it, or why it is
            # skipped, is met and told when pytest itself collects it a moment later
            with suppress(Exception, pytest.skip.Exception):
                import_module(".".join(path.relative_to(home).with_suffix("").parts))


TESTS = Path(__file__).parent
BROWSER = TESTS / "browser"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Generator[None, object, object]:
    """Playwright leaves its loop marked as running in this thread; other tests run their own."""
    if item.path.is_relative_to(BROWSER):
        return (yield)
    loop = asyncio._get_running_loop()
    asyncio._set_running_loop(None)
    try:
        return (yield)
    finally:
        asyncio._set_running_loop(loop)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> object:
    """File by file; those that read the source share a process, so that it is read once."""
    if config.getvalue("dist") != "loadfile":
        return None
    scheduler = import_module("xdist.scheduler").LoadFileScheduling(config, log)
    by_file = scheduler._split_scope

    def by_room(nodeid: str) -> str:
        return HOUSE if nodeid.startswith(READ) else str(by_file(nodeid))

    scheduler._split_scope = by_room
    made: object = scheduler
    return made


def _why(report: pytest.TestReport | pytest.CollectReport) -> str:
    told = report.longrepr
    return told[2] if isinstance(told, tuple) else str(told)


def pytest_collection_finish() -> None:
    """What was collected stays to the end: nobody need look again whether it is still used."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(SELDOM, 20, 20)
    gc.enable()


def pytest_configure(config: pytest.Config) -> None:
    gc.disable()  # while tests are collected nearly nothing is thrown away; half the time went so
    if (config.rootpath / "tests" / "library.py").exists():  # else a test of this file alone
        config.pluginmanager.register(Library(), "retrue-library")
    if hasattr(config, "workerinput") and config.getoption("durations") is None:
        config.pluginmanager.register(Brief(), "retrue-brief")
    whole = any(config.rootpath / one == TESTS for one in config.args)
    if whole and getattr(config, "workerinput", {}).get("workerid") == "gw1":
        config.pluginmanager.register(FromTheEnd(), "retrue-from-the-end")
    path = config.getoption("--not-run")
    if path and not hasattr(config, "workerinput"):
        config.pluginmanager.register(NotRun(Path(path)), "retrue-not-run")
