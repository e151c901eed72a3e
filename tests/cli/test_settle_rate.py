"""The hour rate and the comparison at the keyboard: of the shop, a lot file, a file of figures."""

from __future__ import annotations

import json
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from tests.cases.priced import lot as priced_lot
from tests.fakes.shop import FakeShop

from retrue.cases.lot_text import write_lot
from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.settling import RunFigure

Call = Callable[..., Any]
FIGURES = """name = "restored"
hour_alternative = 45
[figures]
paid = 33700
hours_a_year = 900
life_years = 7
resale_at_end = 7000
floor_m2 = 14
floor_m2_year = 96
maintenance_a_year = 2500
energy_kw = 6
energy_price_kwh = 0.25
insurance_a_year = 200
tooling_a_year = 1500
"""


@pytest.fixture
def figures(tmp_path: Path) -> str:
    path = tmp_path / "figures.toml"
    path.write_text(FIGURES, encoding="utf-8")
    return str(path)


@pytest.fixture
def file(tmp_path: Path) -> str:
    path = tmp_path / "school.toml"
    path.write_text(write_lot(priced_lot(machines=("mill",))), encoding="utf-8")
    return str(path)


@pytest.fixture
def lot(shop: FakeShop) -> str:
    mill = Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=23)
    worth.new_lot(shop, Lot(name="school"), Terms(lot="", bid_now=Decimal(2000)), [mill], by="me")
    return "school"


def few(*more: str) -> tuple[str, ...]:
    return (*more, "--worlds", "200")


def test_a_file_of_figures_says_fourteen_an_hour(call: Call, figures: str) -> None:
    """Common practice, from memory: 12 582 over 900 h is 14."""
    told = call("settle", "rate", figures, "--margin", "20")
    assert told.code == 0
    assert told.out.startswith("An hour of restored costs €\u202f13.98")
    assert "Ask €" in told.out


def test_json_is_one_flat_object_with_sorted_keys_and_a_why_for_every_null(
    call: Call, figures: str, file: str
) -> None:
    for command in (("rate", figures), few("rate", file), few("versus", file)):
        told = call("settle", *command, "--json")
        assert told.code == 0, told.err
        made = json.loads(told.out)
        assert list(made) == sorted(made)
        assert made["currency"] == "EUR"
        assert made["schema"].startswith("settle.")
        assert set(nulls(made)) == set(made["why"]), command
        assert call("settle", *command, "--json").out == told.out


def nulls(value: Any, path: str = "") -> list[str]:
    """The paths of every null but those under why."""
    if value is None:
        return [path]
    if isinstance(value, dict):
        pairs = [(key, one) for key, one in value.items() if path or key != "why"]
    elif isinstance(value, list):
        pairs = [(str(at), one) for at, one in enumerate(value)]
    else:
        return []
    return [found for key, one in pairs for found in nulls(one, f"{path}.{key}" if path else key)]


def test_a_lot_file_is_answered_with_what_it_hangs_on(call: Call, file: str) -> None:
    told = call("settle", "versus", *few(file))
    assert told.code == 0
    for words in ("mill is", "buying the work in", "With own hours", "another question"):
        assert words in told.out
    rate = call("settle", "rate", *few(file))
    assert "What moves it most" in rate.out
    assert "assumed" in rate.out


def test_a_figure_is_kept_and_counts(call: Call, shop: FakeShop, lot: str) -> None:
    told = call("settle", "figure", "hours_a_year", "300", "400", "500", "--machine", "mill")
    assert told.code == 0, told.err
    assert "hours of work for it a year: 300, 400, 500\u202fh" in told.out
    assert len(shop.current(RunFigure)) == 1
    money = call("settle", "figure", "insurance_a_year", "100", "--lot", lot)
    assert "insurance a year: €\u202f100." in money.out
    far = call("settle", "figure", "energy_price_kwh", "250", "--lot", lot)
    assert "far above what is usual" in far.out
    sure = call("settle", "figure", "energy_price_kwh", "0,31", "--lot", lot, "--json")
    assert json.loads(sure.out)["high"] == 0.31
    assert "your own" in call("settle", "rate", *few(lot)).out


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (("hours_a_year", "300", "400"), "neither one nor three"),
        (("hours_a_year", "500", "400", "300"), "does not rise"),
        (("hours_a_year", "0"), "is nothing"),
        (("hours_a_year", "nan"), "no"),
        (("hours_a_year", "99999"), "more than 8\u202f784"),
        (("speed", "3"), "speed"),
    ],
)
def test_what_cannot_be_kept_is_refused(
    call: Call, shop: FakeShop, lot: str, typed: tuple[str, ...], words: str
) -> None:
    told = call("settle", "figure", *typed, "--lot", lot)
    assert told.code == 2
    assert words in told.err
    assert not shop.current(RunFigure)


def test_a_bad_line_of_a_file_is_named(call: Call, tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text("[figures]\npaid = 3\nhours_a_year = 'many'\n", encoding="utf-8")
    told = call("settle", "rate", str(path))
    assert told.code == 2
    assert "line 3" in told.err


def test_without_a_name_the_only_lot_is_meant_and_of_two_one_is_to_be_named(
    call: Call, shop: FakeShop, lot: str
) -> None:
    assert call("settle", "rate", *few()).code == 0
    lathe = Machine(lot="", name="lathe", kind="turning_centre")
    worth.new_lot(shop, Lot(name="hall"), Terms(lot=""), [lathe], by="me")
    told = call("settle", "versus", *few())
    assert told.code == 2
    assert "school" in told.err
