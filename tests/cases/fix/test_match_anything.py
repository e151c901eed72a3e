"""Whatever is typed, a matching answers or refuses; its cautions stand first; it fills itself."""

from __future__ import annotations

import json
import math
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.cases.fix.match_parts import CAUTIONS, FITTING, fitting, rows

from retrue.base.refusals import Refusal
from retrue.cases.reckon.books import BOOKS
from retrue.cases.reckon.method import (
    Field,
    answered,
    in_book,
    method,
    methods,
    short,
    typed_as,
)
from retrue.cases.reckon.prefill import prefilled
from retrue.cases.reckon.prefill_match import SAID
from retrue.cases.reckon.reckoning import answer_word, flat
from retrue.records.facts import Machine, Plate, Shop
from retrue.records.moving import Planned

SIZES = [1e-6, 0.05, 0.5, 1.0, 3.0, 24.0, 90.0, 230.0, 400.0, 2000.0, 1e5, 1e8]
TEXTS = ["", "x", "0, 12; 3000, 6", "3,0.2; -2,0.2", "AC-3 9; AC-1 25", "AC-9 9", "IP65", "IPX5"]
WAITS = re.compile(r"\bwait\b|then touch|\bafter \d+ min", re.IGNORECASE)
MILL = Machine(lot="14", name="mill", kind="vertical_machining_centre")


def some(field: Field) -> st.SearchStrategy[Any]:
    if field.sort == "choice":
        return st.sampled_from([key for key, _ in field.choices])
    if field.sort == "flag":
        return st.booleans()
    if field.sort == "whole":
        return st.sampled_from([1, 2, 3, 8, 125])
    if field.sort == "number":
        sizes = st.sampled_from([size for size in SIZES if field.unit != "°C" or size < 100])
        return sizes.map(lambda size: -size) if field.signed else sizes
    return st.sampled_from(TEXTS)


@pytest.mark.parametrize("id", BOOKS["fix"])
def test_a_matching_answers_or_refuses_and_its_answer_is_plain_json(id: str):
    one = method(id)
    every = {field.id: some(field) for field in one.fields}

    @settings(max_examples=25, deadline=None)
    @given(st.fixed_dictionaries({}, optional=every))
    def answers(typed: dict[str, Any]) -> None:
        try:
            made = answered(one, typed, CAUTIONS)
        except Refusal:
            return
        told = json.dumps(flat(made), allow_nan=False)
        assert "is safe" not in told.lower()
        assert (made.answer == "go") == (not made.against and not made.missing)
        assert all(f.value is None or math.isfinite(f.value) for f in made.figures)
        assert all(one.remedy and one.reason for one in (*made.against, *made.missing))
        assert len({figure.key for figure in made.figures}) == len(made.figures)
        assert {fits for *_, fits in rows(made).values()} <= {"yes", "no", "ask"}

    answers()


@pytest.mark.parametrize("id", BOOKS["fix"])
def test_nothing_typed_is_asked_first_and_cautions_stand_before_it(id: str):
    one = method(id)
    made = answered(one, {}, CAUTIONS)
    assert made.answer == "get_first"
    assert made.headline.startswith("Get this number first: ")
    assert set(one.cautions) <= set(CAUTIONS)
    words = [caution.text for caution in made.cautions]
    assert words[: len(one.cautions)] == [CAUTIONS[c].text for c in one.cautions]
    assert len(words) >= 3
    assert (id in ("cell", "lamp", "display")) == (len(words) > len(one.cautions))


@pytest.mark.parametrize("id", BOOKS["fix"])
def test_no_sentence_is_a_step_of_work_on_what_is_live(id: str):
    one = method(id)
    told = " ".join((one.what, *(f"{field.name} {field.help}" for field in one.fields)))
    assert not WAITS.search(told)
    assert all(field.help.endswith(".") for field in one.fields), id
    assert len({field.id for field in one.fields}) == len(one.fields)


@pytest.mark.parametrize("id", BOOKS["fix"])
def test_the_example_of_a_matching_runs_and_gives_rows_that_fit(id: str):
    one = method(id)
    typed: dict[str, str] = {}
    for word in one.example:
        if word.startswith("--"):
            typed[word[2:].replace("-", "_")] = "yes"
        else:
            typed[list(typed)[-1]] = word
    made = answered(one, typed, CAUTIONS)
    assert made.answer == "get_first"
    assert sum(fits == "yes" for *_, fits in rows(made).values()) >= 1


def test_what_drives_and_controls_change_asks_a_qualified_person():
    for id in ("drive", "relay", "display"):
        assert "X37" in method(id).cautions
    for id in BOOKS["fix"]:
        electric = {"motor", "drive", "contactor", "relay", "match_overload", "lamp", "display",
                    "cell"}  # fmt: skip
        assert ("X05" in method(id).cautions) == (id in electric), id


def test_ids_that_another_book_has_taken_are_typed_short():
    assert [typed_as(one.id) for one in methods("fix")][4:7] == [
        "fix match overload", "fix match belt", "fix match bearing"]  # fmt: skip
    assert in_book("fix", "bearing") == "match_bearing"
    assert in_book("prove", "bearing") == "bearing"
    with pytest.raises(Refusal, match="no calculator lift here"):
        in_book("fix", "lift")
    every = [id for book in BOOKS.values() for id in book]
    assert len(every) == len(set(every))
    assert len({short(id) for id in BOOKS["fix"]}) == len(BOOKS["fix"]) == 11


