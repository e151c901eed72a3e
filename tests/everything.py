"""Every check there is, in one run; the last line says what was not run.

Called by ``./retrue test``. Further arguments go to pytest, for running a part of the tests.
With ``RETRUE_ALL=1`` or ``CI=true`` anything that was not run is an error.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import IO

HOME = Path(__file__).resolve().parents[1]
BIN = Path(sys.executable).parent
CORES = "2"


def missing_programs() -> dict[str, str]:
    """Programs of the machine that some tests drive: Debian's package, and what it is for."""
    missing = {}
    if shutil.which("chromium-headless-shell") is None:  # the same browser without its own window
        missing["chromium-headless-shell"] = "the pages in a browser"
    servers = list(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    if shutil.which("initdb") is None and not servers:
        missing["postgresql"] = "the shop kept in PostgreSQL"
    if shutil.which("ip") is None:
        missing["iproute2"] = "a laptop in a telephone's own network"
    if not Path("/usr/share/sounds/alsa/Noise.wav").exists():
        missing["alsa-utils"] = "a recording that Debian carries"
    return missing


def install(missing: Mapping[str, str]) -> None:
    """Install what is missing from Debian, after saying so; else say what will stay undone."""
    if not missing:
        return
    named = ", ".join(f"{package} (to test {what})" for package, what in missing.items())
    if os.name != "posix" or os.geteuid() != 0 or shutil.which("apt-get") is None:
        print(f"Not installed here: {named}. Those tests will not run.", flush=True)
        return
    print(f"Installing from Debian for the tests: {named}.", flush=True)
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (
        ["apt-get", "update", "-qq"],
        ["apt-get", "install", "-y", "-qq", "--no-install-recommends", *missing],
    ):
        subprocess.run(command, env=quiet, stdout=subprocess.DEVNULL, check=False)


def steps(asked: list[str], report: Path) -> dict[str, list[str]]:
    """The checks by name, in the order in which they are run, but for the one beside them."""
    tests = [str(BIN / "pytest"), "-n", CORES, "--dist", "loadfile"]
    tests += ["--no-loadscope-reorder", "--not-run", str(report)]  # small files are the last
    return {
        "ruff check": [str(BIN / "ruff"), "check", "."],
        "ruff format": [str(BIN / "ruff"), "format", "--check", "."],
        "mypy": [str(BIN / "mypy")],
        "import contract": [str(BIN / "lint-imports"), "--no-logo"],
        "tests and examples": [*tests, *asked],
    }


BESIDE = "mypy"  # one thread that reads: it fills the moments in which a browser is waited for


MEMORY = Path("/dev/shm")  # a file system in memory: what is thrown away waits for no disk
ROOM = 4 << 30  # bytes; a whole run leaves a tenth of it


def scratch() -> Path | None:
    """Where the tests' shops are kept while they run; None: where the system says."""
    if "TMPDIR" in os.environ or not os.access(MEMORY, os.W_OK | os.X_OK):
        return None
    there = os.statvfs(MEMORY)
    runs = not there.f_flag & os.ST_NOEXEC  # some tests run what they have written
    return MEMORY if runs and there.f_bavail * there.f_frsize >= ROOM else None


def surroundings(folder: str = "") -> dict[str, str]:
    """What the checks see of the environment; compiled tests are kept, or each run does it anew.

    Those that kill and fill are on a disk all the same: ``tests/store/conftest.py``.
    """
    seen = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    seen.setdefault("PYTHONHASHSEED", "0")  # sets are gone through in the same order in every run
    return seen | {"TMPDIR": folder} if folder else seen


@contextmanager
def beside(command: list[str], out: IO[bytes]) -> Iterator[subprocess.Popen[bytes]]:
    """Start a check that runs beside the others and gives way to them; it ends when they end."""
    politely = ["nice", "-n", "10"] if shutil.which("nice") else []
    started = subprocess.Popen(
        [*politely, *command], cwd=HOME, env=surroundings(), stdout=out, stderr=subprocess.STDOUT
    )
    try:
        yield started
    finally:
        started.kill()  # nothing, where it has ended
        started.wait()


def main(asked: list[str]) -> int:
    """Run all, print what failed and, last, what was not run."""
    strict = os.environ.get("RETRUE_ALL") == "1" or os.environ.get("CI") == "true"
    install(missing_programs())
    failed = []
    with tempfile.TemporaryDirectory(dir=scratch()) as folder:
        os.chmod(folder, 0o711)  # a database of another user has its files in there
        report, said = Path(folder) / "not-run", Path(folder) / "beside"
        others = steps(asked, report)
        with said.open("wb") as out, beside(others.pop(BESIDE), out) as reading:
            for name, command in others.items():
                print(f"== {name}", flush=True)
                seen = surroundings(folder)
                if subprocess.run(command, cwd=HOME, env=seen, check=False).returncode:
                    failed.append(name)
            code = reading.wait()
        print(f"== {BESIDE}\n{said.read_text(encoding='utf-8')}", end="", flush=True)
        failed += [BESIDE] if code else []
        told = report.read_text(encoding="utf-8") if report.exists() else "all tests"
    not_run = [line for line in told.splitlines() if line]
    if asked:
        not_run.append("all tests but " + " ".join(asked))
    print()
    print("Failed: " + "; ".join(failed) if failed else "Every check that was run passed.")
    print("NOT RUN: " + ("; ".join(not_run) or "nothing"), flush=True)
    return 1 if failed or (strict and not_run) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
