"""Tests as data: options as typed, a form as a table, odd values, and every test's promises."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import Any

import pytest
from tests.library import load

from retrue.base.refusals import Refusal, Unknown, Unusable
from retrue.cases.prove import deed as house
from retrue.cases.prove.deed import Cell, Deed, Option, odd, options_of, table_from
from retrue.cases.prove.proof import Conditions, Proof
from retrue.cases.prove.table import Table, read_table

HOME = Path(__file__).resolve().parents[3]
CASES = HOME / "src" / "retrue" / "cases" / "prove"
WRITTEN = [id for id, module in house.MODULES.items() if (CASES / f"{module}.py").is_file()]
every_deed = pytest.mark.parametrize("one", [house.deed(id) for id in WRITTEN], ids=WRITTEN)


def nothing(*_: Any) -> Any:
    raise AssertionError("not asked for")


def made(*options: Option) -> Deed:
    return Deed(
        id="test", title="Test", what="Tests.", columns=("a_um",), options=options, cells=nothing,
        prove=nothing, judged=("a_um",), steps=(), cautions=(), instrument="indicator",
        instrument_sorts=("indicator",), reading_unit="µm",
    )  # fmt: skip


def refused(one: Deed, typed: dict[str, Any]) -> Unusable:
    with pytest.raises(Unusable) as found:
        options_of(one, typed)
    return found.value


def test_typed_text_becomes_values_and_what_is_empty_takes_its_default():
    one = made(
        Option(id="radius_mm", name="radius", unit="mm"),
        Option(id="runs", name="runs", sort="whole", default=5),
        Option(id="way", name="way", sort="choice", choices=("up", "down"), default="up"),
        Option(id="shift_mm", name="shift", signed=True),
        Option(id="warm", name="warm", sort="flag", default=False),
        Option(id="who", name="who", sort="text"),
        Option(id="before", name="before", sort="file"),
    )
    found = options_of(
        one,
        {
            "radius_mm": " 100,5 ", "runs": "", "way": "down", "shift_mm": "-2", "warm": "on",
            "who": "left", "before": b"a_um\n1\n",
        },
    )  # fmt: skip
    assert isinstance(found.pop("before"), Table)
    assert found == {
        "radius_mm": 100.5, "runs": 5, "way": "down", "shift_mm": -2.0, "warm": True, "who": "left",
    }  # fmt: skip
    assert options_of(one, {})["warm"] is False


def test_every_wrong_option_is_named_in_one_refusal():
    one = made(
        Option(id="radius_mm", name="radius", needed=True, help="From the axis to the tip."),
        Option(id="runs", name="runs", sort="whole"),
        Option(id="way", name="way", sort="choice", choices=("up", "down")),
        Option(id="height_mm", name="height"),
        Option(id="width_mm", name="width"),
    )
    found = refused(one, {"runs": "2.5", "way": "left", "height_mm": "-3", "width_mm": "wide"})
    assert [problem.where for problem in found.problems] == [o.id for o in one.options]
    assert found.problems[0].remedy == "From the axis to the tip."
    assert "up, down" in found.problems[2].remedy
    assert all(problem.what for problem in found.problems)
    assert "kept" in found.remedy


@pytest.mark.parametrize("value", ["nan", "inf", "1e999", "--3", "3 3", "three"])
def test_an_option_that_is_no_number_is_refused(value: str):
    found = refused(made(Option(id="radius_mm", name="radius")), {"radius_mm": value})
    assert found.problems[0].where == "radius_mm"


def test_a_test_that_does_not_exist_is_refused_with_those_that_do():
    with pytest.raises(Unknown) as found:
        house.deed("sweeping")
    assert "sweep" in found.value.remedy


def cell(id: str, column: str = "a_um", **row: str) -> Cell:
    return Cell(id=id, row=row, column=column, prompt="", unit="µm")


def test_cells_of_one_row_become_one_row_of_the_table():
    cells = (cell("1a", run="1"), cell("1b", "b_um", run="1"), cell("2a", run="2"))
    table = table_from(made(), cells, {"1a": "3", "1b": "-4", "2a": "5"})
    assert table.text("run") == ["1", "2"]
    assert table.text("a_um") == ["3", "5"]
    assert table.text("b_um") == ["-4", ""]


def test_cells_without_a_number_make_no_row():
    cells = (cell("1", run="1"), cell("2", run="2"), cell("3", run="3"))
    table = table_from(made(), cells, {"1": "3", "2": "", "3": "0"})
    assert table.text("run") == ["1", "3"]
    assert table.numbers("a_um").tolist() == [3.0, 0.0]


def test_a_form_without_any_number_is_refused():
    with pytest.raises(Unusable, match="no reading"):
        table_from(made(), (cell("1", run="1"),), {})


def test_the_same_reading_twice_in_one_place_makes_two_rows():
    cells = (cell("1", place="left"), cell("2", place="left"))
    table = table_from(made(), cells, {"1": "3", "2": "4"})
    assert table.numbers("a_um").tolist() == [3.0, 4.0]


def test_an_odd_value_is_asked_about_at_once_and_like_ones_are_not():
    one = cell("1")
    assert odd(one, 400.0, [3.0, 4.0]) == ""  # too few to know
    assert "400 µm" in odd(one, 400.0, [3.0, 4.0, 5.0])
    assert odd(one, 12.0, [3.0, 4.0, 5.0]) == ""
    assert odd(one, 13.0, [3.0, 4.0, 5.0]) != ""
    assert odd(one, -5.0, [3.0, 4.0, 5.0]) != ""  # a forgotten sign
    assert odd(one, 0.5, [0.0, 0.0, 0.0]) == ""  # one unit of reading is never odd


def proved(one: Deed) -> Proof:
    path = HOME / "examples" / "prove" / one.example
    table = read_table(path.read_bytes(), one.example)
    return one.prove(table, options_of(one, typed_for(one)), Conditions(reading_uncertainty=1.0))


def typed_for(one: Deed) -> dict[str, str]:
    """Options that a test cannot do without, for its example."""
    needed = {"radius_mm": "100", "length_mm": "500", "width_mm": "400", "foot_mm": "100"}
    return {o.id: needed.get(o.id, "100") for o in one.options if o.needed and o.default is None}


@every_deed
def test_a_test_keeps_the_promises_of_its_data(one: Deed):
    assert one.id in house.MODULES
    assert one.title
    assert one.what.endswith(".")
    assert one.judged
    assert one.steps
    assert one.example.endswith(".csv")
    assert one.cautions, "cautions stand before the number"
    for option in one.options:
        assert option.name, option.id
        assert not option.help or option.help.endswith("."), option.id
        assert (option.sort == "choice") == bool(option.choices), option.id
        assert option.sort != "choice" or option.default in (None, *option.choices), option.id


@every_deed
def test_the_form_of_a_test_asks_each_number_once(one: Deed):
    cells = one.cells(options_of(one, typed_for(one)))
    assert cells
    assert len({c.id for c in cells}) == len(cells)
    columns = {name.strip("[]") for name in one.columns}
    for c in cells:
        assert c.prompt, c.id
        assert c.unit, c.id
        assert {c.column, *c.row} <= columns, c.id


@every_deed
def test_an_empty_or_half_filled_form_is_a_refusal_or_a_result(one: Deed):
    options = options_of(one, typed_for(one))
    cells = one.cells(options)
    for count in {0, 1, 2, len(cells) // 3, len(cells) // 2, len(cells) - 1, len(cells)}:
        values = {c.id: str(n % 5 + 1) for n, c in enumerate(cells[:count])}
        try:
            table = table_from(one, cells, values)
            assert one.prove(table, options, Conditions()).headline
        except Refusal as found:
            assert found.reason  # noqa: PT017  # either is right, nothing else is
            assert found.remedy  # noqa: PT017


@every_deed
def test_the_limits_of_the_library_stand_against_what_a_test_gives(one: Deed):
    limits = [lim for kind in load().values() for lim in kind.limits.values() if lim.test == one.id]
    for limit in limits:
        assert limit.key in one.judged, (limit.id, one.judged)


def test_every_limit_of_the_library_belongs_to_a_test():
    tests = {limit.test for kind in load().values() for limit in kind.limits.values()}
    assert tests <= set(house.MODULES)


def test_no_test_reads_a_clock_or_a_file():
    for path in CASES.glob("*.py"):
        names = {
            alias.name
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Import)
            for alias in node.names
        }
        assert not names & {"os", "time", "io", "random", "datetime"}, path.name
