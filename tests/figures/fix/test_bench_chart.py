"""The bench chart: everything lies in the picture, the promise is named, the table has it all."""

import re
from dataclasses import replace
from datetime import date, datetime, timedelta, timezone

import pytest

from retrue.base.refusals import Unusable
from retrue.cases.fix.bench_drawing import BenchBar, BenchDrawing, BenchMachine, BenchRow
from retrue.figures.axes import WIDTHS
from retrue.figures.drawing import picture
from retrue.figures.fix.bench_chart import draw, rows
from retrue.figures.ink import PAGE, PAPER

START = datetime(2026, 11, 26, 19, tzinfo=timezone(timedelta(hours=1)))
PLACES = ("Electrical cabinet", "X ways and screw", "Spindle head, taper, drawbar, belt")


def bench(weeks: int = 14) -> BenchDrawing:
    def row(n: int, name: str) -> BenchRow:
        begins = START + timedelta(days=4 + 5 * n)
        back = begins + timedelta(days=21)
        return BenchRow(name=name, bars=(
            BenchBar(begins=begins, ends=begins + timedelta(hours=3), title="open"),
            BenchBar(begins=begins + timedelta(hours=3), ends=back, sort="wait"),
            BenchBar(begins=back, ends=back + timedelta(days=3), title="refit"),
        ))  # fmt: skip

    even = START.date() + timedelta(weeks=weeks - 3)
    machines = tuple(
        BenchMachine(
            name=name, rows=tuple(row(n + shift, place) for n, place in enumerate(PLACES)),
            early_on=even - timedelta(weeks=2), even_on=even, promise_on=even + timedelta(weeks=3),
        )
        for shift, name in enumerate(("mill", "lathe"))
    )  # fmt: skip
    return BenchDrawing(start=START, machines=machines, hire=((date(2026, 12, 19), "hoist"),))


@pytest.mark.parametrize("room", ["phone", "wide", "paper", "broad"])
@pytest.mark.parametrize("weeks", [4, 14, 90])
def test_everything_lies_within_the_picture(room, weeks):
    drawn = draw(bench(weeks), theme=PAGE, room=room)
    wide = WIDTHS[room]
    for x, width in re.findall(r'<rect x="([-\d.]+)"[^>]*?width="([\d.]+)"', drawn):
        assert float(x) >= 0
        assert float(x) + float(width) <= wide + 0.5
    assert all(0 <= float(x) <= wide for x in re.findall(r'<text x="([-\d.]+)"', drawn))


def test_waits_are_dashed_and_the_promise_of_each_machine_is_written():
    drawn = draw(bench(), theme=PAGE, room="wide")
    assert drawn.count("stroke-dasharray") == 6
    assert drawn.count("promise 2027-03-04") == 2
    assert "9 of 10 ways" in drawn


def test_paper_has_no_colour_that_only_a_page_knows():
    assert "var(" not in picture(bench(), theme=PAPER, room="paper")


def test_the_table_has_every_place_the_waits_and_the_three_days():
    told = dict(rows(bench()))
    assert told["mill, X ways and screw"] == "2026-12-05 – 2026-12-29, of it waiting 20 days"
    assert told["lathe, first good part"] == (
        "1 in 10 by 2027-01-28, as likely as not by 2027-02-11, 9 in 10 by 2027-03-04"
    )
    assert told["hoist here"] == "2026-12-19"


@pytest.mark.parametrize("room", ["phone", "wide", "paper", "broad"])
def test_without_a_date_the_chart_and_its_table_say_why(room):
    why = "no date before there is a hoist"
    none = {"early_on": None, "even_on": None, "promise_on": None, "why": why}
    mill, lathe = bench().machines
    drawing = replace(bench(), machines=(replace(mill, **none), lathe))
    drawn = draw(drawing, theme=PAGE, room=room)
    assert why in re.sub(r"</tspan><tspan[^>]*>", " ", drawn)
    assert drawn.count("promise 2027-03-04") == 1
    assert "mill makes its first good part" not in drawn
    assert dict(rows(drawing))["mill, first good part"] == why


def test_a_chart_of_nothing_is_refused():
    with pytest.raises(Unusable):
        draw(BenchDrawing(start=START, machines=()), theme=PAGE, room="wide")
