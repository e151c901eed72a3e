"""What is stamped on a machine, with its unit, goes into the price and the fit before the page."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.cases.lots import kinds, lot

from retrue.cases.assume import settle
from retrue.cases.drawing import Drawer
from retrue.cases.landing import land, stamped_number
from retrue.cases.need import fits
from retrue.records.facts import Need, Plate

LATHE = "turning_centre"


def stamped(entry: str, value: str, **page: float):
    """A turning centre with one stamped value, and what its page says."""
    case = lot("B")
    machine = replace(case.machines[0], **page)
    plate = Plate(machine=machine.name, entry=entry, value=value)
    return replace(case, machines=(machine,), plates=(plate,)), machine


@pytest.mark.parametrize(
    ("written", "kg"),
    [
        ("4200", 4200.0),
        ("4200kg", 4200.0),
        ("4.2 t", 4200.0),
        ("4,2 t", 4200.0),
        ("4'200 kg", 4200.0),
        ("9300 lb", 9300 * 0.45359237),  # exact, international pound of 1959
        ("heavy", None),
        ("4 ton", None),  # two meanings
        ("3000 rpm", None),
        ("-4200 kg", None),
        ("0", None),
    ],
)
def test_a_stamped_mass_is_read_with_its_unit(written: str, kg: float | None) -> None:
    case, machine = stamped("N03", written)
    found = stamped_number(case, machine, "N03", "kg")
    assert found == (None if kg is None else pytest.approx(kg))


def move_money(entry: str, value: str, **page: float) -> float:
    """Likely money of the rig-in."""
    case, machine = stamped(entry, value, **page)
    settled = settle(case, kinds())
    landing = land(case, machine, kinds()[LATHE], settled, Drawer(7, "school", 64))
    return float(np.mean(landing.floor["move"]))


def test_the_price_goes_by_the_plates_unit_and_by_the_plate_before_the_page() -> None:
    tonnes, pounds = move_money("N03", "4.2 t"), move_money("N03", "9259.4 lb")
    assert tonnes == pytest.approx(pounds, rel=1e-4)
    assert tonnes == pytest.approx(move_money("N99", "", mass_kg=4200.0))
    assert move_money("N03", "4.2 t", mass_kg=8400.0) == pytest.approx(tonnes)
    unreadable = move_money("N03", "heavy", mass_kg=8400.0)
    assert unreadable == pytest.approx(tonnes * 2**0.5)  # as the root of the mass


@pytest.mark.parametrize(
    ("value", "answer"),
    [("2 in", "fits"), ("50.8", "fits"), ("50mm", "does_not_fit"), ("wide", "unknown")],
)
def test_a_bar_fits_by_the_unit_on_the_plate(value: str, answer: str) -> None:
    case, machine = stamped("N45", value)
    case = replace(case, needs=(Need(name="bars", kind=LATHE, bar_mm=50.5),))
    assert [row.answer for row in fits(case, machine)] == [answer]


@pytest.mark.parametrize(
    ("value", "answer"),
    [("50 Hz", "fits"), ("3000 1/min", "fits"), ("3'000", "fits"), ("2'999 rpm", "does_not_fit")],
)
def test_a_speed_fits_by_the_unit_on_the_plate(value: str, answer: str) -> None:
    case, machine = stamped("N21", value)
    case = replace(case, needs=(Need(name="fast", kind=LATHE, speed_rpm=3000.0),))
    assert [row.answer for row in fits(case, machine)] == [answer]


def test_the_plate_goes_before_the_page_in_the_fit_too() -> None:
    case, machine = stamped("N21", "2500", speed_rpm=4000.0)
    case = replace(case, needs=(Need(name="fast", kind=LATHE, speed_rpm=3000.0),))
    assert [row.answer for row in fits(case, machine)] == ["does_not_fit"]
