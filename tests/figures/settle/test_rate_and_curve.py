"""What an hour is made of, and money against hours: everything lies in the picture, and is told."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from retrue.base.refusals import Unusable
from retrue.cases.settle.rate_lines import RateBarsDrawing
from retrue.cases.settle.versus_lines import ValueCurveDrawing
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAGE

ROOMS: tuple[Room, ...] = ("phone", "wide", "paper", "broad")
HOUR = RateBarsDrawing(
    rows=(
        ("what was paid, with interest, less what it brings in the end", 4.25),
        ("own hours put into it, with interest", 2.07),
        ("floor", 1.49),
        ("energy", 0.0),
    ),
    total=7.81,
    operator=45.0,
    currency="EUR",
)
CURVE = ValueCurveDrawing(
    sort="hours",
    name="buy the work in",
    xs=(0.0, 100.0, 200.0),
    even=(-4_000.0, 0.0, 4_000.0),
    low=(-9_000.0, -6_000.0, -3_000.0),
    high=(1_000.0, 6_000.0, 11_000.0),
    marks=((100.0, "as good as each other at 100 h"),),
    now=150.0,
    currency="EUR",
)


@pytest.mark.parametrize("room", ROOMS)
def test_every_length_lies_in_the_picture_and_begins_where_the_one_before_ended(room: Room) -> None:
    drawn = picture(HOUR, theme=PAGE, room=room)
    bars = [
        (float(x), float(wide))
        for x, wide in re.findall(r'<rect x="([-\d.]+)"[^>]*?width="([\d.]+)"', drawn)
    ]
    assert len(bars) == 5  # four parts, the operator
    for (x, wide), (after, _) in pairwise(bars):
        assert x + wide == pytest.approx(after, abs=0.05)
    assert all(x >= 0 and x + wide <= WIDTHS[room] for x, wide in bars)
    assert all(0 <= float(x) <= WIDTHS[room] for x in re.findall(r'<text x="([-\d.]+)"', drawn))


def test_a_part_that_brings_runs_back_and_the_sum_is_told() -> None:
    brings = replace(HOUR, rows=(("what it brings", -3.0), ("floor", 5.0)), total=2.0, operator=0.0)
    told = dict(rows(brings))
    assert told["an hour of it"].endswith("2.00")
    assert picture(brings, theme=PAGE, room="phone").startswith("<svg")


@pytest.mark.parametrize("room", ROOMS)
def test_the_curve_names_its_break_even_and_where_the_shop_stands(room: Room) -> None:
    drawn = picture(CURVE, theme=PAGE, room=room)
    for words in ("as good as each other at 100 h", "now", "hours of work a year"):
        assert words in drawn
    assert "style=" not in drawn


def test_the_numbers_of_the_curve_as_a_table() -> None:
    told = rows(CURVE)
    assert told[0] == (
        "at 0 h a year",
        "\u2212\u202f€\u202f4\u202f000, in eight ways of ten \u2212\u202f€\u202f9\u202f000 to "
        "+\u202f€\u202f1\u202f000",
    )
    assert told[2] == ("now, at 150 h a year", "+\u202f€\u202f2\u202f000")


def test_rates_are_drawn_in_per_cent() -> None:
    marks = ((0.1, "10.0 %"), (0.2, "20.0 %"))
    rates = replace(CURVE, sort="rate", xs=(0.0, 0.1, 0.2, 0.3), even=(-2.0, 0.0, 0.0, -1.0),
                    low=(), high=(), marks=marks, now=0.08)  # fmt: skip
    drawn = picture(rates, theme=PAGE, room="phone")
    for words in ("10.0 %", "20.0 %", "interest, % a year"):
        assert words in drawn


def test_nothing_to_draw_is_refused() -> None:
    with pytest.raises(Unusable):
        picture(replace(HOUR, rows=()), theme=PAGE, room="phone")
    with pytest.raises(Unusable):
        picture(replace(CURVE, xs=(1.0,)), theme=PAGE, room="phone")
