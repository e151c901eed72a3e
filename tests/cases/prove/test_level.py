from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from retrue.base.refusals import Unusable
from retrue.cases.prove.deed import options_of, table_from
from retrue.cases.prove.feet import feet_of, first_three, turn_words
from retrue.cases.prove.level import DEED, cells, prove
from retrue.cases.prove.proof import Conditions, Limit, flat
from retrue.cases.prove.table import Table, read_table

EXAMPLE = Path(__file__).resolve().parents[3] / "examples" / "prove" / "level.csv"
FEET = "FL:0:0,FR:2000:0,RR:2000:1000,RL:0:1000"
SIX = "FL:0:0,FM:1000:0,FR:2000:0,RR:2000:1000,RM:1000:1000,RL:0:1000"


def example() -> Table:
    return read_table(EXAMPLE.read_bytes(), "level.csv")


def proved(table: Table | None = None, *, conditions: Conditions | None = None, **typed: object):
    options = options_of(DEED, typed)
    return prove(table or example(), options, conditions or Conditions())


@pytest.mark.parametrize(
    ("pitch", "degrees"),
    [(2.0, (36, 14.4, 0, 28.8)), (2.5, (28.8, 11.52, 0, 23.04)), (3.0, (24, 9.6, 0, 19.2))],
)
def test_four_feet_rise_and_turn_by_the_pitch(pitch, degrees):
    """Pitches of ISO 261 (from memory): M16 2, M20 2.5, M24 3 mm."""
    told = flat(proved(feet=FEET, pitch_mm=pitch))
    assert [foot["raise_um"] for foot in told["feet"]] == pytest.approx([200, 80, 0, 160])
    assert [foot["degrees"] for foot in told["feet"]] == pytest.approx(degrees)
    assert told["tilt_x_um_per_m"] == pytest.approx(60)
    assert told["tilt_y_um_per_m"] == pytest.approx(40)
    assert told["twist_um_per_m_per_m"] == pytest.approx(20)
    assert told["level_zero_um_per_m"] == pytest.approx(6)
    assert told["worst_tilt_um_per_m"] == pytest.approx(78)


def test_the_level_then_reads_nothing_at_each_place():
    proof = proved(feet=FEET, pitch_mm=2)
    assert [one.value for one in proof.then_read] == pytest.approx([0] * 8, abs=1e-6)


def test_the_remedy_says_foot_turn_and_rise_and_puts_no_sense_of_turning_to_it():
    texts = [one.text for one in proved(feet=FEET, pitch_mm=2).remedy]
    assert any(t.startswith("Front left (FL): a tenth of a turn up (0.100 turn, 36") for t in texts)
    assert not any("clockwise" in text for text in texts)
    assert texts[0].startswith("Order: slacken")


def test_turned_readings_with_the_wrong_sign_give_another_machine():
    table = example()
    turned = [str(-float(cell)) for cell in table.text("turned_um_per_m")]
    wrong = Table(table.name, {**table.columns, "turned_um_per_m": turned}, table.rows)
    proof = proved(wrong, feet=FEET)
    assert flat(proof)["worst_tilt_um_per_m"] < 10
    assert any("signs" in text for text in proof.warnings)
    assert not any("signs" in text for text in proved(feet=FEET).warnings)


def test_without_a_pitch_turns_are_null_and_say_why():
    told = flat(proved(feet=FEET))
    assert told["feet"][0]["turns"] is None
    assert "pitch" in told["feet"][0]["why"]


def test_without_turning_the_zero_is_null_and_counted_as_unknown():
    table = example()
    bare = {name: column for name, column in table.columns.items() if name != "turned_um_per_m"}
    proof = proved(Table(table.name, bare, table.rows), feet=FEET)
    assert flat(proof)["level_zero_um_per_m"] is None
    assert "turned" in flat(proof)["why"]["level_zero_um_per_m"]
    assert any("zero" in text for text in proof.cannot_tell)


def test_three_feet_cannot_take_a_twist_out_and_say_so():
    proof = proved(feet="A:0:0,B:2000:0,C:1000:1000")
    assert any("three feet" in text for text in proof.cannot_tell)
    assert max(abs(one.value) for one in proof.then_read) > 1


def test_the_rise_of_all_feet_is_never_told():
    assert any("all feet rise together" in text for text in proved(feet=FEET).cannot_tell)


def test_a_limit_is_judged_on_the_largest_tilt_in_both_directions():
    tight = Conditions(limit=Limit(value=40.0), reading_uncertainty=10.0)
    assert proved(feet=FEET, conditions=tight).verdict.ruling == "proved_bad"
    loose = replace(tight, limit=Limit(value=100.0))
    assert proved(feet=FEET, conditions=loose).verdict.ruling == "proved_good"
    assert proved(conditions=Conditions(limit=Limit(value=100.0))).verdict.ruling == "not_proved"


