"""A command answers in the language of who types it; a program is answered in English."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from retrue.wiring import run

LIFT = ["move", "lift", "--mass-kg", "4200"]


@pytest.fixture(scope="module", autouse=True)
def put_together_in_english() -> None:
    """A command speaks as its process did when it was first asked for; other tests read English."""
    assert run([*LIFT, "--help"]) == 0


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setattr("retrue.base.say._whole", {})
    monkeypatch.setattr("retrue.base.say._shelves", [])
    return tmp_path


@pytest.mark.parametrize(
    ("setting", "dutch"), [("nl", True), ("nl_BE.UTF-8", True), ("en", False), ("xx", False)]
)
def test_the_setting_says_which(setting: str, dutch: bool, monkeypatch, capsys):
    monkeypatch.setenv("RETRUE_LANGUAGE", setting)
    run(LIFT)
    assert ("Let op:" in capsys.readouterr().out) is dutch


def test_a_program_is_answered_in_english(monkeypatch, capsys):
    run([*LIFT, "--json"])
    english = capsys.readouterr().out
    monkeypatch.setenv("RETRUE_LANGUAGE", "nl")
    run([*LIFT, "--json"])
    assert capsys.readouterr().out == english
    assert json.loads(english)["answer"] == "get_first"


def test_ones_own_words_are_exported_checked_taken_and_then_said(home, monkeypatch, capsys):
    monkeypatch.setenv("RETRUE_LANGUAGE", "nl")
    file = home / "mine.po"
    assert run(["words", "export", str(file), "--language", "nl"]) == 0
    text = file.read_text(encoding="utf-8")
    assert run(["words", "export", str(file)]) == 2  # never written over
    capsys.readouterr()
    run(["kinds", "list"])
    before = capsys.readouterr().out
    told = before.split(" ")[1]  # "4 types ..."
    at = text.index('msgid "{count} types of machine. Their numbers are judgement."')
    end = text.index("\n\n", at)
    mine = text[at:end].rpartition('msgstr "')[0] + 'msgstr "{count} soorten, alles geschat."'
    file.write_text(text[:at] + mine + text[end:], encoding="utf-8")
    assert run(["words", "take", str(file)]) == 0
    monkeypatch.setattr("retrue.base.say._whole", {})
    capsys.readouterr()
    run(["kinds", "list"])
    assert "4 soorten, alles geschat." in capsys.readouterr().out
    assert told != "soorten,"
