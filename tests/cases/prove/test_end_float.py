"""End float: how much to take up, and what is said of readings that are the wrong way round."""

from __future__ import annotations

from pathlib import Path

import pytest

from retrue.base.refusals import Unusable
from retrue.cases.prove.deed import deed, options_of, table_from
from retrue.cases.prove.proof import Conditions, Limit
from retrue.cases.prove.table import read_table

HOME = Path(__file__).resolve().parents[3]


def proof_of(text, conditions=None, **typed):
    one = deed("float")
    content = text if isinstance(text, bytes) else text.encode()
    used = conditions or Conditions(reading_uncertainty=1.0)
    return one.prove(read_table(content, "readings.csv"), options_of(one, typed), used)


def test_the_example_gives_what_stands_in_it():
    proof = proof_of((HOME / "examples/prove/float.csv").read_bytes(), nut_pitch_mm="1.5")
    assert proof.quantities[0].value == pytest.approx(6.4)
    assert "1.5°" in proof.remedy[0].text  # 6.4 um of 1.5 mm a turn
    assert proof.measures[0].measure == "M15"
    assert proof.measures[0].value == pytest.approx(0.0064)
    assert proof.blames


def test_what_is_taken_up_is_gone():
    """The same model: the pushed readings less what the nut took up."""
    proof = proof_of("direction,reading_um\npush,7\npull,1\npush,7\npull,1\n")
    taken = proof.quantities[0].value
    after = proof_of(f"direction,reading_um\npush,{7 - taken}\npull,1\n")
    assert after.quantities[0].value == proof.then_read[0].value == 0
    assert after.remedy == after.blames == ()


def test_the_two_ways_exchanged_are_told_of():
    told = proof_of("direction,reading_um\npush,0\npull,9\n")
    assert told.warnings
    assert told.quantities[0].value == 9
    assert not proof_of("direction,reading_um\npush,9\npull,0\n").warnings


def test_a_spindle_is_no_screw():
    proof = proof_of("direction,reading_um\npush,9\npull,0\n", part="spindle")
    assert proof.measures == ()
    assert "spindle" in proof.headline


def test_a_limit_is_held_with_the_doubt():
    limit = Limit(value=3.0)
    close = proof_of("direction,reading_um\npush,3\npull,0\n", Conditions(limit=limit))
    assert close.verdict.ruling == "not_proved"
    out = Conditions(limit=limit, reading_uncertainty=0.5)
    assert proof_of("direction,reading_um\npush,9\npull,0\n", out).verdict.ruling == "proved_bad"


def test_a_word_that_is_neither_is_named_by_its_row():
    with pytest.raises(Unusable) as refused:
        proof_of("direction,reading_um\npush,3\nsideways,0\n")
    assert "row 3" in refused.value.problems[0].where


def test_the_form_asks_both_ways_in_turn_and_needs_both():
    one = deed("float")
    options = options_of(one, {})
    cells = one.cells(options)
    assert [cell.row["direction"] for cell in cells[:4]] == ["push", "pull", "push", "pull"]
    with pytest.raises(Unusable, match="one way"):
        one.prove(table_from(one, cells, {cells[0].id: "5"}), options, Conditions())
    values = {cells[0].id: "5", cells[1].id: "1"}
    assert one.prove(table_from(one, cells, values), options, Conditions()).quantities[0].value == 4