def test_the_belief_learns_millimetres_a_metre():
    proof = proved(conditions=Conditions(reading_uncertainty=10.0))
    assert (proof.measures[0].measure, proof.measures[0].value) == ("M26", pytest.approx(0.078))
    assert proof.measures[0].uncertainty == pytest.approx(0.01 / 2**0.5)


def test_a_measured_response_goes_before_the_assumed_one():
    table = example()
    rows = ["foot,x_mm,y_mm,direction,change_um_per_m"]
    signs = {"FL": (-1, -1), "FR": (1, -1), "RR": (1, 1), "RL": (-1, 1)}
    for foot, (along, across) in signs.items():
        for x, y, way in zip(
            table.text("x_mm"), table.text("y_mm"), table.text("direction"), strict=True
        ):
            share = (float(y) if across > 0 else 1000 - float(y)) / 1000
            deep = (float(x) if along > 0 else 2000 - float(x)) / 2000
            change = along * 50 * share / 2 if way == "x" else across * 50 * deep
            rows.append(f"{foot},{x},{y},{way},{change}")
    response = read_table("\n".join(rows).encode(), "response.csv")
    told = flat(proved(feet=FEET, response=response, raise_um=50))
    assert [foot["raise_um"] for foot in told["feet"]] == pytest.approx([200, 80, 0, 160])
    with pytest.raises(Unusable, match="raised"):
        proved(feet=FEET, response=response)
    with pytest.raises(Unusable, match="complete"):
        proved(feet=FEET + ",Z:500:500", response=response, raise_um=50)


def test_six_feet_level_too_and_name_what_they_leave_alone():
    proof = proved(feet=SIX, pitch_mm=2)
    assert [one.value for one in proof.then_read] == pytest.approx([0] * 8, abs=1e-6)
    assert "bow_x" in proof.more["modes"]
    assert any("against each other" in text for text in proof.cannot_tell)


@pytest.mark.parametrize("text", ["FL:0", "A:0:0,B:1:0", "A:0:0,A:1:0,B:0:1", "A:0:0,B:1:0,C:2:0"])
def test_feet_that_do_not_carry_are_refused_by_name(text):
    with pytest.raises(Unusable) as refusal:
        feet_of(text)
    assert refusal.value.problems
    assert refusal.value.problems[0].where == "feet"


def test_a_form_half_filled_tells_what_is_missing_and_never_breaks():
    options = options_of(DEED, {"feet": FEET})
    asked = cells(options)
    assert len(asked) == 16
    assert len(cells(options_of(DEED, {"not_turned": "yes", "stations": "6"}))) == 12
    values: dict[str, str] = {}
    for count, cell in enumerate(asked, 1):
        values[cell.id] = "60" if cell.column.startswith("tilt") else "-60"
        table = table_from(DEED, asked, values)
        if count == 1 or count % 2 == 0:
            proof = prove(table, options, Conditions())
            assert json.dumps(flat(proof), allow_nan=False)
        else:
            with pytest.raises(Unusable):
                prove(table, options, Conditions())
    one = prove(table_from(DEED, asked[:2], dict(list(values.items())[:2])), options, Conditions())
    assert any("no reading with the level along y" in text for text in one.cannot_tell)
    assert one.remedy == ()


def test_a_stated_doubt_of_the_tilt_is_that_of_each_tilt():
    proof = proved(feet=FEET, pitch_mm=2, conditions=Conditions(uncertainty=10.0))
    assert proof.quantities[0].uncertainty == pytest.approx(10)
    assert proof.then_read[0].give_or_take > 14
    assert proved(feet=FEET).then_read[0].give_or_take is None


def test_places_too_near_each_other_hardly_move_the_feet_with_certainty():
    near = "x_mm,y_mm,direction,tilt_um_per_m\n" + "\n".join(
        f"{x},{y},{way},30" for x in (990, 1010) for y in (490, 510) for way in "xy"
    )
    table = read_table(near.encode(), "near.csv")
    proof = proved(table, feet=FEET, conditions=Conditions(reading_uncertainty=10.0))
    assert any("farther apart" in text for text in proof.warnings)


def test_words_for_turns():
    assert turn_words(0.25) == "a quarter turn"
    assert turn_words(1.0) == "one turn"
    assert turn_words(1.5) == "one turn and half a turn"
    assert turn_words(0.042) == ""


def test_the_first_three_feet_span_the_most():
    assert [foot.name for foot in first_three(feet_of(SIX))] != ["FL", "FM", "FR"]


def test_cautions_stand_before_the_numbers_and_defer():
    assert any("local" in text.lower() for text in proved().cautions)
