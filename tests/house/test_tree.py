"""The tree itself: names of files, licences, no address of a registry, one version."""

from __future__ import annotations

import re
import subprocess
import tomllib
from pathlib import Path

import pytest

import retrue

HOME = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((HOME / "pyproject.toml").read_text(encoding="utf-8"))["project"]
# Spelled in two halves, for this file is searched as well.
REGISTRIES = [
    "pypi" + ".org", "python" + "hosted", "registry." + "npmjs", "deb." + "debian",
    "security." + "debian", "proxy." + "golang",
]  # fmt: skip
OPTIONS = ["--index" + "-url", "--extra-" + "index", "--find" + "-links", "PIP_" + "INDEX"]
OPTIONS += ["--trusted" + "-host", "PIP_" + "FIND", "UV_" + "INDEX"]
PLACES = ["/work" + "/", "/root" + "/"]
EMPTY_NAMES = {"utils", "util", "helpers", "helper", "manager", "misc", "common", "lib", "stuff"}


def tracked() -> list[Path]:
    """Every file that is, or is about to be, part of the project."""
    told = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=HOME,
        capture_output=True,
        check=True,
    )
    paths = [HOME / name for name in told.stdout.decode().split("\0") if name]
    return [path for path in paths if path.is_file()]


def texts() -> list[tuple[Path, str]]:
    found = []
    for path in tracked():
        content = path.read_bytes()
        if b"\0" not in content[:8000]:
            found.append((path.relative_to(HOME), content.decode("utf-8")))
    return found


def test_no_file_names_a_registry_an_index_or_a_place_on_one_machine():
    found = [
        f"{path}: {word}"
        for path, text in texts()
        for word in (*REGISTRIES, *OPTIONS, *PLACES)
        if word in text
    ]
    assert found == []


def test_every_text_is_clean():
    for path, text in texts():
        if path.name == "htmx.min.js":
            continue
        assert "\r" not in text, path
        assert not text or text.endswith("\n"), f"{path} does not end its last line"
        assert not re.search(r"^(<{7}|>{7}|={7})( |$)", text, re.MULTILINE), path


def test_files_are_named_for_what_they_hold():
    for path in tracked():
        inside = path.relative_to(HOME)
        assert not EMPTY_NAMES & {path.stem, *inside.parts[:-1]}, inside
        if path.suffix == ".py":
            assert re.fullmatch(r"_{0,2}[a-z][a-z0-9_]*", path.stem), inside


def test_tests_mirror_the_floors():
    floors = {path.name for path in (HOME / "src" / "retrue").iterdir() if path.is_dir()}
    rooms = {path.name for path in (HOME / "tests").iterdir() if path.is_dir()}
    rooms = {name for name in rooms if not name.startswith((".", "_"))}
    assert rooms - floors <= {"house", "browser", "bench", "fakes", "examples", "data", "wiring"}


def test_nothing_that_is_made_is_kept():
    made = [p for p in tracked() if p.name in {"uv.lock", "pylock.toml"} or p.suffix == ".pyc"]
    assert made == []


def test_the_licence_stands_once_and_not_at_every_head():
    licence = (HOME / "LICENSE").read_text(encoding="utf-8")
    assert "Apache License" in licence
    assert "Version 2.0, January 2004" in licence
    assert "END OF TERMS AND CONDITIONS" in licence
    assert PROJECT["license"] == "Apache-2.0"
    for path, text in texts():
        if path.suffix == ".py":
            assert "Licensed " + "under" not in text[:2000], path


@pytest.mark.parametrize("cut", ["Regular", "Bold", "Italic"])
def test_the_fonts_are_shipped_with_their_licence(cut: str):
    """Open Type: the file begins with OTTO. Fonts of the B612 family, SIL OFL 1.1."""
    fonts = HOME / "src" / "retrue" / "web" / "static" / "fonts"
    assert (fonts / f"B612-{cut}.otf").read_bytes()[:4] == b"OTTO"
    assert (fonts / "B612Mono-Regular.otf").read_bytes()[:4] == b"OTTO"
    licence = (fonts / "LICENCE.txt").read_text(encoding="utf-8")
    assert re.search("SIL OPEN FONT LICENSE", licence, re.IGNORECASE)


def test_what_comes_from_elsewhere_has_its_licence_beside_it():
    static = HOME / "src" / "retrue" / "web" / "static"
    assert (static / "htmx.min.js").exists()
    assert (static / "htmx.LICENSE").read_text(encoding="utf-8").strip()


def test_there_is_one_version_everywhere():
    changes = (HOME / "CHANGELOG.md").read_text(encoding="utf-8")
    newest = re.search(r"^## (\d+\.\d+\.\d+)", changes, re.MULTILINE)
    assert newest
    assert newest[1] == PROJECT["version"] == retrue.__version__


def test_a_change_is_told_in_one_line_for_its_reader():
    for path in (HOME / "changelog.d").iterdir():
        if path.name == "README.md":
            continue
        assert re.fullmatch(r"\d+(-[a-z0-9-]+)?\.(change|formula)\.md", path.name), path.name
        lines = path.read_text(encoding="utf-8").strip().splitlines()
        assert len(lines) == 1, path.name
        assert lines[0].endswith("."), path.name
