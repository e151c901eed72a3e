"""What to ask first of a lot of a catalogue, and what an answer is worth at the sale."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.cases.priced import kinds, lot
from tests.cases.screen.listed import cabinet, listed

from retrue.cases.screen.answers_worth import answers_worth
from retrue.cases.screen.asking import ask_first, best_asked
from retrue.cases.screen.like_drawer import like_drawer
from retrue.cases.screen.price_seen import Sale
from retrue.cases.screen.rank import ranked
from retrue.cases.screen.score import score
from retrue.cases.screen.widen import view_of
from retrue.cases.view import View
from retrue.records.facts import Terms

Floats = NDArray[np.float64]

WORLDS = 2_000


@pytest.fixture(scope="module")
def lathe() -> View:
    """A lathe in drawn worlds."""
    one = listed("14")
    return view_of(one.case, kinds(), like_drawer(one.case, 7, WORLDS), stand_in=False)


def sale(**terms: object) -> SimpleNamespace:
    return SimpleNamespace(terms=lot(machines=("lathe",), **terms).terms)


def two_worlds(**terms: object) -> tuple[SimpleNamespace, SimpleNamespace]:
    """A lot that is worth 10,000 or nothing, even chances, at 4,000 asked; odds of 0.80."""
    gains = np.tile([10_000.0, 0.0, 0.0, 10_000.0], 250)[None]
    light = SimpleNamespace(mass_kg=1.0)
    resale = SimpleNamespace(
        resale=lambda state: np.full(1_000, 8_000.0), machine=light, kind=light
    )
    view = SimpleNamespace(
        gains=gains, best=0, options=(None,), order=(0,), means=gains.mean(axis=1),
        price=SimpleNamespace(amount=0.0, exact=0.0),
        settled=SimpleNamespace(k=1.0, exchange=1.0, step=10.0, odds=0.8),
        chooser=SimpleNamespace(prospects=(resale,)),
    )  # fmt: skip
    return view, SimpleNamespace(
        terms=Terms(lot="14", sale="fixed_price", asking=Decimal(4_000), **terms)
    )


def test_knowing_the_truth_lets_one_buy_what_the_odds_forbade() -> None:
    """By hand: unseen no price stands (one in two is sorry); seen, half the time 6,000 is gained.

    Half seen (the good one shows 8 times in ten, the bad one never): then 4 in ten gain 6,000; the
    rest is bad 5 times in six, and no price stands.
    """
    view, case = two_worlds()
    good = view.gains[0] > 0
    whole = np.array([good, ~good], dtype=np.float32)
    half = np.array([0.8 * good, 1 - 0.8 * good], dtype=np.float32)
    nothing = np.full((2, 1_000), 0.5, dtype=np.float32)
    told, partly, none = answers_worth(view, Sale(view, case), (whole, half, nothing))
    assert told.worth == pytest.approx(3_000.0)
    assert partly.worth == pytest.approx(0.4 * 6_000.0, rel=1e-6)
    assert (none.worth, none.error) == (0.0, 0.0)


def test_an_answer_that_says_nothing_is_worth_nothing_at_any_sale(lathe: View) -> None:
    nothing = np.full((3, WORLDS), 1 / 4, dtype=np.float32)
    nothing[2] = 1 / 2
    for terms in ({}, {"sale": "sealed"}, {"sale": "offer"}, {"bid_now": Decimal(900)}):
        (told,) = answers_worth(lathe, Sale(lathe, sale(**terms)), (nothing,))
        assert abs(told.worth) < 1e-6


def test_noise_is_not_taken_for_news(lathe: View) -> None:
    """Forty answers that have nothing to do with the lot: hardly one is beyond two errors."""
    chance = np.random.default_rng(3)
    seen = [chance.random(WORLDS) < share for share in np.linspace(0.05, 0.6, 40)]
    noise = [np.array([one, ~one], dtype=np.float32) for one in seen]
    told = answers_worth(lathe, Sale(lathe, sale()), noise)
    assert sum(one.worth > 2 * one.error for one in told) <= 4


def test_what_to_ask_is_from_afar_best_first_and_in_words(monkeypatch) -> None:
    monkeypatch.setattr("retrue.cases.screen.asking.LEAST_WORLDS", 4_000)
    told = ask_first(listed("14", "mill", "lathe", stand_in=True), kinds(), seed=7, worlds=2_000)
    assert 0 < len(told) <= 5
    assert all(one.worth > 0 for one in told)
    assert [one.worth for one in told] == sorted((one.worth for one in told), reverse=True)
    stages = {check.id: check.stages for kind in kinds().values() for check in kind.checks.values()}
    assert all({"photo", "call"} & {*stages.get(one.check, ("call",))} for one in told)
    assert all(one.text.startswith(("mill: ", "lathe: ")) for one in told)


def test_only_the_best_with_a_price_are_asked_about(monkeypatch) -> None:
    monkeypatch.setattr("retrue.cases.screen.asking.LEAST_WORLDS", 500)
    lots = (listed("14"), listed("15"), cabinet())
    rows = ranked([score(one, kinds(), seed=7, worlds=500) for one in lots])
    told = best_asked(rows, lots, kinds(), best=1, seed=7, worlds=500)
    assert not any(one.ask for one in told[1:])
    assert [one.number for one in told] == [one.number for one in rows]
    assert replace(told[0], ask=()) == rows[0]


def test_the_year_is_asked_first_where_nobody_said_it() -> None:
    one = listed("14")
    machine = replace(one.case.machines[0], age_years=None)
    told = ask_first(
        replace(one, case=replace(one.case, machines=(machine,))), kinds(), seed=7, worlds=2_000
    )
    assert told[0].check == "age"
    assert "year of make" in told[0].text
    assert len(told) <= 5
    assert [each.check for each in told].count("age") == 1
    assert all(each.check != "age" for each in ask_first(one, kinds(), seed=7, worlds=2_000))
