"""Taking apart: nothing is cleaned unseen, nothing comes apart unread, nothing is forgotten."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from tests.phases.strip.floor import AT, NIGHT, as_found, prove, shoot

from retrue.base.refusals import NotYet, Overtaken, Unknown, Unreadable, Unusable
from retrue.phases import note, strip, worth
from retrue.records.facts import File
from retrue.records.stripping import AsFound, Cleaned, Ticked

# the gate of a place


def test_a_place_is_not_cleaned_before_its_photographs_and_the_list_says_which(shop, lot, kinds):
    with pytest.raises(NotYet) as refused:
        strip.clean(shop, *AT, "enclosure", "oil", kinds, by="me")
    assert [one.where for one in refused.value.problems] == ["A06", "A07", "A08"]
    assert "window with date mark" in refused.value.problems[0].what
    assert "Oiling bare iron" in refused.value.remedy
    for content in "ab":
        shoot(shop, kinds, "enclosure", content)
    with pytest.raises(NotYet) as refused:
        strip.clean(shop, *AT, "enclosure", "oil", kinds, by="me")
    assert [one.where for one in refused.value.problems] == ["A07"]
    assert shop.current(Cleaned) == []
    shoot(shop, kinds, "enclosure", "c", entry="A07")
    kept = strip.clean(shop, *AT, "enclosure", "oil", kinds, hours=3, waste_kg=12, by="me")
    assert (kept.fact.place, kept.fact.muck, kept.fact.hours) == ("enclosure", "oil", 3)
    assert strip.place_stands(shop, *AT, "enclosure", kinds).cleaned == ("oil",)


def test_later_does_not_open_a_gate_and_a_reason_does(shop, lot, kinds):
    for content in "ab":
        shoot(shop, kinds, "enclosure", content)
    strip.say_entry(shop, *AT, "A07", kinds, state="later", by="me")
    with pytest.raises(NotYet, match="not cleaned") as refused:
        strip.clean(shop, *AT, "enclosure", "oil", kinds, by="me")
    assert "put off" in refused.value.problems[0].what
    with pytest.raises(Unusable):
        strip.say_entry(shop, *AT, "A07", kinds, state="not_possible", by="me")
    strip.say_entry(shop, *AT, "A07", kinds, state="not_possible", why="sheets rusted", by="me")
    strip.clean(shop, *AT, "enclosure", "oil", kinds, by="me")


def test_only_a_photograph_makes_a_shot_or_a_wipe_done(shop, lot, kinds):
    for entry in ("A06", "A07"):
        with pytest.raises(Unusable, match="only a photograph"):
            strip.say_entry(shop, *AT, entry, kinds, by="me")
    with pytest.raises(Unusable):  # a reading is a number or a word
        strip.say_entry(shop, *AT, "A41", kinds, by="me")
    strip.say_entry(shop, *AT, "A41", kinds, reading=0.04, unit="mm", by="me")
    with pytest.raises(Unusable) as refused:  # a mark is seen, or said in words
        strip.say_entry(shop, *AT, "A49", kinds, by="me")
    assert [one.where for one in refused.value.problems] == ["text"]
    strip.say_entry(shop, *AT, "A49", kinds, text="red paint across", by="me")
    assert {one.fact.entry for one in shop.current(AsFound)} == {"A41", "A49"}


def test_a_photograph_taken_back_shuts_the_gate_again(shop, lot, kinds):
    as_found(shop, kinds, "tank")
    stands = strip.place_stands(shop, *AT, "tank", kinds)
    assert stands.may_clean
    assert stands.next is None
    strip.withdraw(shop, stands.entries[0].files[0], by="me")
    with pytest.raises(NotYet):
        strip.clean(shop, *AT, "tank", "oil", kinds, by="me")


def test_one_place_does_not_open_another(shop, lot, kinds):
    as_found(shop, kinds, "tank")
    open_ones = {one.id: one.may_clean for one in strip.places(shop, *AT, kinds)}
    assert open_ones["tank"]
    assert not open_ones["enclosure"]
    assert not open_ones["cabinet"]
    lathe = {one.id: one.may_clean for one in strip.places(shop, "school", "lathe", kinds)}
    assert not lathe["tank"]


def test_what_is_always_allowed_is_never_refused(shop, lot, kinds):
    acts = strip.allowed(shop, *AT, kinds)
    assert len(acts) == 10
    assert "Oil bare iron" in {one.text for one in acts}
    for act in acts:
        assert strip.tick(shop, *AT, "allowed", act.id, kinds, by="me").fact.item == act.id
    assert all(one.done for one in strip.allowed(shop, *AT, kinds))
    assert not any(one.may_clean for one in strip.places(shop, *AT, kinds) if one.before_clean)
    with pytest.raises(Unknown):  # an act is ticked, it is no line of a place
        strip.say_entry(shop, *AT, "A75", kinds, by="me")


# the shutter


def test_the_shutter_says_nothing_and_the_shots_fill_up_in_order(shop, lot, kinds):
    made = [shoot(shop, kinds, "cabinet", content) for content in "abcdef"]
    assert [one.fact.shot for one in made] == ["A10", "A11", "A12", "A14", None, None]
    stands = strip.place_stands(shop, *AT, "cabinet", kinds)
    assert (stands.shots, stands.wanted_shots, stands.wipes, stands.wanted_wipes) == (6, 4, 0, 1)
    assert stands.next.entry.id == "A13"
    assert stands.files == tuple(one.id for one in made)
    shoot(shop, kinds, "cabinet", "w", entry="A13")
    stands = strip.place_stands(shop, *AT, "cabinet", kinds)
    assert (stands.shots, stands.wipes, stands.may_clean) == (6, 1, True)


def test_a_photograph_sent_twice_is_kept_once_wherever_the_list_stands(shop, lot, kinds):
    first = shoot(shop, kinds, "cabinet", "a", id="one")
    shoot(shop, kinds, "cabinet", "b", id="two")
    assert shoot(shop, kinds, "cabinet", "a", id="one") == first
    assert len(shop.current(File)) == 2
    with pytest.raises(Overtaken):
        shoot(shop, kinds, "cabinet", "other", id="one")
    assert shoot(shop, kinds, "cabinet", "a", id="three") == first  # under another id as well
    assert shoot(shop, kinds, "cabinet", "a") == first
    assert len(shop.current(File)) == 2
    assert shoot(shop, kinds, "cabinet", "a", entry="A12").fact.shot == "A12"  # a line is named
    worth.keep_picture(shop, "school", b"s", "s.jpg", prove, machine="mill", by="me")
    assert shoot(shop, kinds, "cabinet", "s").fact.place == "cabinet"  # a seller's is no shot


def test_a_photograph_that_is_none_or_of_another_place_is_refused(shop, lot, kinds):
    with pytest.raises(Unreadable):
        shoot(shop, kinds, "cabinet", "bad")
    with pytest.raises(Unusable, match="no photograph"):
        strip.keep_shot(shop, *AT, "cabinet", b"x", "a.txt", prove, kinds, by="me")
    with pytest.raises(Unusable):
        shoot(shop, kinds, "cabinet", "a", entry="A06")
    for place, entry in (("headstock", None), ("cabinet", "A99x"), ("cabinet", "A75")):
        with pytest.raises(Unknown):
            shoot(shop, kinds, place, "a", entry=entry)
    assert shop.current(File) == []


def test_as_found_photographs_are_no_pictures_to_sort(shop, lot, kinds):
    worth.keep_picture(shop, "school", b"s", "seller.jpg", prove, machine="mill", by="me")
    shoot(shop, kinds, "cabinet", "a")
    note.keep_file(shop, b"n", "n.jpg", prove, lot=lot.id, place="hall", by="me")
    names = {one.file.fact.name for one in worth.pictures(shop, "school", kinds)}
    assert names == {"seller.jpg", "n.jpg"}
    assert worth.next_picture(shop, "school", kinds).left == 2


def test_a_seller_s_picture_is_kept_though_the_same_one_stands_as_found(shop, lot, kinds):
    shoot(shop, kinds, "cabinet", "a")
    worth.keep_picture(shop, "school", b"a", "a.jpg", prove, machine="mill", by="me")
    assert [one.file.fact.place for one in worth.pictures(shop, "school", kinds)] == [None]


# the first night, and every evening


def test_the_first_night_stands_on_one_page(shop, lot, kinds):
    night = strip.first_night(shop, *AT, kinds)
    assert [len(part) for part in (night.ticks, night.dies_first, night.allowed)] == [6, 3, 10]
    assert all(one.caution for one in night.ticks)
    assert night.places[0].id == "outside"
    assert len(night.places) == 20
    assert (night.shots, night.wipes, night.wanted_shots, night.wanted_wipes) == (0, 0, 25, 10)
    as_found(shop, kinds, "outside")
    strip.tick(shop, *AT, "first_night", "T01", kinds, by="me")
    night = strip.first_night(shop, *AT, kinds)
    assert [one.done for one in night.ticks] == [True] + [False] * 5
    assert (night.shots, night.wipes) == (3, 1)
    assert night.places[0].name in night.may_clean
    assert night.places[1].name in night.not_yet


def test_a_tick_is_one_tick_and_can_be_taken_back(shop, lot, kinds):
    first = strip.tick(shop, *AT, "first_night", "T02", kinds, by="me")
    assert strip.tick(shop, *AT, "first_night", "T02", kinds, by="me") == first
    gone = strip.untick(shop, first.id, by="me", id="gone")
    assert not any(one.done for one in strip.first_night(shop, *AT, kinds).ticks)
    assert strip.untick(shop, first.id, by="me", id="gone") == gone  # the answer was lost
    assert strip.untick(shop, first.id, by="me") == gone
    with pytest.raises(Unknown):
        strip.untick(shop, lot.id, by="me")
    for bad in (("evenings", "T11"), ("evening", "T01"), ("allowed", "A01")):
        with pytest.raises(Unknown):
            strip.tick(shop, *AT, *bad, kinds, by="me")
    assert shop.current(Ticked) == []


def test_an_evening_s_ticks_are_of_that_evening(shop, lot, kinds):
    strip.tick(shop, *AT, "evening", "T11", kinds, by="me", observed_at=NIGHT)
    tomorrow = NIGHT + timedelta(days=1)
    strip.tick(shop, *AT, "evening", "T12", kinds, by="me", observed_at=tomorrow)
    done = {
        day: [one.id for one in strip.evening(shop, *AT, kinds, day) if one.done]
        for day in ("2026-11-25", "2026-11-26", "2026-11-27")
    }
    assert done == {"2026-11-25": ["T11"], "2026-11-26": ["T12"], "2026-11-27": []}
    assert len(strip.evening(shop, *AT, kinds, "2026-11-27")) == 5


def test_a_tick_after_midnight_is_of_the_day_that_has_begun(ghent, shop, lot, kinds):
    late = datetime(2026, 11, 25, 23, 30, tzinfo=UTC)  # half past midnight in the workshop
    made = strip.tick(shop, *AT, "evening", "T11", kinds, by="me", observed_at=late)
    strip.tick(shop, *AT, "evening", "T12", kinds, by="me", observed_at=late - timedelta(hours=1))
    done = {
        day: [one.id for one in strip.evening(shop, *AT, kinds, day) if one.done]
        for day in ("2026-11-25", "2026-11-26")
    }
    assert done == {"2026-11-25": ["T12"], "2026-11-26": ["T11"]}
    assert [day for day, _ in strip.strip_log(shop, *AT, kinds).evenings] == list(done)
    strip.untick(shop, made.id, by="me")
    assert not any(one.done for one in strip.evening(shop, *AT, kinds, "2026-11-26"))


def test_a_tick_taken_back_is_gone_however_often_it_was_set(shop, lot, kinds):
    for text in ("", "in the drawer"):
        last = strip.tick(shop, *AT, "dies_first", "T21", kinds, text, by="me")
    strip.untick(shop, last.id, by="me")
    assert shop.current(Ticked) == []
    days = [NIGHT, NIGHT, NIGHT + timedelta(days=1)]
    made = [strip.tick(shop, *AT, "evening", "T11", kinds, by="me", observed_at=d) for d in days]
    strip.untick(shop, made[0].id, by="me")
    assert [one.id for one in shop.current(Ticked)] == [made[2].id]  # another evening is its own


def test_what_is_always_allowed_is_done_again_and_names_nothing_to_take_back(shop, lot, kinds):
    for day in range(2):
        strip.tick(shop, *AT, "allowed", "A75", kinds, by="me",
                   observed_at=NIGHT + timedelta(days=day))  # fmt: skip
        [line] = [one for one in strip.allowed(shop, *AT, kinds) if one.id == "A75"]
        assert (line.done, line.record, line.at) == (True, None, NIGHT + timedelta(days=day))
    assert len(shop.current(Ticked)) == 2
