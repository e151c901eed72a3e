from __future__ import annotations

import csv
import io
from pathlib import Path

import numpy as np
import pytest
from examples.draw_photographs import HERE, LARGEST, SCENES, draw, pack
from PIL import Image
from tests.library import load

INDEX = list(csv.DictReader(io.StringIO((HERE / "index.csv").read_text(encoding="utf-8"))))
KINDS = {"mill": ("vertical_machining_centre",), "lathe": ("turning_centre",)}


def test_the_index_names_every_photograph_and_no_other():
    assert sorted(row["file"] for row in INDEX) == sorted(path.name for path in HERE.glob("*.jpg"))
    assert [row["file"] for row in INDEX] == [scene.file for scene in SCENES]
    listed = [row["file"] for row in INDEX if row["file"][2:4] <= "12"]
    assert len(listed) == 12  # the listing's own; the others are sent when asked for


def test_every_photograph_is_filed_under_a_shot_that_its_machine_has():
    kinds = load()
    for row in INDEX:
        wanted = KINDS.get(row["machine"], ("vertical_machining_centre", "turning_centre"))
        for kind in wanted:
            assert row["shot"] in kinds[kind].shots, row["file"]
        assert row["shot"] in row["file"]


@pytest.mark.parametrize("row", INDEX, ids=lambda row: row["file"])
def test_a_photograph_is_small_whole_and_carries_no_trace(row):
    path = Path(HERE / row["file"])
    assert path.stat().st_size < LARGEST
    with Image.open(path) as picture:
        picture.load()
        assert picture.size == (1600, 1200)
        assert picture.format == "JPEG"
        assert not picture.getexif()
        assert np.asarray(picture.convert("L")).std() > 15  # something is to be seen on it


@pytest.mark.parametrize("name", ["a-05-taper-S08.jpg", "b-14-plate-S01.jpg"])
def test_the_program_draws_the_same_photograph_again(name):
    """Roughly: a font or picture library may round otherwise, but the scene is the same."""
    scene = next(scene for scene in SCENES if scene.file == name)
    with Image.open(HERE / name) as kept:
        old = np.asarray(kept.convert("RGB").resize((160, 120)), dtype=float)
    with Image.open(io.BytesIO(pack(draw(scene)))) as again:
        new = np.asarray(again.convert("RGB").resize((160, 120)), dtype=float)
    assert np.abs(old - new).mean() < 3
    assert np.corrcoef(old.ravel(), new.ravel())[0, 1] > 0.98
