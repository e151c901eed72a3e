from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path

import pytest

from retrue.base.refusals import Unusable
from retrue.cases.prove.deed import options_of, table_from
from retrue.cases.prove.flatness import DEED, cells, prove
from retrue.cases.prove.proof import Conditions, Limit, flat
from retrue.cases.prove.table import read_table

EXAMPLE = Path(__file__).resolve().parents[3] / "examples" / "prove" / "flatness.csv"
SIZES = {"length_mm": "800", "width_mm": "600", "foot_mm": "100"}
GRID = "x_mm,y_mm,height_um\n" + "\n".join(
    f"{x},{y},{(x - 200) ** 2 / 10_000 - y / 100}" for y in (0, 150, 300) for x in (0, 200, 400)
)


def proved(text: str = "", conditions: Conditions | None = None, **typed: object):
    table = read_table(text.encode() if text else EXAMPLE.read_bytes(), "flatness.csv")
    return prove(table, options_of(DEED, {**SIZES, **typed}), conditions or Conditions())


def test_the_example_gives_three_planes_and_both_closures():
    """Own plate with a known surface: 11.631, 12.030, 11.104; closures -0.010 and +0.005."""
    told = flat(proved())
    assert told["flatness_um"]["moody"] == pytest.approx(11.631, abs=5e-4)
    assert told["flatness_um"]["least_squares"] == pytest.approx(12.030, abs=5e-4)
    assert told["flatness_um"]["minimum_zone"] == pytest.approx(11.104, abs=5e-4)
    assert told["closure_g_um"] == pytest.approx(-0.010, abs=5e-4)
    assert told["closure_h_um"] == pytest.approx(0.005, abs=5e-4)
    assert told["network_um"]["rank"] == 60
    assert told["network_um"]["minimum_zone"] == pytest.approx(11.0999, abs=5e-5)


def test_the_plane_is_always_named():
    proof = proved()
    for one in proof.quantities[:3]:
        assert "plane" in one.name
    assert "minimum-zone plane" in proof.headline


def test_a_grid_has_no_plane_of_diagonals_and_says_why():
    told = flat(proved(GRID))
    assert told["flatness_um"]["moody"] is None
    assert "union-jack" in told["why"]["flatness_moody_um"]
    assert told["flatness_um"]["minimum_zone"] == pytest.approx(4.0)


def test_hollow_and_domed_follow_the_sign():
    heights = {(1, 1): -5.0}
    rows = [f"{x},{y},{heights.get((x, y), 0.0)}" for y in range(3) for x in range(3)]
    hollow = proved("x_mm,y_mm,height_um\n" + "\n".join(rows))
    domed = proved("x_mm,y_mm,height_um\n" + "\n".join(rows).replace("-5.0", "5.0"))
    assert any("Hollow" in text for text in hollow.finds)
    assert hollow.blames
    assert any("Domed" in text for text in domed.finds)
    assert not domed.blames


def test_a_limit_is_judged_by_the_minimum_zone_with_its_doubt():
    known = Conditions(reading_uncertainty=2.0, limit=Limit(value=20.0))
    proof = proved(conditions=known)
    assert proof.verdict.key == "flatness_minimum_zone_um"
    assert proof.verdict.ruling == "proved_good"
    assert proof.remedy == ()
    assert flat(proof)["flatness_upper_um"] >= flat(proof)["flatness_minimum_zone_um"]
    tight = Conditions(reading_uncertainty=2.0, limit=Limit(value=8.0))
    assert proved(conditions=tight).verdict.ruling == "proved_bad"
    assert proved(conditions=tight).remedy


def test_a_reading_that_jumped_shows_in_the_closure():
    text = EXAMPLE.read_text().replace("G,3,-1.6", "G,3,60")
    assert any("Line G" in told for told in proved(text).warnings)
    assert proved().warnings == ()


def test_two_diagonals_alone_tell_what_they_can():
    lines = EXAMPLE.read_text().splitlines()
    some = "\n".join(lines[:2] + [line for line in lines if line[:2] in ("A,", "B,")])
    proof = proved(some)
    assert flat(proof)["flatness_um"]["moody"] is None
    assert any("C, D, E, F, G, H" in told for told in proof.warnings)


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("A,3,0.2\n", "", "step 3"),
        ("A,3,0.2\n", "A,3,0.2\nA,3,0.3\n", "twice"),
        ("A,3,0.2\n", "A,2.5,0.2\n", "counted"),
        ("A,3,0.2\n", "A,3,nan\n", "not a number"),
        ("A,3,0.2\n", "Z,3,0.2\n", "z"),
        ("A,10,37.4\n", "", "middle"),
    ],
)
def test_readings_that_cannot_be_used_are_named(old, new, what):
    with pytest.raises(Unusable) as refusal:
        proved(EXAMPLE.read_text().replace(old, new))
    assert any(what in str(problem) for problem in refusal.value.problems)


def test_a_plate_of_another_size_is_refused():
    with pytest.raises(Unusable) as refusal:
        proved(length_mm="1600")
    assert "do not make" in refusal.value.problems[0].what


@pytest.mark.parametrize(
    "text",
    [
        "x_mm,y_mm,height_um\n0,0,1\n1,0,2\n0,1,3\n",
        "x_mm,y_mm,height_um\n0,0,1\n1,0,2\n2,0,3\n3,0,1\n",
        "x_mm,y_mm,height_um\n0,0,1\n1,0,2\n0,1,3\n0,1,4\n",
    ],
)
def test_a_grid_that_spans_no_plane_is_refused(text):
    with pytest.raises(Unusable):
        proved(text)


@pytest.mark.parametrize("by", ["union-jack", "grid"])
def test_a_form_half_filled_never_breaks(by):
    options = options_of(DEED, {**SIZES, "by": by})
    asked = cells(options)
    assert len(asked) == (62 if by == "union-jack" else 12)
    values: dict[str, str] = {}
    proved_once = False
    for count, cell in enumerate(asked, 1):
        values[cell.id] = str((count * 7) % 5)
        if count % 3 and count != len(asked):
            continue
        table = table_from(DEED, asked, values)
        with suppress(Unusable):
            assert json.dumps(flat(prove(table, options, Conditions())), allow_nan=False)
            proved_once = True
    assert proved_once
