"""The alignment tests: which way to nudge, checked by nudging the model that made the readings."""

from __future__ import annotations

import contextlib
from pathlib import Path

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.cases.prove.deed import deed, options_of, table_from
from retrue.cases.prove.proof import Conditions, Limit
from retrue.cases.prove.table import read_table

HOME = Path(__file__).resolve().parents[3]
CHECKED = Conditions(reading_uncertainty=1.0)


def proof_of(text, conditions=CHECKED, **typed):
    one = deed("alignment")
    content = text if isinstance(text, bytes) else text.encode()
    return one.prove(read_table(content, "readings.csv"), options_of(one, typed), conditions)


def value(proof, key):
    return next(q.value for q in proof.quantities if q.key == key)


def bar(height, side, bent=3.0):
    rows = ["plane,position_mm,turn_deg,reading_um"]
    for plane, slope in (("height", height), ("side", side)):
        for place in (0, 300):
            axis = slope * place / 1000
            rows += [f"{plane},{place},0,{axis + bent}", f"{plane},{place},180,{axis - bent}"]
    return "\n".join(rows)


def test_the_example_gives_what_stands_in_it():
    proof = proof_of((HOME / "examples/prove/alignment.csv").read_bytes(), joint_mm="400")
    assert value(proof, "height_um_per_m") == pytest.approx(20.0)
    assert value(proof, "side_um_per_m") == pytest.approx(-80 / 3)
    assert value(proof, "out_of_line_um") == pytest.approx(8.0)
    assert "8.0\u202fµm over the 400 mm" in proof.remedy[0].text
    assert "10.7\u202fµm" in proof.remedy[1].text


@pytest.mark.parametrize(("height", "word"), [(40.0, "down"), (-40.0, "up")])
def test_a_rising_axis_is_brought_down_and_a_falling_one_up(height, word):
    (remedy,) = proof_of(bar(height, 0.0)).remedy
    assert word in remedy.text


@pytest.mark.parametrize(("side", "word"), [(40.0, "away from"), (-40.0, "towards")])
def test_the_far_end_goes_back_where_it_came_from(side, word):
    (remedy,) = proof_of(bar(0.0, side)).remedy
    assert word in remedy.text


def test_a_bar_that_was_not_turned_is_told_of():
    text = "plane,position_mm,reading_um\nside,0,0\nside,300,9\n"
    proof = proof_of(text)
    assert proof.warnings
    assert value(proof, "height_um_per_m") is None
    assert len(proof_of(bar(1, 1)).warnings) == 0


@pytest.mark.parametrize("surface", ["bore", "outside"])
@pytest.mark.parametrize(("height", "side"), [(12.0, 0.0), (-12.0, 0.0), (0.0, 9.0), (0.0, -9.0)])
def test_a_tailstock_is_nudged_against_its_offset(surface, height, side):
    turn = np.radians([0, 90, 180, 270])
    towards = -1 if surface == "bore" else 1
    read = towards * (side * np.cos(turn) + height * np.sin(turn))
    rows = "\n".join(f"{a},{r:.6f}" for a, r in zip((0, 90, 180, 270), read, strict=True))
    proof = proof_of("angle_deg,reading_um\n" + rows, method="tailstock", surface=surface)
    assert value(proof, "height_um") == pytest.approx(height, abs=1e-5)
    assert value(proof, "side_um") == pytest.approx(side, abs=1e-5)
    (remedy,) = proof.remedy
    word = ("down" if height > 0 else "up") if height else ("away" if side > 0 else "towards you")
    assert word in remedy.text
    assert proof.measures[0].measure == "M32"
    assert proof.measures[0].value == pytest.approx(max(abs(height), abs(side)) / 1000)


@pytest.mark.parametrize(("held", "taper"), [("chuck", 24), ("chuck", -24), ("centres", 24)])
def test_a_turned_bar_is_brought_to_the_tool_where_it_is_thick(held, taper):
    rows = "".join(f"{x},{taper * x / 300}\n" for x in (0, 150, 300))
    proof = proof_of("position_mm,reading_um\n" + rows, method="turned_bar", held=held)
    assert value(proof, "taper_300_um") == pytest.approx(taper)
    (remedy,) = proof.remedy
    assert "12.0" in remedy.text  # half of a difference in diameter is a distance
    assert ("to the tool" in remedy.text or "towards the tool" in remedy.text) is (taper > 0)


def test_the_verdict_counts_the_doubt():
    limit = Limit(value=15.0, standard="ISO 230-1", mark="from memory, unverified")
    good = proof_of(bar(30, 0), Conditions(limit=limit, reading_uncertainty=1.0)).verdict
    assert (good.ruling, good.limit_mark) == ("proved_good", "from memory, unverified")
    assert proof_of(bar(30, 0), Conditions(limit=limit)).verdict.ruling == "not_proved"
    bad = proof_of(bar(80, 0), Conditions(limit=limit, reading_uncertainty=1.0)).verdict
    assert bad.ruling == "proved_bad"


@pytest.mark.parametrize("method", ["spindle_to_axis", "headstock", "tailstock", "turned_bar"])
def test_a_form_filled_one_by_one_is_refused_softly_until_it_is_enough(method):
    one = deed("alignment")
    options = options_of(one, {"method": method})
    cells = one.cells(options)
    values = {cell.id: str(index % 3) for index, cell in enumerate(cells)}
    with pytest.raises(Unusable) as refused:
        one.prove(table_from(one, cells, {cells[0].id: "1"}), options, Conditions())
    assert refused.value.remedy
    for count in range(2, len(cells)):
        some = {cell.id: values[cell.id] for cell in cells[:count]}
        with contextlib.suppress(Unusable):  # and nothing else may come out of it
            one.prove(table_from(one, cells, some), options, Conditions())
    assert one.prove(table_from(one, cells, values), options, Conditions()).headline
