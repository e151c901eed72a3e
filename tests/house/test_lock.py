"""The lock: every line pinned and hashed, no address in it, the build tool included."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

HOME = Path(__file__).resolve().parents[2]
SOURCES = (HOME / "requirements-source.lock").read_text(encoding="utf-8")
LOCK = (HOME / "requirements.lock").read_text(encoding="utf-8")
PROJECT = tomllib.loads((HOME / "pyproject.toml").read_text(encoding="utf-8"))
BUILD_TOOL = ("hatchling", "packaging", "pathspec", "pluggy", "trove-classifiers")


def pinned(lock: str = LOCK + SOURCES) -> dict[str, str]:
    """Each package of the locks with the rest of its entry."""
    joined = lock.replace("\\\n", " ")
    lines = [line for line in joined.splitlines() if line.strip() and line.lstrip()[0] != "#"]
    return {re.split(r"[=\[ ]", line, maxsplit=1)[0]: line for line in lines}


def name_of(requirement: str) -> str:
    found = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert found
    return re.sub(r"[-_.]+", "-", found[0]).lower()


def test_the_lock_names_no_address():
    for lock in (LOCK, SOURCES):
        assert "://" not in lock
        assert not re.search(r"^-", lock, re.MULTILINE), "no option and no editable line"


def test_what_comes_as_source_alone_is_locked_once_and_its_build_tool_with_it():
    assert set(pinned(SOURCES)) == {"psychrolib"}
    assert not set(pinned(SOURCES)) & set(pinned(LOCK))
    assert "setuptools" in pinned(LOCK)


def test_every_package_is_pinned_and_hashed():
    assert len(pinned()) > 50
    for name, line in pinned().items():
        assert re.match(rf"{name}(\[\w+\])?==[\w.+!]+ ", line), line[:80]
        assert re.search(r"--hash=sha256:[0-9a-f]{64}", line), name
        assert not re.search(r"--hash=(?!sha256:[0-9a-f]{64}\b)", line), name


def test_the_build_tool_is_in_the_lock():
    assert set(BUILD_TOOL) <= set(pinned())
    assert [name_of(need) for need in PROJECT["build-system"]["requires"]] == ["hatchling"]


def test_whatever_the_project_asks_for_is_in_the_lock():
    asked = [*PROJECT["project"]["dependencies"]]
    for group in (PROJECT["project"]["optional-dependencies"], PROJECT["dependency-groups"]):
        asked += [need for needs in group.values() for need in needs]
    assert {name_of(need) for need in asked} <= set(pinned())