def test_the_answer_is_said_as_may_replace_it():
    for changes, word in (({}, "may replace it"), ({"has_lm": "1"}, "may not replace it"),
                          ({"has_lm": ""}, "get this number first")):  # fmt: skip
        made = answered(method("lamp"), fitting("lamp") | changes, CAUTIONS)
        assert answer_word(made) == word
    assert flat(made)["schema"] == "fix.lamp.1"


STAMPED = [
    ("motor", "N15", "7.5", "need_kw", "7.5 kW"),
    ("motor", "N16", "29", "need_ampere", "29 A"),
    ("motor", "N17", "400", "need_volts", "400 V"),
    ("motor", "N18", "6000", "need_most_rpm", "6000 rpm"),
    ("motor", "N19", "F (155)", "need_insulation_class", "F"),
    ("motor", "N27", "565", "bus_volts", "565 V"),
    ("drive", "N26", "SD-7 v3", "need_firmware", "SD-7 v3"),
    ("drive", "N10", "10", "need_short_circuit_ka", "10 kA"),
    ("contactor", "N13", "110", "need_coil_volts", "110 V"),
    ("contactor", "N13", "110", "need_coil_kind", "ac"),
    ("relay", "N14", "24 V DC", "need_coil_volts", "24 V"),
    ("relay", "N14", "24 V DC", "need_coil_kind", "dc"),
    ("match_overload", "N46", "2.1", "need_ampere", "2.1 A"),
    ("match_belt", "N25", "8M-1000-30", "need_marks", "8M-1000-30"),
    ("match_bearing", "N24", "x P4 DB", "need_marks", "x P4 DB"),
    ("match_bearing", "N21", "8000", "speed_rpm", "8000 rpm"),
    ("hose", "N37", "70", "need_bar", "70 bar"),
    ("cell", "N33", "3.6", "need_volts", "3.6 V"),
    ("lamp", "N21", "8000", "most_rpm", "8000 rpm"),
]


@pytest.mark.parametrize(("id", "entry", "stamped", "field", "value"), STAMPED)
def test_the_plate_fills_what_is_needed(id: str, entry: str, stamped: str, field: str, value: str):
    plate = Plate(machine="mill", entry=entry, value=stamped)
    known = prefilled(method(id), MILL, [plate], Shop(), [])
    assert (known[field].value, known[field].where) == (value, "its plate")
    answered(method(id), {name: one.value for name, one in known.items()}, CAUTIONS)


def test_the_plate_of_the_spindle_motor_fills_no_axis_motor():
    plates = [Plate(machine="mill", entry=entry, value=value)
              for entry, value in (("N15", "7.5"), ("N31", "90"), ("N46", "2.1"))]  # fmt: skip
    plan = Planned(lot="14", machine="mill", method="motor", values=(("part", "axis"),))
    axis = prefilled(method("motor"), MILL, plates, Shop(), [plan])
    assert (axis["need_brake_volts"].value, axis["need_brake"].value) == ("90 V", "yes")
    assert not {"need_kw", "need_ampere"} & axis.keys()
    pump = Planned(lot="14", machine="mill", method="motor", values=(("part", "pump"),))
    assert prefilled(method("motor"), MILL, plates, Shop(), [pump])["need_ampere"].value == "2.1 A"
    lube = Planned(lot="14", machine="mill", method="hose", values=(("part", "lube"),))
    told = [Plate(machine="mill", entry="N36", value="30")]
    assert prefilled(method("hose"), MILL, told, Shop(), [lube])["need_bar"].value == "30 bar"


def test_what_was_typed_for_a_calculator_fills_what_is_needed():
    values = (("bore_mm", "70"), ("rating_kn", "30 kN"), ("speed_rpm", "1500"))
    old = Planned(lot="14", machine="mill", method="bearing", values=values)
    known = prefilled(method("match_bearing"), MILL, [], Shop(), [old])
    assert known["need_bore_mm"].value == "70"
    assert known["need_rating_kn"].where == "typed for another calculator"
    assert "speed_rpm" not in known
    axis = Planned(lot="14", machine="mill", method="matching", values=(("cycle", "3, 0.2"),))
    assert "cycle" not in prefilled(method("motor"), MILL, [], Shop(), [axis])
    part = Planned(lot="14", machine="mill", method="motor", values=(("part", "axis"),))
    assert prefilled(method("motor"), MILL, [], Shop(), [axis, part])["cycle"].value == "3, 0.2"


def test_every_field_that_something_fills_is_a_field_of_its_matching():
    for id, parts in SAID.items():
        asked = {field.id: field for field in method(id).fields}
        if set(parts) != {""}:
            assert set(parts) <= {key for key, _ in asked["part"].choices}
        for said in parts.values():
            filled = {name for names in said.stamped.values() for name in names}
            filled |= {name for name, _ in said.fixed.values()}
            for other, names in said.typed.items():
                assert set(names) <= {field.id for field in method(other).fields}, (id, other)
                filled |= set(names.values())
            assert filled <= set(asked), (id, filled - set(asked))


@pytest.mark.parametrize("id", FITTING)
def test_a_field_names_the_unit_of_its_number(id: str):
    bare = {"kw", "mah", "ua", "rpm", "hz", "khz", "mhz", "nm", "kg", "mm", "volts", "ampere",
            "watt", "ohm", "newton", "kn", "ka", "lm"}  # fmt: skip
    for field in method(id).fields:
        if field.sort == "number" and field.id.rpartition("_")[2] in bare:
            assert field.unit, field.id
