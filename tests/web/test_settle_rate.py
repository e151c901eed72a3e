"""An hour of it, and was it worth it, on their pages."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest
from httpx import Response
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.web.bare import bare_lot
from tests.web.conftest import SETTINGS, Clock
from tests.web.visitor import Visitor, text_of

from retrue.kinds.library import Kind
from retrue.records.settling import RunFigure
from retrue.records.shop import RecordShop
from retrue.web.app import app


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture(scope="module")
def seen(kinds: Mapping[str, Kind]) -> tuple[str, FakeShop, Response]:
    """A mill, its page as it is first shown."""
    shop = FakeShop()
    mill = bare_lot(shop)[0]
    owner = Visitor(app(shop=shop, kinds=kinds, clock=Clock(), settings=SETTINGS))
    return mill, shop, owner.get(f"{mill}/settle/rate")


@pytest.fixture
def machine(house: Starlette, seen: tuple[str, FakeShop, Response]) -> str:
    house.state.shop.go_on_from(seen[1])
    return seen[0]


@pytest.fixture
def page(seen: tuple[str, FakeShop, Response]) -> Response:
    """It is only read."""
    return seen[2]


def test_the_answer_stands_first_then_next_then_the_picture_then_the_table(page: Response) -> None:
    assert page.status_code == 200
    places = [
        page.text.index(one)
        for one in ('id="answer"', 'id="next"', 'class="picture rate-phone"', "<table",
                    'id="figures"', 'class="fine"')
    ]  # fmt: skip
    assert places == sorted(places)
    told = text_of(page)
    assert "Estimate for planning" in told
    assert "assumed" in told
    assert "from memory, unverified" in told


def test_the_figure_that_moves_it_most_is_asked_for_and_kept_in_one_form(
    owner: Visitor, machine: str, shop: RecordShop
) -> None:
    page = owner.get(f"{machine}/settle/rate").text
    asked = re.search(r'name="item" value="(\w+)"', page)
    assert asked
    assert asked[1] == "hours_a_year"
    answer = owner.post(f"{machine}/settle/rate", {"item": asked[1], "likely": "900"})
    assert answer.status_code == 200
    (kept,) = shop.current(RunFigure)
    assert kept.fact.low == kept.fact.high == 900
    assert "your own" in text_of(answer)
    assert 'name="item" value="hours_a_year"' not in answer.text


def test_what_moves_it_and_the_figures_are_folded_until_one_is_wrong(
    owner: Visitor, machine: str, page: Response
) -> None:
    assert "<details><summary>What moves it most</summary>" in page.text
    assert re.search(r"<details><summary>Figures: \d+</summary>", page.text)
    wrong = owner.post(f"{machine}/settle/rate", {"item": "floor_m2", "likely": "many"}).text
    assert re.search(r"<details open><summary>Figures: \d+</summary>", wrong)


def test_no_word_is_set_in_the_letters_of_numbers(page: Response) -> None:
    figures = re.findall(r'<span class="num">(.*?)</span>', page.text)
    assert len(figures) > 20
    for figure in figures:
        assert not re.search(r"[a-z]{3,}", figure)


def test_a_figure_that_was_kept_is_said_and_taken_back_by_one_key(
    owner: Visitor, machine: str, shop: RecordShop
) -> None:
    path = f"{machine}/settle/rate"
    answer = owner.post(path, {"item": "floor_m2", "likely": "12"})
    assert "Kept: floor it takes." in text_of(answer)
    back = re.search(r'name="back" value="([^"]+)"', answer.text)
    assert back
    again = owner.post(path, {"back": back[1]})
    assert not shop.current(RunFigure)
    assert f'name="back" value="{back[1]}"' not in again.text


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"item": "floor_m2", "likely": "many"}, "many"),
        ({"item": "floor_m2"}, "is missing"),
        ({"item": "life_years", "low": "0", "likely": "9", "high": "12"}, "is nothing"),
        ({"item": "floor_m2", "low": "9", "likely": "3"}, "does not rise"),
        ({"item": "", "likely": "3"}, "nothing was picked"),
    ],
)
def test_a_figure_that_cannot_be_shows_the_page_again_with_what_was_typed(
    owner: Visitor, machine: str, shop: RecordShop, typed: dict[str, str], words: str
) -> None:
    answer = owner.post(f"{machine}/settle/rate", typed | {"reason": "my own meter"})
    assert answer.status_code == 422
    assert words in text_of(answer)
    assert "my own meter" in answer.text
    assert not shop.current(RunFigure)


def test_what_to_ask_with_a_margin(owner: Visitor, machine: str) -> None:
    assert "Ask for an hour:" in text_of(owner.get(f"{machine}/settle/rate?margin=20"))
    wrong = owner.get(f"{machine}/settle/rate?margin=200")
    assert wrong.status_code == 200
    assert "more than 100 per cent" in text_of(wrong)
    assert owner.get(f"{machine}/settle/rate?margin=100").status_code == 200


def test_was_it_worth_it_with_each_other_way_and_the_way_to_go_on_or_stop(
    owner: Visitor, machine: str
) -> None:
    page = owner.get(f"{machine}/settle/versus")
    assert page.status_code == 200
    places = [
        page.text.index(one)
        for one in ('id="answer"', 'id="next"', 'class="picture curve-hours-phone"', 'id="gaps"',
                    'id="put-in"', 'class="fine"')
    ]  # fmt: skip
    assert places == sorted(places)
    told = text_of(page)
    for words in ("A new one", "Buying the work in", "A proven used one", "at nothing",
                  "another question"):  # fmt: skip
        assert words in told
    assert f'href="{machine}/fix#stop"' in page.text
    headings = " ".join(re.findall(r"<h[123]>(.*?)</h[123]>", page.text)).lower()
    assert not any(word in headings for word in ("npv", "irr", "present value", "monte"))


def test_a_machine_that_is_not_there_is_not_found(owner: Visitor, machine: str) -> None:
    for page in ("rate", "versus"):
        assert owner.get(f"{machine}x/settle/{page}").status_code == 404
