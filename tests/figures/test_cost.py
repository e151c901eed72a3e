"""The pictures of what it cost: every number in words, a drawing of its own for the phone."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from retrue.base.refusals import Unusable
from retrue.cases.settle.cost_drawing import CostBar, CostBars, CurveDrawing
from retrue.cases.settle.cost_lines import CashPoint, Range
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAGE

ROOMS: tuple[Room, ...] = ("phone", "wide", "paper", "broad")
BAND = Range(p10=800.0, p50=1000.0, p90=1500.0, mean=1050.0)
END = Range(p10=1300.0, p50=1400.0, p90=2100.0, mean=1500.0)


def bars() -> CostBars:
    long = "outside work at the winder and the grinder, and what comes with it"
    return CostBars(
        name="mill",
        bars=(
            CostBar(words="removal and loader", forecast=BAND, actual=1200.0, end=END),
            CostBar(words=long, forecast=None, actual=85.0, end=Range(
                p10=85.0, p50=85.0, p90=85.0, mean=85.0)),
        ),
        whole=CostBar(words="all", forecast=BAND, actual=1285.0, end=END),
        currency="EUR",
    )  # fmt: skip


def curve(stop_at: float | None = 3000.0) -> CurveDrawing:
    def point(week: str, paid: float | None, even: float | None) -> CashPoint:
        low, high = (None, None) if even is None else (even * 0.9, even * 1.2)
        return CashPoint(week_on=week, paid=paid, low=low, even=even, high=high, amount=1.0)

    points = (
        point("2026-11-16", 900.0, None),
        point("2026-11-23", 1000.0, 1100.0),
        point("2026-11-30", None, 1600.0),
    )
    return CurveDrawing(name="mill", points=points, currency="EUR", now=1, stop_at=stop_at)


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("drawing", [bars(), curve()], ids=["bars", "curve"])
def test_it_is_drawn_for_every_room_within_its_width(drawing: object, room: Room) -> None:
    drawn = picture(drawing, theme=PAGE, room=room)
    tree = ET.fromstring(drawn)
    assert float(tree.attrib["width"]) == WIDTHS[room]
    for mark in tree.iter("{http://www.w3.org/2000/svg}text"):
        assert 0.0 <= float(mark.attrib["x"]) <= WIDTHS[room]
    for name, value in rows(drawing):
        assert name in tree.attrib["aria-label"]
        assert value in tree.attrib["aria-label"]


def test_the_band_reaches_from_good_to_bad_luck_and_the_pointer_stands_at_what_is_spent() -> None:
    """By hand on a rule of 0 to 2,500: places are in proportion to the money."""
    drawn = picture(bars(), theme=PAGE, room="wide")
    left, wide = map(float, re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"', drawn)[0])
    pointer = float(re.findall(r'd="M([\d.]+) [\d.]+l-6 10h12z"', drawn)[0])
    # 1,200 lies four sevenths of the way from 800 to 1,500
    assert pointer == pytest.approx(left + wide * 4.0 / 7.0, abs=0.02)


def test_what_was_not_foreseen_has_no_band() -> None:
    assert dict(rows(bars()))[bars().bars[1].words].endswith("not foreseen")
    told = picture(bars(), theme=PAGE, room="wide").count("<rect")
    assert told == 1 + 1 + 1  # of the first, of all, of the key


def test_the_line_to_stop_at_is_drawn_where_it_can_be_seen_and_said_always() -> None:
    assert "stopping as good" in picture(curve(), theme=PAGE, room="wide")
    far = curve(stop_at=90_000.0)
    assert ">stopping as good" not in picture(far, theme=PAGE, room="wide")
    assert any("stopping" in name for name, _ in rows(far))


def test_one_week_alone_is_no_curve() -> None:
    one = CurveDrawing(name="mill", points=curve().points[:1], currency="EUR", now=0, stop_at=None)
    with pytest.raises(Unusable):
        picture(one, theme=PAGE, room="wide")


def test_nothing_at_all_is_no_picture() -> None:
    empty = CostBars(name="mill", bars=(), whole=bars().whole, currency="EUR")
    with pytest.raises(Unusable):
        picture(empty, theme=PAGE, room="wide")
