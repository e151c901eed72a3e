"""Parts shared out: the same answers whoever works, and a worker that is lost changes nothing."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator, Mapping
from contextlib import closing
from pathlib import Path

import pytest
from tests.cases.priced import LATHE, kinds
from tests.cases.screen.listed import KILLS, always_killed, killed_once, small_parts

from retrue.base.refusals import NotYet, Unreadable
from retrue.cases.screen.parts import Here, Part, PartDone, Spread, Work
from retrue.cases.screen.score import score_part
from retrue.kinds.library import Kind
from retrue.spreading import TRIES, Cluster, Processes, cores, spread_of

PARTS = 5


@pytest.fixture(scope="module")
def lathes() -> Mapping[str, Kind]:
    return {LATHE: kinds()[LATHE]}


@pytest.fixture(scope="module")
def expected(lathes: Mapping[str, Kind]) -> tuple[PartDone, ...]:
    return tuple(Here().run(score_part, small_parts(PARTS), lathes))


@pytest.fixture
def mark(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Whether a worker was killed."""
    path = tmp_path / "killed"
    monkeypatch.setenv("RETRUE_TEST_KILL", str(path))
    return path


def worked(spread: Spread, work: Work, lathes: Mapping[str, Kind]) -> tuple[PartDone, ...]:
    """Every part once, in order."""
    done = list(spread.run(work, small_parts(PARTS), lathes))
    return tuple(sorted(done, key=lambda one: one.number))


# --- processes -----------------------------------------------------------------------------------


def test_two_processes_say_what_one_says(lathes, expected) -> None:
    assert worked(Processes(2, "fork"), score_part, lathes) == expected


def test_a_process_begun_anew_says_the_same(lathes, expected) -> None:
    """Where other threads run, a copy of this process would hold their locks for ever."""
    waiting = threading.Event()
    thread = threading.Thread(target=waiting.wait)
    thread.start()
    try:
        assert Processes(1)._way() == "spawn"
        done = list(Processes(1).run(score_part, small_parts(1), lathes))
    finally:
        waiting.set()
        thread.join()
    assert done == [expected[0]]


def test_a_worker_that_is_killed_changes_nothing(lathes, expected, mark: Path) -> None:
    assert worked(Processes(2, "fork"), killed_once, lathes) == expected
    assert mark.exists()


def test_a_part_that_ends_its_worker_each_time_is_named_and_its_neighbours_are_done(
    lathes, expected
) -> None:
    done: list[PartDone] = []
    with pytest.raises(NotYet, match=rf"lots {KILLS}a to {KILLS}b .* {TRIES} times"):
        done.extend(_noted(done, Processes(2, "fork").run(always_killed, small_parts(4), lathes)))
    assert KILLS not in [one.number for one in done]
    assert all(one in expected for one in done)


def _noted(done: list[PartDone], answers: Iterator[PartDone]) -> list[PartDone]:
    for one in answers:
        done.append(one)
    return []


def test_who_stops_leaves_no_process(lathes) -> None:
    import multiprocessing

    others = set(multiprocessing.active_children())  # of a cluster, where one was begun before
    with closing(Processes(2, "fork").run(score_part, small_parts(PARTS), lathes)) as answers:
        next(answers)
        assert set(multiprocessing.active_children()) - others
    assert not set(multiprocessing.active_children()) - others


def test_workers_end_with_the_first_process(lathes, tmp_path: Path) -> None:
    """Killed outright, it cannot tell them."""
    import subprocess
    import sys
    import time

    code = (
        "import sys, time, multiprocessing\n"
        "from retrue.spreading import Processes\n"
        "from retrue.cases.screen.parts import Part\n"
        "from tests.wiring.test_spreading import slow\n"
        "part = Part(number=0, lots=(), seed=7, worlds=100)\n"
        "import threading\n"
        "def tell():\n"
        "    while not multiprocessing.active_children(): time.sleep(0.01)\n"
        "    print(multiprocessing.active_children()[0].pid, flush=True)\n"
        "threading.Thread(target=tell).start()\n"
        "list(Processes(1, 'fork').run(slow, [part], {}))\n"
    )
    first = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True)
    worker = int(first.stdout.readline())
    first.kill()
    first.wait()
    first.stdout.close()
    until = time.monotonic() + 60
    while time.monotonic() < until and _runs(worker):
        time.sleep(0.02)
    assert not _runs(worker)


def slow(part: Part, kinds: Mapping[str, Kind]) -> PartDone:
    """Much longer than the test."""
    import time

    time.sleep(600)
    return PartDone(number=part.number, rows=())


def _runs(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"


def test_who_works_is_what_was_asked_for() -> None:
    assert isinstance(spread_of(1), Here)
    assert vars(spread_of(3))["count"] == 3
    assert isinstance(spread_of(None), Here if cores() == 1 else Processes)
    assert vars(spread_of(4, "tcp://office:8786")) == {"address": "tcp://office:8786"}


# --- a cluster -----------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A scheduler and two workers of its own; the address of the scheduler."""
    distributed = pytest.importorskip("distributed")
    import dask

    folder = tmp_path_factory.mktemp("cluster")
    patient = {f"distributed.comm.timeouts.{what}": "300s" for what in ("connect", "tcp")}
    os.environ["RETRUE_TEST_KILL"] = str(folder / "killed")
    try:
        with (
            pytest.MonkeyPatch.context() as patch,
            dask.config.set({"temporary-directory": str(folder)} | patient),
            distributed.LocalCluster(
                n_workers=2,
                threads_per_worker=1,
                dashboard_address=None,
                silence_logs=50,
            ) as made,
        ):
            patch.setattr("retrue.spreading.ANSWERS_IN_S", 300.0)  # a machine may be slow and busy
            yield made.scheduler_address
    finally:
        del os.environ["RETRUE_TEST_KILL"]


def test_a_cluster_says_what_one_process_says_though_a_worker_is_killed(
    cluster: str, lathes, expected
) -> None:
    assert worked(Cluster(cluster), killed_once, lathes) == expected


def test_a_cluster_of_another_edition_is_refused(cluster: str, lathes, monkeypatch) -> None:
    monkeypatch.setattr("retrue.spreading.edition", lambda: "retrue 9.9")
    with pytest.raises(NotYet, match=r"a worker has .*, this machine has retrue 9\.9"):
        list(Cluster(cluster).run(score_part, small_parts(1), lathes))


def test_where_nothing_answers_it_is_said(monkeypatch) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr("retrue.spreading.ANSWERS_IN_S", 0.3)
    with pytest.raises(Unreadable, match="no cluster answers at tcp://127"):
        list(Cluster("tcp://127.0.0.1:9").run(score_part, small_parts(1), {}))


def test_without_dask_it_says_how_to_get_it(monkeypatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(Unreadable, match="Dask is not installed") as refused:
        list(Cluster("tcp://127.0.0.1:9").run(score_part, small_parts(1), {}))
    assert "retrue[cluster]" in refused.value.remedy
