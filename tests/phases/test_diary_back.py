"""The diary: what was kept is taken back with what hangs on it, and brought back whole."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import pytest
from tests.phases.diary_shop import BY, Here, lot_of_two

from retrue.base.refusals import NotYet, Overtaken, Unknown
from retrue.cases.diary_rules import RULES
from retrue.cli.note_kept import rooms as cli_rooms
from retrue.phases import diary, worth
from retrue.records.chain import verify_chain
from retrue.records.facts import File, Finding, Frozen, Lot, Machine, Note, Terms, Withdrawn
from retrue.records.fixing import CardMarked, Out, OutEnded, Rung
from retrue.records.measuring import Reading, ReadingSet, Result
from retrue.records.moving import DataCopy, Round
from retrue.records.seeking import Guess, Signed, Trouble
from retrue.records.settling import (
    BooksClosed,
    ClockRung,
    HoursTold,
    Offered,
    Posting,
    Promised,
    RecordGiven,
)
from retrue.records.stripping import AsFound, PutBack, Taken
from retrue.records.waking import Sensed, StageBegun
from retrue.web.taking import ROOMS


@pytest.fixture
def here() -> Here:
    return lot_of_two()


class TestTakingBack:
    def test_it_counts_no_more_stays_readable_and_says_why(self, here: Here):
        kept = here.shop.add(Note(text="Belt smells hot"), **BY)
        gone = here.back(kept.id, reason=" wrong machine ")
        assert gone.fact == Withdrawn(of_kind="note", reason="wrong machine")
        assert here.shop.current(Note) == []
        made = diary.one(here.shop, kept.id, here.kinds)
        assert made.was_taken_back
        assert [row.what for row in made.line] == ["a note", "taken back: a note"]
        assert here.lines(sort="back") == ["Belt smells hot; because: wrong machine"]
        assert verify_chain(here.shop) == []

    def test_twice_is_refused_and_sent_twice_is_once(self, here: Here):
        kept = here.shop.add(Note(text="Belt smells hot"), **BY)
        gone = here.back(kept.id, id="w1")
        assert here.back(kept.id, id="w1") == gone
        with pytest.raises(Overtaken, match="already"):
            here.back(kept.id)

    def test_what_falls_is_told_before_and_goes_in_one_go(self, here: Here):
        out = here.shop.add(
            Out(lot=here.lot, sort="sent_out", what="motor", whom="the winder",
                since_on="2026-11-20"), **BY,
        )  # fmt: skip
        rung = here.shop.add(
            Rung(lot=here.lot, out=out.id, rung_on="2026-11-24", text="next week"), **BY
        )
        ended = here.shop.add(
            OutEnded(lot=here.lot, out=out.id, ended_on="2026-11-25", how="back"), **BY
        )
        told = diary.one(here.shop, out.id, here.kinds)
        assert {row.record.id for row in told.falls} == {rung.id, ended.id}
        gone = here.back(out.id)
        assert [here.shop.current(kind) for kind in (Out, Rung, OutEnded)] == [[], [], []]
        back = diary.bring_back(here.shop, gone.id, **BY)
        assert [one.id for one in here.shop.current(Out)] == [back.id]
        assert [one.fact for one in here.shop.current(Rung)] == [rung.fact]
        assert [one.fact for one in here.shop.current(OutEnded)] == [ended.fact]

    def test_a_test_goes_with_its_readings_and_its_result(self, here: Here):
        test = here.shop.add(ReadingSet(**here.at, test="backlash"), **BY)
        for cell in ("X1", "X2"):
            here.shop.add(Reading(set=test.id, cell=cell, text="0.012"), **BY)
        here.shop.add(
            Result(**here.at, set=test.id, test="backlash", readings="0f" * 32, answer="{}"), **BY
        )
        newer = here.shop.add(
            ReadingSet(**here.at, test="backlash", state="warm"), replaces=test.id, **BY
        )
        here.back(newer.id)  # they name the first record of its line
        assert [here.shop.current(kind) for kind in (ReadingSet, Reading, Result)] == [[], [], []]

    def test_a_machine_goes_with_its_findings_and_comes_back_with_them(self, here: Here):
        finding = here.shop.add(Finding(**here.at, check="C01", answer="seen"), **BY)
        here.shop.add(
            Guess(**here.at, kind="vertical_machining_centre", fault="F01", finding=finding.id,
                  share=0.5, base_rate=0.3, was=True, kind_hash="0f" * 32), **BY,
        )  # fmt: skip
        gone = here.back(here.mill)
        assert [len(here.shop.current(kind)) for kind in (Machine, Finding, Guess)] == [1, 0, 0]
        assert [name for _, name in worth.view_lot(here.shop, here.lot).machines]
        diary.bring_back(here.shop, gone.id, **BY)
        assert [len(here.shop.current(kind)) for kind in (Machine, Finding, Guess)] == [2, 1, 1]
        assert worth.view_lot(here.shop, here.lot).machine_id("Bed mill") == here.mill

    def test_the_last_machine_of_a_lot_stays_as_long_as_its_lot(self, here: Here):
        here.back(here.mill)
        with pytest.raises(NotYet, match="only machine"):
            here.back(here.lathe)
        here.back(here.lot)
        assert here.shop.current(Machine) == []

    def test_a_lot_that_money_was_spent_on_is_held(self, here: Here):
        paid = Posting(sort="paid", posted_on="2026-11-25", what="premium", amount=Decimal(900),
                       lot=here.lot)  # fmt: skip
        here.shop.add(paid, **BY)
        with pytest.raises(NotYet, match="a line in the book: 1"):
            here.back(here.lot)
        assert diary.one(here.shop, here.lot, here.kinds).refused is not None
        assert len(here.shop.current(Machine)) == 2

    def test_a_lot_without_anything_on_it_goes_whole(self, here: Here):
        here.back(here.lot)
        assert [here.shop.current(kind) for kind in (Lot, Machine, Terms)] == [[], [], []]
        assert worth.lots(here.shop) == []

    def test_with_a_photograph_what_was_seen_on_it_falls(self, here: Here):
        photo = here.shop.add(
            File(sha256="0f" * 32, name="p.jpg", media_type="image/jpeg", size_bytes=1, **here.at),
            **BY,
        )
        seen = Finding(**here.at, check="C01", answer="seen", picture=photo.id)
        here.shop.add(seen, **BY)
        assert diary.one(here.shop, photo.id, here.kinds).kept.picture == photo.id
        here.back(photo.id)
        assert here.shop.current(Finding) == []

    def test_a_photograph_of_a_trouble_is_held_by_it(self, here: Here):
        photo = here.shop.add(
            File(sha256="0f" * 32, name="p.jpg", media_type="image/jpeg", size_bytes=1), **BY
        )
        here.shop.add(Trouble(**here.at, symptom="Y01", picture=photo.id), **BY)
        with pytest.raises(NotYet, match="what it does: 1"):
            here.back(photo.id)

    def test_put_back_falls_with_what_was_taken_off(self, here: Here):
        taken = Taken(**here.at, place="cabinet", sort="part", code="7H2M-4K9P", what="fan")
        kept = here.shop.add(taken, **BY)
        here.shop.add(PutBack(**here.at, taken=kept.id), **BY)
        here.back(kept.id)
        assert here.shop.current(PutBack) == []

    def test_a_line_in_a_closed_book_is_refused_by_the_books_own_deed(self, here: Here):
        paid = Posting(sort="paid", posted_on="2026-10-02", what="bearings", amount=Decimal(90))
        kept = here.shop.add(paid, **BY)
        here.shop.add(BooksClosed(until_on="2026-10-31"), **BY)
        with pytest.raises(NotYet, match="closed"):
            here.back(kept.id)
        open_one = here.shop.add(
            Posting(sort="paid", posted_on="2026-11-02", what="oil", amount=Decimal(30)), **BY
        )
        here.back(open_one.id)
        assert [one.id for one in here.shop.current(Posting)] == [kept.id]

    @pytest.mark.parametrize(
        "fact",
        [
            AsFound(lot="", machine="", entry="A01"),
            DataCopy(lot="", machine="", sort="parameters", how="memory card"),
            Round(lot="", machine="", text="dry"),
            HoursTold(machine="", worked_on="2026-11-20", hours=2.0),
            ClockRung(how="start", at="2026-11-20T19:00+01:00", machine=""),
            Promised(lot="", machine="", what="manual", whom="B.", promised_on="2026-11-20"),
            Offered(lot="", machine="", whom="B.", offered_on="2026-11-20", amount=Decimal(9)),
            CardMarked(lot="", machine="", card="J05", how="begun", marked_on="2026-11-20"),
            StageBegun(lot="", machine="", stage="P0-V", by_name="Jan"),
            Sensed(lot="", machine="", sort="sound", point="ear", readings=(("level_a_db", 78.0),)),
        ],
        ids=lambda fact: fact.KIND,
    )
    def test_what_is_of_a_phase_is_taken_back_by_its_deed(self, here: Here, fact: Any):
        own = {name: value for name, value in here.at.items() if hasattr(fact, name)}
        kept = here.shop.add(replace(fact, **own), **BY)
        assert RULES[kept.kind].way == "room"
        gone = here.back(kept.id, reason="mistyped")
        assert (gone.replaces, gone.fact.of_kind) == (kept.id, kept.kind)
        assert here.shop.current(type(fact)) == []

    def test_what_was_kept_beside_another_goes_with_that(self, here: Here):
        here.shop.add(Finding(**here.at, check="C02", answer="seen"), id="r1", **BY)
        beside = here.shop.add(
            Finding(**here.at, check="C01", answer="seen"), id="r1.finding", **BY
        )
        with pytest.raises(NotYet, match="it was kept with"):
            here.back(beside.id)

    def test_a_frozen_price_and_what_follows_from_a_look_are_never_taken_back(self, here: Here):
        price = Frozen(
            lot=here.lot, hammer=Decimal(6150), all_in=Decimal(7400), sorry=0.2, dangers=(),
            seed=7, worlds=200, kind_hash="0f" * 32, version="1", sheet="{}",
        )  # fmt: skip
        frozen = here.shop.add(price, **BY)
        with pytest.raises(NotYet, match="not taken back") as refusal:
            here.back(frozen.id)
        assert "Freeze it anew" in refusal.value.remedy

    def test_what_was_given_away_keeps_its_words_and_that_is_said(self, here: Here):
        finding = here.shop.add(Finding(**here.at, check="C01", answer="seen"), **BY)
        here.shop.add(
            RecordGiven(**here.at, sold_as="as_found", made_on="2026-11-25", content="{}",
                        content_sha256="0f" * 32), **BY,
        )  # fmt: skip
        assert "keeps its words" in diary.one(here.shop, finding.id, here.kinds).given[0]
        here.back(finding.id)

    def test_nothing_is_kept_under_that_id(self, here: Here):
        with pytest.raises(Unknown):
            here.back("nobody")
        with pytest.raises(Unknown):
            diary.one(here.shop, "nobody", here.kinds)

    def test_both_doors_ask_the_same_rooms(self):
        assert set(ROOMS) == set(cli_rooms())


class TestBringingBack:
    def test_an_older_wording_counts_again_in_the_place_of_the_newest(self, here: Here):
        first = here.shop.add(Note(text="hot"), **BY)
        here.shop.add(Note(text="cold"), replaces=first.id, **BY)
        back = diary.bring_back(here.shop, first.id, **BY)
        assert [one.fact.text for one in here.shop.current(Note)] == ["hot"]
        with pytest.raises(NotYet, match="counts already"):
            diary.bring_back(here.shop, back.id, **BY)

    def test_what_belongs_to_something_taken_back_waits_for_that(self, here: Here):
        finding = here.shop.add(Finding(**here.at, check="C01", answer="seen"), **BY)
        here.back(finding.id)
        machine = here.back(here.mill)
        with pytest.raises(NotYet, match="a machine it belongs to was taken back"):
            diary.bring_back(here.shop, finding.id, **BY)
        diary.bring_back(here.shop, machine.id, **BY)
        diary.bring_back(here.shop, finding.id, **BY)
        assert len(here.shop.current(Finding)) == 1

    def test_it_keeps_the_moment_at_which_it_was_seen(self, here: Here):
        seen_at = datetime(2026, 11, 3, 19, 30, tzinfo=UTC)
        kept = here.shop.add(Note(text="hot"), observed_at=seen_at, **BY)
        for _ in range(2):
            gone = here.back(kept.id)
            back = diary.bring_back(
                here.shop, gone.id, observed_at=datetime(2026, 11, 20, tzinfo=UTC), **BY
            )
            assert back.observed_at == seen_at

    def test_what_fell_with_a_machine_keeps_its_own_moments(self, here: Here):
        seen_at = datetime(2026, 11, 3, 19, 30, tzinfo=UTC)
        here.shop.add(Finding(**here.at, check="C01", answer="seen"), observed_at=seen_at, **BY)
        diary.bring_back(here.shop, here.back(here.mill).id, **BY)
        assert [one.observed_at for one in here.shop.current(Finding)] == [seen_at]

    def test_a_signature_is_given_anew(self, here: Here):
        signed = here.shop.add(Signed(**here.at, stage="apart", name="Jan"), **BY)
        gone = here.back(signed.id)
        with pytest.raises(NotYet) as refusal:
            diary.bring_back(here.shop, gone.id, **BY)
        assert "given anew" in refusal.value.remedy

    def test_sent_twice_is_once(self, here: Here):
        kept = here.shop.add(Note(text="hot"), **BY)
        gone = here.back(kept.id)
        back = diary.bring_back(here.shop, gone.id, id="b1", **BY)
        assert diary.bring_back(here.shop, gone.id, id="b1", **BY) == back
