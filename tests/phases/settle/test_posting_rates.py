"""Rates of another currency: how old, how far from the last, what stands on them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from tests.phases.settle.booked import BY, ON, line, post, school, told

from retrue.base.refusals import NotYet, Unreadable, Unusable
from retrue.phases import settle
from retrue.records.settling import DayRate, Posting
from retrue.records.shop import RecordShop


@pytest.fixture
def shop() -> RecordShop:
    return school()


class TestRates:
    def test_an_old_one_is_written_into_the_line_if_it_may_be_that_old(
        self, shop: RecordShop
    ) -> None:
        settle.day_rate(shop, "CHF", Decimal("1.1"), rate_on=date(2026, 11, 1), on=ON, **BY)
        with pytest.raises(Unusable):
            post(shop, currency="CHF")
        old = settle.post(shop, line(currency="CHF"), on=ON, most_days_old=30, **BY)
        assert (old.fact.rate, old.fact.rate_on) == (Decimal("1.1"), "2026-11-01")

    @pytest.mark.parametrize(
        ("table", "words"),
        [
            (b"date,currency,rate\n2026-11-20,CHF,1.07\n2026-13-01,CHF,1\n", "line 3: date"),
            (b"date;currency;rate\n2026-11-20;CHF;1,07\n2026-11-21;EUR;1\n", "line 3: currency"),
            (b"date,currency,rate\n2026-11-20,CHF,0\n", "line 2: rate is 0"),
            (b"date,currency,rate\n2026-11-20,CHF,1.0.7\n", "line 2: rate"),
            (b"day,currency,rate\n", "date: is missing"),
            (b"\xff", "is not UTF-8 text"),
        ],
    )
    def test_a_table_with_a_bad_row_is_not_half_kept(
        self, shop: RecordShop, table: bytes, words: str
    ) -> None:
        with pytest.raises((Unusable, Unreadable)) as refused:
            settle.import_rates(shop, table, "rates.csv", on=ON, **BY)
        assert words in told(refused.value)
        assert shop.current(DayRate) == []

    @pytest.mark.parametrize("rate", ["0.0095", "163", "3.2", "0.3"])
    def test_one_far_from_the_last_is_asked_about(self, shop: RecordShop, rate: str) -> None:
        """1.05, then one of another size: the wrong way round, or a mark too far."""
        settle.day_rate(shop, "CHF", Decimal("1.05"), rate_on=date(2026, 11, 20), on=ON, **BY)
        table = f"date,currency,rate\n2026-11-21,CHF,{rate}\n".encode()
        typed = line(currency="CHF", rate=Decimal(rate), rate_on="2026-11-20")
        for deed in (
            lambda sure: settle.day_rate(shop, "CHF", Decimal(rate), rate_on=date(2026, 11, 22),
                                         on=ON, sure=sure, **BY),
            lambda sure: settle.import_rates(shop, table, "r.csv", on=ON, sure=sure, **BY),
            lambda sure: settle.post(shop, typed, on=ON, sure=sure, **BY),
        ):  # fmt: skip
            before = len(shop.current(DayRate)), len(shop.current(Posting))
            with pytest.raises(Unusable) as refused:
                deed(False)
            assert f"is {rate}, and the last of CHF was" in told(refused.value)
            assert (len(shop.current(DayRate)), len(shop.current(Posting))) == before
        settle.import_rates(shop, table, "r.csv", on=ON, sure=True, **BY)
        assert [one.fact.rate for one in settle.kept_rates(shop)] == [
            Decimal(rate), Decimal("1.05")]  # fmt: skip

    def test_the_wrong_way_round_is_named(self, shop: RecordShop) -> None:
        post(shop, currency="JPY", amount=Decimal(10000), rate=Decimal("0.0061"),
             rate_on="2026-11-20")  # fmt: skip
        with pytest.raises(Unusable) as refused:
            post(shop, currency="JPY", amount=Decimal(10000), rate=Decimal(163), what="inserts",
                 rate_on="2026-11-20")  # fmt: skip
        assert "the last of JPY was 0.0061: it is the wrong way round" in told(refused.value)

    def test_one_of_a_day_to_come_or_of_the_shops_own_money_is_none(self, shop: RecordShop) -> None:
        for more, words in (
            ({"currency": "CHF", "rate_on": "2026-11-27"}, "rate_on: is 2026-11-27, and that is"),
            ({"rate_on": "2026-11-20"}, "rate: stands on a line in EUR, the shop's own"),
        ):
            with pytest.raises(Unusable) as refused:
                post(shop, rate=Decimal("1.2"), **more)
            assert words in told(refused.value)

    def test_one_that_lines_stand_on_is_not_taken_back(self, shop: RecordShop) -> None:
        older, newer = (
            settle.day_rate(shop, "CHF", rate, rate_on=date(2026, 11, day), on=ON, **BY)
            for rate, day in ((Decimal("1.1"), 18), (Decimal("1.2"), 20))
        )
        post(shop, currency="CHF")
        with pytest.raises(NotYet) as refused:
            settle.take_back(shop, newer.id, **BY)
        assert "belts of 2026-11-20 stands on this rate" in told(refused.value)
        settle.take_back(shop, older.id, **BY)
        settle.day_rate(shop, "CHF", Decimal("1.3"), rate_on=date(2026, 11, 20), on=ON, **BY)
        assert settle.book(shop, on=ON).by_bucket == {"": 130}


def test_a_missing_rate_is_refused_without_a_command(shop: RecordShop) -> None:
    with pytest.raises(Unusable) as refused:
        post(shop, currency="CHF")
    assert "retrue" not in told(refused.value)
