from __future__ import annotations

import math
from pathlib import Path

import pytest
from tests.cases.move.plans import HALL, MILL, floor, plan, space, value

from retrue.base.refusals import Unreadable, Unusable
from retrue.cases.move.floor import METHOD
from retrue.cases.move.floor_things import read_things
from retrue.cases.reckon.method import values_of

EXAMPLE = Path(__file__).resolve().parents[3] / "examples" / "move" / "floor.csv"


@pytest.mark.parametrize(
    ("side", "clear"), [("front", 3000), ("right", 4000), ("rear", 3500), ("left", 4000)]
)
def test_a_service_space_is_free_up_to_the_wall_on_each_side(side, clear):
    made = floor(HALL, MILL, f"service,pull,mill,{side},,,,900,,,,")
    assert space(made, "pull")[2:] == (900, pytest.approx(clear), "the wall")
    assert made.answer == "go"


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_turning_the_machine_turns_its_spaces(turn):
    rows = (f"machine,mill,,,4000,3000,2000,1500,{turn},,,", "operator,op,mill,front,,,,900,,,,")
    made = floor(HALL, *rows)
    wide, deep = (2000, 1500) if turn % 180 == 0 else (1500, 2000)
    clear = {0: 3000, 90: 10_000 - 4000 - wide, 180: 8000 - 3000 - deep, 270: 4000}[turn]
    assert space(made, "op")[3] == pytest.approx(clear)


def test_what_is_in_the_way_is_named_with_how_much_is_lacking():
    made = floor(HALL, MILL, "column,C1,,,4500,2500,200,200,,,,",
                 "operator,op,mill,front,,,,900,,,,")  # fmt: skip
    assert made.answer == "no_go"
    assert made.against[0].reason == "op of mill lacks 600 mm, C1 is in the way"
    assert space(made, "op")[3] == pytest.approx(300)


def test_a_column_beside_a_space_is_not_in_its_way():
    rows = (HALL, MILL, "column,C1,,,6000,2500,200,200,,,,")
    assert floor(*rows, "operator,op,mill,front,,,,900,,,,").answer == "go"
    assert floor(*rows, "operator,op,mill,front,1,,2000,900,,,,").answer == "no_go"


@pytest.mark.parametrize(
    ("hinge", "clear"), [("left", math.hypot(100, 400)), ("right", math.hypot(300, 400))]
)
def test_how_long_a_leaf_may_be_is_exact(hinge, clear):
    """Behind the machine the left end is at x = 6000: the leaf spans x 4900 to 4300."""
    rows = (HALL, MILL, "column,C1,,,4600,4900,200,200,,,,")
    made = floor(*rows, f"door,leaf,mill,rear,1100,,,,,600,90,{hinge}")
    assert space(made, "leaf")[3] == pytest.approx(clear)
    assert made.answer == "no_go"


def test_a_leaf_hinged_on_the_other_end_swings_clear():
    rows = (HALL, MILL, "column,C1,,,4320,4980,100,100,,,,")
    left = floor(*rows, "door,leaf,mill,rear,1100,,,,,600,90,left")
    right = floor(*rows, "door,leaf,mill,rear,1100,,,,,600,90,right")
    assert space(left, "leaf")[3] == pytest.approx(math.hypot(480, 480))
    assert space(right, "leaf")[3] == pytest.approx(math.hypot(20, 480))
    assert (left.answer, right.answer) == ("go", "no_go")


def test_opening_further_needs_more_room():
    rows = (HALL, "machine,mill,,,300,3000,2000,1500,,,,")
    quarter = floor(*rows, "door,leaf,mill,front,0,,,,,700,90,left")
    wider = floor(*rows, "door,leaf,mill,front,0,,,,,700,120,left")
    assert quarter.answer == "go"
    assert wider.answer == "no_go"
    assert "the wall" in wider.against[0].reason


@pytest.mark.parametrize(("away", "answer"), [("900 mm", "go"), ("899 mm", "no_go")])
def test_before_an_open_cabinet_there_is_the_passage(away, answer):
    gap = float(away.split()[0])
    rows = (HALL, f"machine,mill,,,4000,{8000 - 1500 - gap},2000,1500,,,,",
            "cabinet,cab,mill,rear,500,,,,,600,,")  # fmt: skip
    made = floor(*rows)
    assert made.answer == answer
    assert value(made, "cabinet_front_mm") == pytest.approx(gap)
    assert floor(*rows, passage_mm="1 m").answer == "no_go"


