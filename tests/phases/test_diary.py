"""The diary: what was kept, told by its newest, and said anew."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from tests.phases.diary_shop import BY, Here, lot_of_two

from retrue.base.refusals import NotYet, Unusable
from retrue.cases.diary_rules import MONEY
from retrue.phases import diary
from retrue.phases.diary import listing
from retrue.records.facts import Finding, Note, Withdrawn
from retrue.records.joining import DeviceJoined
from retrue.records.measuring import Reading, ReadingSet
from retrue.records.seeking import Signed
from retrue.records.settling import Posting
from retrue.records.stripping import PutBack, Taken
from retrue.records.waking import Sensed


@pytest.fixture
def here() -> Here:
    return lot_of_two()


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
