"""Number after number: kept as typed, asked about where odd, gone on with where it was left."""

from __future__ import annotations

import pytest
from tests.phases.prove.conftest import BACKLASH, WHOLE

from retrue.base.refusals import Overtaken, Unknown, Unusable
from retrue.phases import prove
from retrue.records.chain import verify_chain
from retrue.records.measuring import Reading, ReadingSet


def begin(shop, kinds, test="backlash", typed=None, **told):
    return prove.begin(shop, "school", "mill", test, typed or {}, kinds, by="owner", **told)


def test_a_set_is_left_half_way_and_gone_on_with_where_it_was(bench, kinds):
    begun = begin(bench, kinds, place="X", air_c=19.5, state="cold")
    view = prove.open_set(bench, begun.id, kinds)
    assert (view.next.id, view.done, len(view.cells)) == ("left_1", 0, 6)
    for cell, text in list(BACKLASH.items())[:3]:
        assert prove.keep_reading(bench, begun.id, cell, text, kinds, by="owner").record
    again = prove.open_set(bench, begun.id, kinds)
    assert (again.next.id, again.done) == ("middle_2", 3)
    assert again.values == {"left_1": "6", "left_2": "6", "middle_1": "20"}
    waiting = next(
        line for line in prove.bench(bench, "school", "mill", kinds).lines
        if line.deed.id == "backlash"
    )  # fmt: skip
    assert waiting.open_set.id == begun.id
    assert waiting.last is None
    with pytest.raises(Unusable, match="a place is missing") as refusal:
        prove.work_out(bench, begun.id, kinds)
    assert refusal.value.remedy == "Read all three. What is typed is kept."
    prove.keep_readings(bench, begun.id, WHOLE, kinds, by="owner")
    assert prove.open_set(bench, begun.id, kinds).next is None
    assert prove.work_out(bench, begun.id, kinds).quantities[0].value == 21.0
    assert verify_chain(bench) == []


def test_a_number_typed_anew_is_a_new_record_and_the_old_one_stays_readable(bench, kinds, measure):
    id = measure("backlash", WHOLE)
    kept = prove.keep_reading(bench, id, "middle_2", "20,5", kinds, by="helper").record
    assert prove.work_out(bench, id, kinds).quantities[0].value == 20.25
    line = bench.history(kept.id)
    assert [(one.fact.text, one.by) for one in line] == [("22", "owner"), ("20,5", "helper")]
    assert len(bench.current(Reading, set=id)) == 6


def test_the_same_number_again_adds_nothing(bench, kinds, measure):
    id = measure("backlash", WHOLE)
    before = len(list(bench.rows()))
    assert prove.keep_reading(bench, id, "left_1", " 6 ", kinds, by="owner").record
    prove.keep_readings(bench, id, WHOLE, kinds, by="owner")
    assert len(list(bench.rows())) == before


def test_what_a_phone_sends_twice_is_kept_once_even_after_a_correction(bench, kinds):
    told = {"place": "X", "id": "s-1"}
    begun = begin(bench, kinds, **told)
    assert begin(bench, kinds, **told) == begun
    assert len(bench.current(ReadingSet)) == 1
    first = prove.keep_reading(bench, "s-1", "left_1", "6", kinds, by="owner", id="r-1")
    prove.keep_reading(bench, "s-1", "left_1", "7", kinds, by="owner", id="r-2")
    again = prove.keep_reading(bench, "s-1", "left_1", "6", kinds, by="owner", id="r-1")
    assert again == first
    assert prove.open_set(bench, "s-1", kinds).values == {"left_1": "7"}
    with pytest.raises(Overtaken):
        prove.keep_reading(bench, "s-1", "left_1", "8", kinds, by="owner", id="r-1")
    sheet = {"left_2": "6", "right_1": "8"}
    for _ in range(2):
        prove.keep_readings(bench, "s-1", sheet, kinds, by="owner", id="w-1")
    assert {one.id for one in bench.current(Reading, set="s-1")} == {"r-2", "w-1.2", "w-1.5"}


def test_an_odd_number_is_asked_about_at_once_and_kept_when_it_is_right(bench, kinds):
    id = begin(bench, kinds).id
    prove.keep_readings(bench, id, dict(list(BACKLASH.items())[:3]), kinds, by="owner")
    asked = prove.keep_reading(bench, id, "right_1", "800", kinds, by="owner", id="odd")
    assert asked.record is None
    assert asked.question == "800 µm is far from the others, around 6. Is it right?"
    assert "right_1" not in prove.open_set(bench, id, kinds).values
    kept = prove.keep_reading(bench, id, "right_1", "800", kinds, sure=True, by="owner", id="odd")
    assert kept.question == ""
    assert (kept.record.fact.text, kept.record.fact.sure) == ("800", True)