def test_the_passage_nobody_chose_is_told_as_unverified():
    made = floor(HALL, MILL, "cabinet,cab,mill,rear,500,,,,,600,,")
    assert any("900 mm taken, common practice, from memory" in text for text in made.assumed)


def test_a_cabinet_against_the_wall_has_no_room():
    made = floor(HALL, "machine,mill,,,4000,6500,2000,1500,,,,",
                 "cabinet,cab,mill,rear,500,,,,,600,,")  # fmt: skip
    assert space(made, "cab")[3] == 0
    assert space(made, "before cab, open")[3] == 0
    assert made.answer == "no_go"


def test_outside_the_hall_and_inside_another_machine_are_both_told():
    made = floor(
        HALL, "machine,mill,,,9000,3000,2000,1500,,,,", "other,saw,,,8900,3100,400,400,,,,"
    )
    told = [one.reason for one in made.against]
    assert "mill stands in the wall" in told
    assert "mill stands in saw" in told


def test_what_only_touches_does_not_clash():
    made = floor(HALL, MILL, "other,saw,,,6000,3000,500,500,,,,")
    assert made.answer == "go"
    assert value(made, "least_room_mm") == 0


def test_a_hall_with_a_corner_cut_out_is_kept_to():
    places = ((0, 0), (6000, 0), (6000, 2000), (3000, 2000), (3000, 5000), (0, 5000))
    corners = [f"corner,,,,{x},{y},,,,,," for x, y in places]
    inner = floor(*corners, "machine,mill,,,500,2500,2000,1500,,,,")
    outer = floor(*corners, "machine,mill,,,2500,1500,2000,1500,,,,")
    assert inner.answer == "go"
    assert outer.against[0].reason == "mill stands in the wall"


@pytest.mark.parametrize(("x", "told"), [(5000, True), (3900, False), (4000, False)])
def test_a_slab_joint_under_the_machine_is_a_warning_and_no_refusal(x, told):
    made = floor(HALL, MILL, f"joint,J1,,,{x},0,8000,,90,,,")
    assert any("J1 runs under mill" in note for note in made.notes) is told
    assert made.answer == "go"


def test_a_way_to_keep_free_must_be_wide_and_empty():
    narrow = floor(HALL, MILL, "walk,way out,,,1000,0,700,8000,,,,")
    blocked = floor(HALL, MILL, "walk,way out,,,0,3500,8000,900,,,,")
    assert "way out is 700 mm wide" in narrow.against[0].reason
    assert "mill in the way of way out" in blocked.against[0].reason
    assert floor(HALL, MILL, "walk,way out,,,1000,0,900,8000,,,,").answer == "go"


def test_the_door_of_the_hall_is_measured_with_room_on_both_sides():
    rows = (HALL, MILL)
    made = floor(*rows, "hall_door,gate,,,1000,0,1599,,,,,")
    assert "1 mm too narrow for mill" in made.against[0].reason
    assert made.needs[0].key == "door_work"
    assert floor(*rows, "hall_door,gate,,,1000,0,1601,,,,,").answer == "go"
    assert value(made, "way_needed_mm") == 1600


def test_the_way_in_is_as_wide_as_its_narrowest_place():
    """A row of columns leaves 1 200 mm; the machine needs 1 600."""
    wall = [f"column,C{n},,,{x},1800,{w},200,,,," for n, (x, w) in
            enumerate(((0, 4000), (5200, 4800)))]  # fmt: skip
    made = floor(HALL, MILL, *wall, "hall_door,gate,,,1000,0,3000,,,,,")
    assert value(made, "way_mm") == pytest.approx(1200, abs=100)
    assert "about 1" in made.against[0].reason
    closed = floor(
        HALL, MILL, "column,C0,,,0,1800,10000,200,,,,", "hall_door,gate,,,1000,0,3000,,,,,"
    )
    assert value(closed, "way_mm") == 0


def test_a_door_that_lies_in_no_wall_must_be_measured_first():
    made = floor(HALL, MILL, "hall_door,gate,,,1000,900,3000,,,,,")
    assert made.answer == "get_first"
    assert "gate does not lie in a wall" in made.missing[0].reason


