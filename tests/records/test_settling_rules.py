"""A fact of money and sale holds no word that a page or a sheet cannot hold."""

from __future__ import annotations

from decimal import Decimal

import pytest

from retrue.records.checking import problems_of
from retrue.records.facts import Fact
from retrue.records.settling import BuyerAsked, CaseClosed, Offered, Posting

DAY = "2026-11-25"


def posting(**more: str) -> Posting:
    plain = {"what": "belts"} | more
    return Posting(sort="bought", posted_on=DAY, amount=Decimal(1), **plain)


@pytest.mark.parametrize(
    ("most", "fact", "field"),
    [
        (300, lambda word: posting(what=word), "what"),
        (300, lambda word: posting(whom=word), "whom"),
        (300, lambda word: posting(line=word), "line"),
        (4_000, lambda word: posting(text=word), "text"),
        (300, lambda word: Offered(lot="l", machine="m", whom=word, offered_on=DAY,
                                   amount=Decimal(1)), "whom"),
        (4_000, lambda word: BuyerAsked(lot="l", machine="m", whom="a buyer", asked_on=DAY,
                                        question=word), "question"),
        (4_000, lambda word: CaseClosed(lot="l", machine="m", closed_on=DAY, end="sold",
                                        compared="{}", changes=word), "changes"),
    ],
)  # fmt: skip
def test_a_text_has_an_end(most, fact, field):
    assert list(problems_of(fact("W" * most))) == []
    (problem,) = problems_of(fact("W" * (most + 1)))
    assert (problem.where, problem.what) == (field, f"has {most + 1} characters")


def test_what_was_kept_as_a_whole_file_is_as_long_as_it_is():
    fact: Fact = CaseClosed(
        lot="l", machine="m", closed_on=DAY, end="sold", compared="[" + "1," * 9_000 + "1]"
    )
    assert list(problems_of(fact)) == []


def test_a_currency_that_was_left_out_is_said_to_be_empty():
    fact = Posting(
        sort="exchanged", posted_on=DAY, what="francs", amount=Decimal(1), into_amount=Decimal(1)
    )
    (problem,) = problems_of(fact)
    assert (problem.where, problem.what) == ("into_currency", "is empty")
