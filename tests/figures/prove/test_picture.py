"""Every test of measuring finds the module that draws it; one without a picture gives nothing."""

from __future__ import annotations

import importlib
from types import SimpleNamespace

import pytest

from retrue.cases.prove.deed import MODULES
from retrue.cases.prove.proof import Proof
from retrue.figures.ink import PAGE
from retrue.figures.prove.picture import picture


def proof(deed: str, drawing: object = None) -> Proof:
    return Proof(deed=deed, title="", headline="", quantities=(), drawing=drawing)


@pytest.mark.parametrize("deed", MODULES)
def test_without_a_drawing_there_is_no_picture_and_nothing_is_looked_for(
    deed: str, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(importlib, "import_module", lambda name: pytest.fail(name))
    assert picture(proof(deed), theme=PAGE, room="phone") == ""


def test_the_drawing_goes_to_the_module_of_its_test(monkeypatch: pytest.MonkeyPatch):
    asked = []

    def found(name: str) -> SimpleNamespace:
        asked.append(name)
        return SimpleNamespace(draw=lambda drawing, *, theme, room: f"{drawing} {room}")

    monkeypatch.setattr(importlib, "import_module", found)
    drawn = picture(proof("float", "a float"), theme=PAGE, room="wide")
    assert drawn == "a float wide"
    assert asked == ["retrue.figures.prove.end_float"]
