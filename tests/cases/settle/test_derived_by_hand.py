"""A deposit and a hire told twice, line by line: sums and days written out by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.cases.settle.kept_lines import record

from retrue.cases.fix.outs import OutKept
from retrue.cases.settle.derived_deposit import Taken, deposit_lines
from retrue.cases.settle.derived_hire import is_that
from retrue.records.fixing import Out, OutEnded, OutSort
from retrue.records.settling import Posting

DEPOSIT = "out:w:deposit"
NAMED = {DEPOSIT: "p1"}


def kept(
    back: bool | None = None, *, ended: bool = True, sort: OutSort = "hired", what: str = "hoist"
) -> OutKept:
    """Out on 18 November against 150, at an end on the 20th."""
    out = Out(lot="l", machine="m", sort=sort, what=what, whom="the yard",
              since_on="2026-11-18", deposit=Decimal(150))  # fmt: skip
    end = OutEnded(lot="l", out="w", ended_on="2026-11-20", how="back", judged="good",
                   deposit_back=back)  # fmt: skip
    return OutKept(first=record(out, "w"), out=out, ended=record(end, "e") if ended else None)


def only(one: OutKept, given: dict[str, str], taken: Taken) -> Posting:
    (line,) = deposit_lines(one, given, taken)
    return line


class TestADeposit:
    @pytest.mark.parametrize("given", [{}, NAMED])
    def test_it_is_out_until_somebody_says_whether_it_came_back(
        self, given: dict[str, str]
    ) -> None:
        for one in (kept(ended=False), kept(None)):
            line = only(one, given, {})
            assert (line.sort, line.posted_on, line.amount) == (
                "deposit", "2026-11-18", Decimal(150))  # fmt: skip
            assert (line.source, line.what) == (DEPOSIT, "deposit for hoist")

    def test_what_came_back_is_no_cost(self) -> None:
        line = only(kept(True), NAMED, {})
        assert (line.sort, line.posted_on, line.amount) == (
            "deposit_back", "2026-11-20", Decimal(150))  # fmt: skip
        assert (line.bucket, line.of, line.paid_from) == ("", "p1", "bank")
        assert (line.source, line.what) == (f"{DEPOSIT}:back", "deposit for hoist")
        assert not [*deposit_lines(kept(True), {}, {})]  # nobody posted it: nothing is owed

    def test_what_did_not_is_spent_where_it_was_out_for(self) -> None:
        line = only(kept(False, sort="sent_out"), NAMED, {})
        assert (line.sort, line.posted_on, line.bucket) == ("paid", "2026-11-20", "outside")
        assert line.what == "deposit that did not come back: hoist"
        first = only(kept(False), {}, {})
        assert (first.sort, first.posted_on, first.bucket) == ("bought", "2026-11-18", "hire")
        assert first.what == "deposit that did not come back: hoist"

    @pytest.mark.parametrize(
        ("taken", "left"),
        [("149.50", "0.50"), ("50", "100"), ("150", None), ("200", None)],
    )
    def test_only_what_nobody_took_yet_is_expected(self, taken: str, left: str | None) -> None:
        """What this line itself took is no other's: 20 of it leave it as it is."""
        by = {"p1": {"typed": Decimal(taken), f"{DEPOSIT}:back": Decimal(20)}}
        lines = [*deposit_lines(kept(True), NAMED, by)]
        assert [one.amount for one in lines] == ([] if left is None else [Decimal(left)])


class TestAHire:
    @pytest.mark.parametrize(
        ("day", "same"),
        [("2026-11-17", False), ("2026-11-18", True), ("2026-11-20", True), ("2026-11-21", False)],
    )
    def test_it_is_that_from_the_first_day_to_the_last(self, day: str, same: bool) -> None:
        assert is_that(kept(), "hoist", "the yard", day) is same
        assert is_that(kept(ended=False), "hoist", "the yard", day) is (day >= "2026-11-18")

    def test_only_what_is_hired_under_that_name_from_him_is_that(self) -> None:
        day = "2026-11-19"
        assert is_that(kept(what="Pallet truck of 2 t"), "pallet_truck", "The Yard ", day)
        assert not is_that(kept(what="skates"), "hoist", "the yard", day)
        assert not is_that(kept(sort="ordered"), "hoist", "the yard", day)
        assert not is_that(kept(), "hoist", "another", day)
        assert is_that(kept(), "hoist", "", day)