def test_fields_alone_make_a_plan_and_units_are_read():
    made = floor(shop_width_mm="30 ft", shop_depth_mm="6 m", width_mm="2100", depth_mm="90 in",
                 x_mm="1.2 m", y_mm="1500", cabinet_mm="700", screw_mm="1500",
                 hall_door_mm="3 m")  # fmt: skip
    assert space(made, "pull the screw")[3] == pytest.approx(30 * 304.8 - 1200 - 2100)
    assert value(made, "cabinet_front_mm") == pytest.approx(6000 - 1500 - 90 * 25.4)
    assert made.answer == "go"


@pytest.mark.parametrize(("fields", "field"), [
    ({"width_mm": "2000", "depth_mm": "1000"}, "shop_width_mm"),
    ({"shop_width_mm": "9 m", "shop_depth_mm": "6 m"}, "width_mm"),
])  # fmt: skip
def test_without_walls_or_footprint_that_is_what_to_get_first(fields, field):
    made = floor(**fields)
    assert made.answer == "get_first"
    assert field in [one.field for one in made.missing]


def test_spaces_of_two_machines_that_lie_over_one_another_are_told():
    made = floor(
        HALL,
        "machine,mill,,,1000,3000,2000,1500,,,,",
        "machine,lathe,,,4500,3000,2000,1500,,,,",
        "service,screw,mill,right,,,,1400,,,,",
        "service,feed,lathe,left,,,,1400,,,,",
    )
    assert made.answer == "go"
    assert any("Not both at once: screw of mill and feed of lathe" in n for n in made.notes)


def test_the_example_fits_as_written():
    made = METHOD.reckon(values_of(METHOD, {"plan": EXAMPLE.read_bytes()}))
    assert made.answer == "go"
    assert {piece.name for piece in made.drawing.pieces} >= {"mill", "lathe", "bar feed", "C1"}


def test_each_bad_cell_is_named_by_row_and_column_and_all_at_once():
    rows = plan(
        HALL,
        "machine,mill,,,4000,three,2000 kg,-5,,,,",
        "door,leaf,mill,top,,,,,,600,200,",
        "window,,,,,,,,,,,",
        "cabinet,c,mill,rear,,,,,,,,",
        "column,C,,,9,9,200,2000 km,,,,",
    )
    with pytest.raises(Unusable) as refused:
        read_things(rows.encode(), "plan.csv")
    places = [one.where for one in refused.value.problems]
    assert places == [
        "row 3, column y_mm", "row 3, column width_mm", "row 3, column depth_mm",
        "row 4, column side", "row 4, column swing_deg", "row 5, column what",
        "row 6, column swing_mm", "row 7, column depth_mm",
    ]  # fmt: skip


@pytest.mark.parametrize(("rows", "what"), [
    ((HALL, HALL, MILL), "the hall stands twice"),
    ((HALL, "corner,,,,0,0,,,,,,", "corner,,,,1,0,,,,,,", "corner,,,,1,1,,,,,,"), "stands twice"),
    (("corner,,,,0,0,,,,,,", MILL), "a hall of 1 corners"),
    ((HALL, MILL, MILL), "mill stands twice"),
    ((HALL, MILL, "door,d,lathe,front,,,,,,600,,"), "there is no machine lathe"),
    ((HALL, "door,d,,front,,,,,,600,,"), "no machine to hang"),
])  # fmt: skip
def test_rows_that_do_not_fit_together_are_refused(rows, what):
    with pytest.raises(Unusable) as refused:
        floor(*rows)
    assert any(what in str(one) for one in refused.value.problems)


@pytest.mark.parametrize("content", [b"\x00\x01", b"what\n", b""])
def test_no_table_is_refused(content):
    with pytest.raises(Unreadable):
        read_things(content, "plan.csv")


def test_a_strange_column_and_too_many_rows_are_refused():
    with pytest.raises(Unusable) as refused:
        read_things(b"what,colour\nshop,red\n", "plan.csv")
    assert "column colour is unknown" in str(refused.value.problems[0])
    many = plan(*["column,,,,1,1,1,1,,,,"] * 301)
    with pytest.raises(Unusable, match="cannot be used"):
        read_things(many.encode(), "plan.csv")
