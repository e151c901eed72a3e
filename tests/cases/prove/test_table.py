"""Readings as written: what is read, what is refused, and how it is named."""

from __future__ import annotations

import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unreadable, Unusable
from retrue.cases.prove.table import MOST_NAMED, Table, read_table, table_of, unit_of


def read(text: str | bytes) -> Table:
    return read_table(text.encode() if isinstance(text, str) else text, "readings.csv")


def refused(text: str | bytes, column: str = "a_um") -> Unusable:
    with pytest.raises(Unusable) as found:
        read(text).numbers(column)
    assert found.value.remedy
    return found.value


def test_commas_semicolons_and_tabs_part_the_cells_alike():
    for mark in ",;\t":
        table = read(f"target_mm{mark}a_um\n0{mark}1.5\n100{mark}-2\n")
        assert table.numbers("target_mm").tolist() == [0.0, 100.0]
        assert table.numbers("a_um").tolist() == [1.5, -2.0]


def test_decimal_commas_are_read_between_semicolons():
    table = read("target_mm;a_um\n0,5;1,25\n1'000,5;\u22122,5\n10\u202f000;+3\n")
    assert table.numbers("target_mm").tolist() == [0.5, 1000.5, 10_000.0]
    assert table.numbers("a_um").tolist() == [1.25, -2.5, 3.0]


@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=20), st.booleans())
def test_what_was_written_is_what_is_read(values: list[float], comma: bool):
    cells = [repr(v).replace(".", "," if comma else ".") for v in values]
    table = read("n;a_um\n" + "\n".join(f"{n};{c}" for n, c in enumerate(cells)))
    assert table.numbers("a_um").tolist() == values


def test_marks_at_the_beginning_and_old_code_pages_are_read():
    assert read(b"\xef\xbb\xbfa_um\n1\n2\n").numbers("a_um").tolist() == [1.0, 2.0]
    table = read("who,a_um\nRené µ,1\nJörg,2\n".encode("cp1252"))
    assert table.text("who") == ["René µ", "Jörg"]
    assert table.numbers("a_um").tolist() == [1.0, 2.0]


def test_headings_are_read_whatever_their_case_and_blanks():
    table = read("  Target MM , A_UM\n1,2\n")
    assert list(table.columns) == ["target_mm", "a_um"]


def test_empty_lines_and_remarks_are_left_out_yet_counted():
    table = read("# bed, left\na_um,b_um\n\n1,2\n# warm now\n , \n3,x\n")
    assert (len(table), table.rows) == (2, [4, 7])
    with pytest.raises(Unusable) as found:
        table.numbers("b_um")
    assert found.value.problems[0].where == "row 7, column b_um"


def test_quoted_cells_keep_their_commas():
    assert read('who,a_um\n"left, front",2\n').text("who") == ["left, front"]


@pytest.mark.parametrize(
    ("cell", "what"),
    [
        ("abc", "“abc” is not a number"),
        ("nan", "“nan” is not a number"),
        ("NaN", "“NaN” is not a number"),
        ("inf", "“inf” is not a number"),
        ("1e999", "“1e999” is not a number"),
        ("", "the cell is empty"),
        ("1.2.3", "“1.2.3” is not a number"),
        ("0.002 in", "“0.002 in” is in inches: convert it first"),
        ("3 thou", "“3 thou” is in inches: convert it first"),
        ('0.5"', '“0.5"” is in inches: convert it first'),
        ("1,000.5", "“1,000.5” is not a number"),
        ("12 µm", "“12 µm” is not a number"),
    ],
)
def test_a_cell_that_is_no_number_is_named_with_row_and_column(cell: str, what: str):
    found = refused(f"a_um;b_um\n1;1\n{cell};1\n2;1\n")
    [problem] = found.problems
    assert problem.where == "row 3, column a_um"
    assert problem.what == what
    assert "µm" in problem.remedy


def test_all_bad_cells_are_named_at_once_and_the_rest_is_counted():
    rows = "\n".join("x" for _ in range(MOST_NAMED + 5))
    found = refused(f"a_um\n1\n{rows}\n")
    assert len(found.problems) == MOST_NAMED + 1
    assert found.problems[0].where == "row 3, column a_um"
    assert "5 more" in found.problems[-1].what
    assert "kept" in found.remedy


