"""Backlash at three places from reading to setting."""

from __future__ import annotations

import pytest
from tests.cases.prove.spindle import cells_of, doubt, example, filled, proof_of, value

from retrue.base.refusals import Unusable

HEAD = "place,approach,run,reading_um\n"


def axis(low, middle, high, typed=None, **conditions):
    """Readings of an axis with that lost motion, three times from each side."""
    told = HEAD
    for place, lost in (("low", low), ("middle", middle), ("high", high)):
        for run, off in enumerate((0.2, -0.1, -0.1), 1):
            told += f"{place},forward,{run},{off}\n{place},backward,{run},{lost + off}\n"
    return proof_of("backlash", told, typed, **{"reading_uncertainty": 1.0, **conditions})


def test_the_example_gives_what_it_was_made_of():
    proof = example("backlash", {"parameter_um": "3"}, reading_uncertainty=1.0, limit=10.0)
    assert proof.quantities[0].key == "reversal_um"
    assert value(proof, "reversal_um") == value(proof, "reversal_middle_um") == pytest.approx(12)
    assert value(proof, "reversal_low_um") == pytest.approx(7)
    assert value(proof, "reversal_uniform_um") == pytest.approx(7)
    assert value(proof, "wear_centre_um") == pytest.approx(4.5)
    assert doubt(proof, "wear_centre_um") == pytest.approx(1.0)
    assert proof.verdict.ruling == "proved_bad"
    assert {m.measure: m.value for m in proof.measures} == pytest.approx(
        {"M13": 0.015, "M14": 0.0045}
    )


def test_only_what_is_common_is_entered_and_the_rest_is_then_read():
    proof = axis(7.4, 12, 8, {"parameter_um": "3", "step_um": "1"})
    setting = proof.remedy[1].setting
    assert setting.old.startswith("3.0")
    assert setting.new.startswith("10.0")
    assert [one.value for one in proof.then_read] == pytest.approx([0.4, 5.0, 1.0])


def test_play_raises_the_setting_and_too_much_made_up_lowers_it():
    more, less = axis(7, 9, 8, {"parameter_um": "9"}), axis(-5, -6, -5, {"parameter_um": "9"})
    assert more.remedy[1].setting.new.startswith("16.0")
    assert less.remedy[1].setting.new.startswith("4.0")
    assert "overshoots" in less.headline
    assert any("makes up more" in one for one in less.finds)


def test_an_indicator_the_other_way_round_turns_the_sign():
    assert value(axis(7, 9, 8, {"plus_means": "towards -"}), "reversal_um") == pytest.approx(-9)


def test_wear_is_blamed_only_where_the_middle_loses_more():
    assert axis(7, 12, 8).blames
    assert not axis(12, 7, 12).blames
    assert not axis(7, 7.3, 7).blames


def test_places_that_disagree_take_no_number():
    proof = axis(6, -4, 5)
    assert value(proof, "reversal_uniform_um") == 0
    assert proof.then_read == ()
    assert proof.remedy[1].setting is None
    assert value(proof, "reversal_um") == pytest.approx(6)


def test_nothing_is_entered_that_nobody_can_vouch_for():
    told = HEAD + "".join(f"{p},forward,1,0\n{p},backward,1,8\n" for p in ("low", "mid", "end"))
    proof = proof_of("backlash", told)
    assert doubt(proof, "reversal_um") is None
    assert proof.then_read == ()
    assert not proof.blames


def test_one_direction_only_is_refused_and_a_lonely_place_left_out():
    with pytest.raises(Unusable, match="both sides"):
        proof_of("backlash", HEAD + "low,forward,1,0\nmiddle,forward,1,3\n")
    told = HEAD + "low,forward,1,0\nmiddle,forward,1,3\nmiddle,backward,1,9\n"
    proof = proof_of("backlash", told, reading_uncertainty=1.0)
    assert "left out" in proof.warnings[0]
    assert value(proof, "reversal_middle_um") == 6
    assert value(proof, "wear_centre_um") is None
    assert all(one.why for one in proof.quantities if one.value is None)


def test_a_place_of_another_name_is_refused_by_row():
    with pytest.raises(Unusable) as refused:
        proof_of("backlash", HEAD + "somewhere,forward,1,0\nlow,sideways,1,0\n")
    assert "row 2, column place" in refused.value.problems[0].where


def test_readings_that_do_not_repeat_are_told():
    told = HEAD + "low,forward,1,0\nlow,forward,2,9\nlow,backward,1,8\nlow,backward,2,8\n"
    assert "loose base" in " ".join(proof_of("backlash", told).warnings)


def test_a_form_may_be_filled_in_part():
    cells = cells_of("backlash", {"runs": "2"})
    assert len(cells) == len(set(cells)) == 12
    with pytest.raises(Unusable):
        filled("backlash", {"runs": "2"}, {cells[0]: "0"})
    for n in range(2, 13):
        part = {cell: "+7" if "backward" in cell else "0" for cell in cells[:n]}
        assert value(filled("backlash", {"runs": "2"}, part), "reversal_um") == pytest.approx(7)


def test_very_many_readings_make_no_endless_picture():
    told = HEAD + "".join(f"low,forward,{n},0\nlow,backward,{n},{n % 9}\n" for n in range(900))
    drawing = proof_of("backlash", told).drawing
    assert len(drawing.backward[0]) == 40
    assert max(drawing.backward[0]) - min(drawing.backward[0]) == 8
