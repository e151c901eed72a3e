"""The diary: what was kept, taken back with what hangs on it, brought back whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from tests.fakes.shop import FakeShop
from tests.library import load

from retrue.base.refusals import NotYet, Overtaken, Unknown, Unusable
from retrue.cases.diary_rules import MONEY, RULES
from retrue.cli.note_kept import rooms as cli_rooms
from retrue.kinds.library import Kind
from retrue.phases import diary, worth
from retrue.phases.diary import listing
from retrue.records.chain import verify_chain
from retrue.records.facts import File, Finding, Frozen, Lot, Machine, Note, Terms, Withdrawn
from retrue.records.fixing import CardMarked, Out, OutEnded, Rung
from retrue.records.joining import DeviceJoined
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
from retrue.records.shop import RecordShop
from retrue.records.stripping import AsFound, PutBack, Taken
from retrue.records.waking import Sensed, StageBegun
from retrue.web.taking import ROOMS

BY = {"by": "owner", "device": "phone"}


@dataclass
class Here:
    """A shop with a lot of two machines."""

    shop: RecordShop
    kinds: Mapping[str, Kind]
    lot: str
    mill: str
    lathe: str

    @property
    def at(self) -> dict[str, str]:
        return {"lot": self.lot, "machine": self.mill}

    def back(self, record: str, **named: Any) -> Any:
        return diary.take_back(self.shop, record, rooms=ROOMS, **BY, **named)

    def lines(self, **named: Any) -> list[str]:
        return [row.line for row in diary.kept(self.shop, self.kinds, **named).rows]


@pytest.fixture
def here() -> Here:
    shop, kinds = FakeShop(), load()
    machines = [
        Machine(lot="", name="Bed mill", kind="vertical_machining_centre"),
        Machine(lot="", name="Slant lathe", kind="turning_centre"),
    ]
    terms = Terms(lot="", bid_now=Decimal(4500))
    view = worth.new_lot(shop, Lot(name="Lot 14"), terms, machines, by="owner")
    (mill, _), (lathe, _) = view.machines
    return Here(shop, kinds, view.id, mill, lathe)


class TestTheList:
    def test_the_newest_stands_first_with_who_when_where_and_its_page(self, here: Here):
        here.shop.add(Note(text="Belt smells hot"), **BY)
        finding = Finding(**here.at, check="C01", answer="seen", text="right at the screw")
        kept = here.shop.add(finding, by="Jan", device="tablet")
        first, second = diary.kept(here.shop, here.kinds).rows[:2]
        assert (first.record.id, first.record.by, first.record.device) == (kept.id, "Jan", "tablet")
        assert first.what == "what was found"
        assert first.line.endswith("seen; right at the screw")
        assert first.where == "Bed mill, Lot 14"
        assert first.page == f"/lots/{here.lot}/findings/{kept.id}"
        assert (second.line, second.where) == ("Belt smells hot", "")

    def test_it_is_told_of_one_machine_device_person_sort(self, here: Here):
        here.shop.add(Note(text="of the mill", machine=here.mill, lot=here.lot), **BY)
        here.shop.add(Note(text="of the lathe", machine=here.lathe, lot=here.lot), by="Jan")
        here.shop.add(Signed(**here.at, stage="apart", name="Jan"), by="Jan", device="tablet")
        assert here.lines(machine=here.lathe) == ["of the lathe"]
        assert here.lines(machine=here.mill, sort="note") == ["of the mill"]
        assert here.lines(device="phone") == ["of the mill"]
        assert here.lines(by="Jan", sort="note") == ["of the lathe"]
        assert here.lines(sort="power") == ["Jan"]

    def test_what_was_observed_earlier_stands_earlier(self, here: Here):
        before = datetime(2026, 11, 20, 9, tzinfo=UTC)
        here.shop.add(Note(text="from the outbox"), observed_at=before, **BY)
        here.shop.add(Note(text="now"), **BY)
        assert here.lines(sort="note") == ["now", "from the outbox"]
        assert here.lines()[-1] == "from the outbox"
        assert diary.kept(here.shop, here.kinds).rows[-1].when == before

    def test_a_page_holds_so_many_and_the_next_those_before_them(self, here: Here):
        for n in range(7):
            moment = datetime(2026, 11, 20, n, tzinfo=UTC) + timedelta(days=10)
            here.shop.add(Note(text=f"note {n}"), observed_at=moment, **BY)
        pages = [diary.kept(here.shop, here.kinds, sort="note", most=3, page=n) for n in (1, 2, 3)]
        assert [[row.line[-1] for row in page.rows] for page in pages] == [
            ["6", "5", "4"], ["3", "2", "1"], ["0"],
        ]  # fmt: skip
        assert [page.more for page in pages] == [True, True, False]

    def test_single_readings_stand_with_their_test(self, here: Here):
        test = here.shop.add(ReadingSet(**here.at, test="backlash"), **BY)
        here.shop.add(Reading(set=test.id, cell="X1", text="0.012"), **BY)
        assert "X1: 0.012" not in here.lines()
        assert "X1: 0.012" in here.lines(sort="measured")

    def test_a_device_is_called_by_its_name_also_when_it_was_turned_away(self, here: Here):
        joined = DeviceJoined(device="phone-64b51e8b5209", name="my phone", person="An",
                              role="owner")  # fmt: skip
        kept = here.shop.add(joined, by="An")
        here.shop.add(Note(text="from it"), by="An", device="phone-64b51e8b5209")
        here.shop.add(Note(text="from here"), by="An", device="laptop")
        for _ in range(2):
            rows = diary.kept(here.shop, here.kinds, sort="note").rows
            assert [row.device for row in rows] == ["this laptop", "my phone"]
            here.shop.add(Withdrawn(of_kind="device_joined"), replaces=kept.id, by="An") if (
                here.shop.current(DeviceJoined)) else None  # fmt: skip
        assert here.lines(sort="note", device="phone-64b51e8b5209") == ["from it"]

    def test_two_devices_of_one_name_are_told_apart(self, here: Here):
        for id in ("phone-0001", "phone-0002"):
            here.shop.add(DeviceJoined(device=id, name="a phone", person="An", role="owner"),
                          by="An")  # fmt: skip
        named = diary.device_names(here.shop)
        assert named["phone-0001"] == "a phone (0001)"
        assert len(set(named.values())) == 3

    def test_what_was_put_back_is_named(self, here: Here):
        taken = here.shop.add(Taken(**here.at, place="cabinet", sort="part", code="CFTVV6PD",
                                    what="fan, blue"), **BY)  # fmt: skip
        here.shop.add(PutBack(**here.at, taken=taken.id), **BY)
        assert "fan, blue" in here.lines(sort="apart")[0]

    def test_what_is_hidden_from_a_helper_is_not_listed(self, here: Here):
        here.shop.add(Posting(sort="paid", posted_on="2026-11-25", what="x", amount=Decimal(9)),
                      **BY)  # fmt: skip
        shown = diary.kept(here.shop, here.kinds, hidden=MONEY).rows
        assert {row.record.kind for row in shown} == {"lot", "machine"}

    @pytest.mark.parametrize("asked", [{"sort": "no such"}, {"page": 0}, {"page": 10**6}])
    def test_what_cannot_be_is_refused(self, here: Here, asked: dict[str, Any]):
        with pytest.raises(Unusable):
            diary.kept(here.shop, here.kinds, **asked)

    def test_of_one_person_the_newest_are_looked_through_and_it_says_how_many(
        self, here: Here, monkeypatch: pytest.MonkeyPatch
    ):
        monkeypatch.setattr(listing, "LOOKED_THROUGH", 20)
        here.shop.add(Note(text="long ago"), by="Jan")
        for n in range(30):
            here.shop.add(Note(text=f"note {n}"), **BY)
        made = diary.kept(here.shop, here.kinds, by="Jan", most=2)
        assert (made.rows, made.looked_through) == ((), 20)


class TestWhatWasLearned:
    """A finding of what was heard, felt or seen goes with it, and comes back with it alone."""

    @pytest.fixture
    def learned(self, here: Here) -> tuple[str, str]:
        heard = here.shop.add(
            Sensed(**here.at, sort="sound", point="ear", readings=(("level_a_db", 78.0),)), **BY
        )
        finding = Finding(**here.at, check="C95", answer="seen")
        return heard.id, here.shop.add(finding, id=f"{heard.id}.learned-C95", **BY).id

    def test_it_is_named_before_it_goes(self, here: Here, learned: tuple[str, str]):
        heard, finding = learned
        falls = diary.one(here.shop, heard, here.kinds).falls
        assert [row.record.id for row in falls] == [finding]
        here.back(heard)
        assert here.shop.current(Finding) == []

    def test_it_does_not_count_again_while_its_reading_does_not(
        self, here: Here, learned: tuple[str, str]
    ):
        heard, finding = learned
        here.back(heard)
        made = diary.one(here.shop, finding, here.kinds)
        assert made.first is not None
        assert made.first.what == "taken back: sound, vibration or light"
        with pytest.raises(NotYet, match="it belongs to was taken back"):
            diary.bring_back(here.shop, finding, **BY)
        assert here.shop.current(Finding) == []

    def test_taken_back_alone_it_comes_back_alone(self, here: Here, learned: tuple[str, str]):
        _, finding = learned
        here.back(finding)
        diary.bring_back(here.shop, finding, **BY)
        assert len(here.shop.current(Finding)) == 1


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


class TestSayingAnew:
    def test_the_words_of_a_note_are_corrected_here(self, here: Here):
        kept = here.shop.add(Note(alarm="402", doing="homing"), **BY)
        made = diary.say_anew(here.shop, kept.id, {"alarm": "403"}, **BY)
        assert made.fact == Note(alarm="403", doing="homing")
        assert diary.say_anew(here.shop, kept.id, {"alarm": " 403 "}, **BY) == made

    def test_a_note_is_not_emptied_and_another_thing_is_corrected_on_its_page(self, here: Here):
        kept = here.shop.add(Note(text="hot"), **BY)
        with pytest.raises(Unusable):
            diary.say_anew(here.shop, kept.id, {"text": " "}, **BY)
        finding = here.shop.add(Finding(**here.at, check="C01", answer="seen"), **BY)
        with pytest.raises(NotYet):
            diary.say_anew(here.shop, finding.id, {"answer": "not_seen"}, **BY)