def test_rows_with_too_few_or_too_many_cells_are_named():
    with pytest.raises(Unusable) as found:
        read("a_um,b_um\n1,2\n3\n4,5,6\n7,8,\n")
    assert [problem.where for problem in found.value.problems] == ["row 3", "row 4"]
    assert [problem.what for problem in found.value.problems] == ["1 cells", "3 cells"]


def test_a_column_named_twice_is_refused():
    with pytest.raises(Unusable) as found:
        read("a_um,b_um,A_um\n1,2,3\n")
    assert "a_um stands twice" in found.value.problems[0].what


def test_a_column_in_another_unit_is_told_from_one_that_is_missing():
    table = read("target_in,a_um\n1,2\n")
    with pytest.raises(Unusable) as found:
        table.need("target_mm", "height_um")
    other, missing = found.value.problems
    assert "target_in" in other.remedy
    assert "convert it to mm" in other.remedy
    assert missing.remedy == "There are: target_in, a_um."


@pytest.mark.parametrize("content", [b"", b"\n\n", b"# only a remark\n", b"a_um,b_um\n"])
def test_a_file_without_readings_is_refused(content: bytes):
    with pytest.raises(Unreadable) as found:
        read(content)
    assert "no readings" in found.value.reason
    assert found.value.remedy


@pytest.mark.parametrize("content", [b"PK\x03\x04\x00\x00rest", b"\x89PNG\r\n\x1a\n\x00\x00"])
def test_a_file_that_is_no_text_is_refused(content: bytes):
    with pytest.raises(Unreadable, match="not a text file"):
        read(content)


def test_any_bytes_are_read_or_refused_and_nothing_else():
    source = np.random.Generator(np.random.Philox(5))
    for _ in range(300):
        content = source.integers(1, 256, source.integers(0, 200), dtype=np.uint8).tobytes()
        try:
            read(content)
        except (Unreadable, Unusable) as found:
            assert found.remedy  # noqa: PT017  # whichever of the two it is


def test_a_quotation_mark_that_is_not_closed_is_named_where_it_stands():
    with pytest.raises(Unusable, match="not closed") as found:
        read('who,a_um\nleft,1\n"right,2\nleft,3\n')
    assert [problem.where for problem in found.value.problems] == ["row 3"]
    with pytest.raises(Unusable, match="not closed"):
        read("a_um\n" + '"' + "1" * 200_000)


def test_fixed_words_are_read_whatever_their_case_and_others_are_named():
    words = {"forward": "forward", "+": "forward", "backward": "backward"}
    assert read("a\nForward\n+\nBACKWARD\n").words("a", words) == ["forward", "forward", "backward"]
    with pytest.raises(Unusable) as found:
        read("a\nforward\nsideways\n").words("a", words)
    [problem] = found.value.problems
    assert problem.where == "row 3, column a"
    assert problem.what == "“sideways”"
    assert "forward, backward" in problem.remedy


def test_a_hundred_thousand_rows_are_read_whole_in_a_moment():
    """As many are kept and judged in tests/phases/prove/test_bench.py."""
    rows = "".join(f"{n},{n % 97}\n" for n in range(100_000))
    content = f"target_mm,a_um\n{rows}".encode()
    begun = time.process_time()
    table = read(content)
    values = table.numbers("a_um")
    assert time.process_time() - begun < 1.5  # about 0.15 s on a quiet machine of 2024
    assert len(table) == 100_000
    assert values[-1] == 99_999 % 97
    assert values.sum() == sum(n % 97 for n in range(100_000))


def test_a_form_is_the_same_table_as_a_file():
    made = table_of([["a_um", "b"], ["1,5", "x"], ["2", "y"]], [1, 2, 3], "form")
    assert made.numbers("a_um").tolist() == [1.5, 2.0]
    assert made.has("a_um", "b")
    assert not made.has("a_um", "c")
    assert made.where(1, "b") == "row 3, column b"


def test_units_are_read_from_the_ends_of_names():
    named = {
        "target_mm": "mm", "tilt_um_per_m": "µm/m", "height_um": "µm", "angle_deg": "degrees",
        "temperature_c": "°C", "time_s": "seconds", "feed_mm_min": "mm/min", "run": "its unit",
    }  # fmt: skip
    assert {name: unit_of(name) for name in named} == named
