"""The set-up script and the one test command: plain words, one last line, honest exit codes."""

from __future__ import annotations

import ast
import importlib.util
import json
import os
import shutil
import stat
import subprocess
import sys
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import settings
from hypothesis.internal.conjecture import providers
from tests import everything

HOME = Path(__file__).resolve().parents[2]


@pytest.fixture
def script() -> ModuleType:
    """The script as a module, not run."""
    loader = SourceFileLoader("retrue_script", str(HOME / "retrue"))
    spec = importlib.util.spec_from_loader(loader.name, loader)
    assert spec
    module = importlib.util.module_from_spec(spec)
    writes = sys.dont_write_bytecode
    sys.dont_write_bytecode = True
    try:
        loader.exec_module(module)
    finally:
        sys.dont_write_bytecode = writes
    return module


def test_the_script_needs_only_the_standard_library():
    tree = ast.parse((HOME / "retrue").read_text(encoding="utf-8"))
    used = {n.name for node in ast.walk(tree) if isinstance(node, ast.Import) for n in node.names}
    used |= {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert {name.split(".")[0] for name in used} <= set(sys.stdlib_module_names)
    assert (HOME / "retrue").stat().st_mode & stat.S_IXUSR


def test_continuous_integration_runs_exactly_the_one_command():
    lines = (HOME / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert lines[-1] == "./retrue test"
    assert (HOME / ".ci" / "run").stat().st_mode & stat.S_IXUSR
    steps = [line for line in lines if line and not line.startswith(("#", "set ", "cd "))]
    assert steps == ["./retrue test"]


def test_what_is_drawn_at_random_is_the_same_whatever_is_loaded():
    assert settings.default.derandomize
    assert len(providers.HypothesisProvider(None)._local_constants) == 0


def test_an_old_python_is_refused_in_plain_words(
    script: ModuleType, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(script.sys, "version_info", (3, 9, 2))
    with pytest.raises(SystemExit, match=r"Python 3\.9, and retrue needs 3\.11 or newer"):
        script.main()


def test_a_missing_part_of_python_is_named_with_its_package(script: ModuleType):
    with pytest.raises(SystemExit, match=r"(?s)no 'venv_that_is_not_there'.*python3-venv"):
        script.need("venv_that_is_not_there", "python3-venv", "which makes the folder .venv")
    script.need("venv", "python3-venv", "which makes the folder .venv")


def ready(script: ModuleType, folder: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """A project that is set up already; what is called from now on is noted, not run."""
    for name in ("requirements.lock", "requirements-source.lock", "pyproject.toml"):
        (folder / name).write_bytes((HOME / name).read_bytes())
    venv = folder / ".venv"
    (venv / "bin").mkdir(parents=True)
    (venv / "bin" / "python").touch()
    for name, path in {
        "HOME": folder,
        "VENV": venv,
        "STAMP": venv / "retrue-stamp.json",
        "LOCK": folder / "requirements.lock",
        "SOURCES": folder / "requirements-source.lock",
        "PROJECT": folder / "pyproject.toml",
    }.items():
        monkeypatch.setattr(script, name, path)
    called: list[str] = []
    monkeypatch.setattr(script, "call", lambda *parts: called.append(" ".join(map(str, parts))))
    monkeypatch.setattr(script, "need", lambda *_: None)
    script.STAMP.write_text(json.dumps(script.wanted()), encoding="utf-8")
    return called


def test_nothing_is_done_when_nothing_changed(
    script: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    called = ready(script, tmp_path, monkeypatch)
    script.set_up()
    assert called == []


def test_a_changed_lock_is_installed_by_its_hashes(
    script: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    called = ready(script, tmp_path, monkeypatch)
    script.LOCK.write_text("one==1 --hash=sha256:00\n", encoding="utf-8")
    script.set_up()
    assert len(called) == 3
    assert "--require-hashes --only-binary :all: -r" in called[0]
    assert "--require-hashes --no-deps --no-build-isolation --no-binary :all: -r" in called[1]
    assert "--no-deps --no-build-isolation --editable" in called[2]
    script.set_up()
    assert len(called) == 3, "the new stamp is kept"


def test_a_changed_tool_setting_installs_nothing_a_changed_project_only_itself(
    script: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    called = ready(script, tmp_path, monkeypatch)
    told = script.PROJECT.read_text(encoding="utf-8")
    script.PROJECT.write_text(told.replace("line-length = 100", "line-length = 99"), "utf-8")
    script.set_up()
    assert called == []
    script.PROJECT.write_text(told.replace("retrue.wiring:main", "retrue.wiring:other"), "utf-8")
    script.set_up()
    assert len(called) == 1
    assert "--editable" in called[0]


def test_another_python_or_a_lost_folder_begins_anew(
    script: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    called = ready(script, tmp_path, monkeypatch)
    monkeypatch.setattr(script.shutil, "rmtree", lambda *_, **__: called.append("rmtree"))
    old = {**script.wanted(), "python": "3.11.0"}
    script.STAMP.write_text(json.dumps(old), encoding="utf-8")
    script.set_up()
    assert called[0] == "rmtree"
    assert "-m venv --without-pip" in called[1]
    assert "--require-hashes" in called[2]


def test_a_stopped_set_up_leaves_no_stamp(
    script: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    ready(script, tmp_path, monkeypatch)
    script.LOCK.write_text("one==1\n", encoding="utf-8")
    monkeypatch.setattr(script, "call", lambda *_: sys.exit("stopped"))
    with pytest.raises(SystemExit, match="stopped"):
        script.set_up()
    assert not script.STAMP.exists()


WRITES = "import sys, pathlib; pathlib.Path({path!r}).write_text({told!r}); sys.exit({code})"


def last_line(
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
    *,
    told: str = "",
    code: int = 0,
    beside: int = 0,
    all_wanted: bool = False,
    asked: tuple[str, ...] = (),
) -> tuple[str, int]:
    """Run the one command with one step that reports as it is told to, and one beside it."""

    def steps(_asked: list[str], report: Path) -> dict[str, list[str]]:
        write = WRITES.format(path=str(report), told=told, code=code)
        reads = [sys.executable, "-c", f"import sys; sys.exit({beside})"]
        return {"a step": [sys.executable, "-c", write], everything.BESIDE: reads}

    monkeypatch.setattr(everything, "steps", steps)
    monkeypatch.setattr(everything, "missing_programs", dict)
    monkeypatch.setenv("RETRUE_ALL", "1" if all_wanted else "0")
    monkeypatch.setenv("CI", "")
    result = everything.main(list(asked))
    return capfd.readouterr().out.splitlines()[-1], result


def test_the_last_line_says_that_nothing_was_left_out(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
):
    assert last_line(monkeypatch, capfd) == ("NOT RUN: nothing", 0)
    assert last_line(monkeypatch, capfd, all_wanted=True) == ("NOT RUN: nothing", 0)
    assert last_line(monkeypatch, capfd, code=1) == ("NOT RUN: nothing", 1)
    assert last_line(monkeypatch, capfd, beside=1) == ("NOT RUN: nothing", 1)


def test_what_was_left_out_is_named_and_counts_where_all_is_wanted(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
):
    told = "no Chromium (3)\nno PostgreSQL (2)"
    line = "NOT RUN: no Chromium (3); no PostgreSQL (2)"
    assert last_line(monkeypatch, capfd, told=told) == (line, 0)
    assert last_line(monkeypatch, capfd, told=told, all_wanted=True) == (line, 1)
    part = last_line(monkeypatch, capfd, asked=("-k", "units"), all_wanted=True)
    assert part == ("NOT RUN: all tests but -k units", 1)


def test_continuous_integration_wants_all(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
):
    monkeypatch.setenv("CI", "true")
    monkeypatch.setenv("RETRUE_ALL", "")
    monkeypatch.setattr(everything, "missing_programs", dict)
    reads = [sys.executable, "-c", ""]
    monkeypatch.setattr(everything, "steps", lambda *_: {everything.BESIDE: reads})
    assert everything.main([]) == 1
    assert capfd.readouterr().out.splitlines()[-1] == "NOT RUN: all tests"


def test_a_missing_program_is_announced_before_it_is_installed(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
):
    called: list[list[str]] = []
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    monkeypatch.setattr(shutil, "which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setattr(subprocess, "run", lambda command, **_: called.append(list(command)))
    everything.install({"chromium": "the pages in a browser"})
    assert capfd.readouterr().out == (
        "Installing from Debian for the tests: chromium (to test the pages in a browser).\n"
    )
    assert [command[1] for command in called] == ["update", "install"]
    assert called[1][-1] == "chromium"
    called.clear()
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    everything.install({"chromium": "the pages in a browser"})
    assert called == []
    assert "will not run" in capfd.readouterr().out


SKIPPING = """
import pytest
def test_run(): pass
@pytest.mark.skip(reason="no Chromium; none")
def test_one(): pass
@pytest.mark.parametrize("n", [1, 2])
def test_two(n): pytest.skip("no server")
@pytest.mark.xfail(strict=True)
def test_three(): assert False
"""


@pytest.mark.parametrize("workers", [[], ["-n", "2"]], ids=["alone", "two workers"])
def test_every_skip_is_noted_with_its_reason(tmp_path: Path, workers: list[str]):
    (tmp_path / "conftest.py").write_bytes((HOME / "tests" / "conftest.py").read_bytes())
    (tmp_path / "test_some.py").write_text(SKIPPING, encoding="utf-8")
    module = 'import pytest\npytest.skip("no oracle", allow_module_level=True)\n'
    (tmp_path / "test_whole.py").write_text(module, encoding="utf-8")
    report = tmp_path / "not-run"
    told = subprocess.run(
        [sys.executable, "-m", "pytest", *workers, "--not-run", str(report), "-q"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert told.returncode == 0, told.stdout + told.stderr
    noted = report.read_text(encoding="utf-8").splitlines()
    assert [line for line in noted if "expected to fail" not in line] == [
        "no Chromium, none (1)",
        "no oracle (1)",
        "no server (2)",
    ]
    assert any("test_three (expected to fail)" in line for line in noted)


FAILING = """
import pytest
@pytest.fixture
def begins(): assert False
@pytest.fixture
def ends():
    yield
    assert False
def test_passes(): pass
def test_fails(): assert False
def test_begins(begins): pass
def test_ends(ends): pass
"""


def test_nothing_that_fails_in_another_process_is_left_untold(tmp_path: Path):
    (tmp_path / "conftest.py").write_bytes((HOME / "tests" / "conftest.py").read_bytes())
    (tmp_path / "test_some.py").write_text(FAILING, encoding="utf-8")
    told = subprocess.run(
        [sys.executable, "-m", "pytest", "-n", "1", "-q"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert told.returncode == 1, told.stdout + told.stderr
    assert "1 failed, 2 passed, 2 errors" in told.stdout