def test_what_lies_within_the_scatter_of_the_instrument_is_not_asked_about(bench, kinds):
    asked = []
    for instrument in (None, "frame level"):
        id = begin(bench, kinds, test="level", instrument=instrument).id
        flat = {"along_1": "0", "across_1": "0", "along_2": "0"}
        prove.keep_readings(bench, id, flat, kinds, by="owner")
        for text in ("20", "-41"):
            kept = prove.keep_reading(bench, id, "across_2", text, kinds, by="owner")
            asked.append(bool(kept.question))
    assert asked == [True, True, False, True]


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("", "the cell is empty"),
        ("about 6", "“about 6” is not a number"),
        ("nan", "“nan” is not a number"),
        ("0.3 in", "“0.3 in” is in inches: convert it first"),
        ("-3", "a number below zero"),
    ],
)
def test_what_is_no_reading_is_refused_and_its_field_named(bench, kinds, text, what):
    id = begin(bench, kinds).id
    with pytest.raises(Unusable) as refusal:
        prove.keep_reading(bench, id, "left_1", text, kinds, by="owner")
    assert [(one.where, one.what) for one in refusal.value.problems] == [("left_1", what)]
    assert bench.current(Reading, set=id) == []


def test_a_whole_sheet_keeps_what_is_right_and_names_all_that_is_not(bench, kinds):
    id = begin(bench, kinds).id
    sheet = {**WHOLE, "left_1": "six", "right_2": "9000", "nowhere": "3", "left_2": " "}
    with pytest.raises(Unusable) as refusal:
        prove.keep_readings(bench, id, sheet, kinds, by="owner")
    assert {one.where for one in refusal.value.problems} == {"left_1", "right_2", "nowhere"}
    kept = {"middle_1": "20", "middle_2": "22", "right_1": "8"}
    assert prove.open_set(bench, id, kinds).values == kept
    prove.keep_readings(bench, id, {"right_2": "9000"}, kinds, sure=True, by="owner")
    assert prove.open_set(bench, id, kinds).values == {**kept, "right_2": "9000"}


def test_an_unknown_cell_set_test_instrument_or_machine_is_said_to_be_unknown(bench, kinds):
    id = begin(bench, kinds).id
    for wrong in (
        lambda: prove.keep_reading(bench, id, "nowhere", "3", kinds, by="owner"),
        lambda: prove.keep_reading(bench, "nothing", "left_1", "3", kinds, by="owner"),
        lambda: begin(bench, kinds, test="horoscope"),
        lambda: begin(bench, kinds, instrument="dail"),
        lambda: begin(bench, kinds, before="nothing"),
        lambda: prove.begin(bench, "school", "press", "level", {}, kinds, by="owner"),
        lambda: prove.begin(bench, "scool", "mill", "level", {}, kinds, by="owner"),
        lambda: prove.set_by_code(bench, ""),
        lambda: prove.set_by_code(bench, "AAAA-AAAA"),
    ):
        with pytest.raises(Unknown) as refusal:
            wrong()
        assert refusal.value.remedy


def test_a_wrong_option_is_named_before_a_set_is_begun(bench, kinds):
    with pytest.raises(Unusable) as refusal:
        begin(bench, kinds, typed={"runs": "two", "entered_um": "-3"})
    assert [one.where for one in refusal.value.problems] == ["runs", "entered_um"]
    assert bench.current(ReadingSet) == []


def test_a_sheet_is_found_by_its_code_however_it_is_typed(bench, kinds):
    begin(bench, kinds, code="34AC-79XY")
    second = begin(bench, kinds, code="34AC-79XY")
    assert prove.set_by_code(bench, "34ac 79xy") == second.id


def test_an_option_that_is_a_file_is_kept_by_its_hash_and_read_again(bench, kinds):
    begun = begin(bench, kinds, typed={"map": b"target_mm,value_um\n0,1\n", "runs": 3})
    assert dict(begun.fact.options)["runs"] == "3"
    table = prove.open_set(bench, begun.id, kinds).options["map"]
    assert table.numbers("value_um").tolist() == [1.0]
