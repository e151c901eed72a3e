"""Compiled templates are taken from the folder only where they are what would be compiled now."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from jinja2 import DictLoader, Environment

from retrue.web.compiled import LONG, Compiled

WORDS = "{% for one in lots %}<li>{{ one }}</li>{% endfor %}"


def told(folder: Path, text: str = WORDS) -> str:
    made = Environment(
        loader=DictLoader({"lots.html": text}), autoescape=True, bytecode_cache=Compiled(folder)
    )
    return made.get_template("lots.html").render(lots=["<mill>", "lathe"])


@pytest.fixture
def compiles(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The templates that were compiled, not taken from the folder."""
    compile_: Any = Environment.compile
    done: list[str] = []

    def watched(self: Environment, source: str, name: str, *more: Any) -> Any:
        done.append(name)
        return compile_(self, source, name, *more)

    monkeypatch.setattr(Environment, "compile", watched)
    return done


def test_the_next_program_takes_what_was_compiled(tmp_path: Path, compiles: list[str]) -> None:
    first = told(tmp_path / "made" / "here")
    assert first == "<li>&lt;mill&gt;</li><li>lathe</li>"
    assert told(tmp_path / "made" / "here") == first
    assert compiles == ["lots.html"]


def test_a_template_that_has_changed_is_compiled_anew_in_its_place(
    tmp_path: Path, compiles: list[str]
) -> None:
    told(tmp_path)
    assert told(tmp_path, WORDS + ".") == "<li>&lt;mill&gt;</li><li>lathe</li>."
    assert len(compiles) == 2
    assert len(list(tmp_path.iterdir())) == 1


@pytest.mark.parametrize("spoil", ["cut", "turned", "empty", "short"])
def test_a_kept_file_that_is_not_whole_is_not_used(
    tmp_path: Path, compiles: list[str], spoil: str
) -> None:
    first = told(tmp_path)
    (kept,) = tmp_path.iterdir()
    whole = kept.read_bytes()
    turned = bytearray(whole)
    turned[-9] ^= 1
    kept.write_bytes(
        {"cut": whole[:-20], "turned": turned, "empty": b"", "short": whole[:LONG]}[spoil]
    )
    assert told(tmp_path) == first
    assert len(compiles) == 2
    assert kept.read_bytes() == whole


def test_another_jinja_compiles_anew(
    tmp_path: Path, compiles: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    told(tmp_path)
    monkeypatch.setattr("jinja2.__version__", "0")
    told(tmp_path)
    assert len(compiles) == 2


def test_where_nothing_can_be_kept_the_page_is_told_all_the_same(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    assert told(tmp_path / "file") == "<li>&lt;mill&gt;</li><li>lathe</li>"
