"""Taking apart: nothing is cleaned unseen, nothing comes apart unread, nothing is forgotten."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import pytest

from retrue.base.codes import read_code
from retrue.base.refusals import NotYet, Overtaken, Unknown, Unreadable, Unusable
from retrue.phases import find, note, strip, worth
from retrue.records.facts import File
from retrue.records.moving import DataCopy
from retrue.records.seeking import Signed
from retrue.records.stripping import AsFound, Cleaned, PutBack, Taken, Ticked

AT = ("school", "mill")
NIGHT = datetime(2026, 11, 25, 22, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Proved:
    media_type: str
    taken: str | None = None


def prove(content: bytes, name: str) -> Proved:
    if content.startswith(b"bad"):
        raise Unreadable("not a photograph", remedy="Take it again.")
    return Proved("text/plain" if name.endswith(".txt") else "image/jpeg")


def shoot(shop, kinds, place: str, content: str, **more):
    return strip.keep_shot(
        shop, *AT, place, content.encode(), f"{content}.jpg", prove, kinds, by="me", **more
    )


def as_found(shop, kinds, place: str) -> None:
    """Everything a place needs: a photograph of each shot and wipe, a word on the rest."""
    for line in strip.place_stands(shop, *AT, place, kinds).entries:
        if line.entry.what in ("shot", "wipe"):
            shoot(shop, kinds, place, line.entry.id, entry=line.entry.id)
        else:
            said = {"state": "not_possible", "why": "no instrument"}
            strip.say_entry(shop, *AT, line.entry.id, kinds, by="me", **said)


def off(shop, kinds, place: str = "outside", sort: str = "bag", what: str = "screws", **more):
    return strip.take_off(shop, *AT, place, sort, kinds, what=what, by="me", **more)


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


# apart, and together again


def test_nothing_comes_apart_before_it_is_read(shop, lot, kinds):
    with pytest.raises(NotYet) as refused:
        off(shop, kinds, "axis_motors", "connector", "X plug")
    assert [one.where for one in refused.value.problems] == ["A49"]
    photo = shoot(shop, kinds, "axis_motors", "p", entry="A49")
    strip.say_entry(shop, *AT, "A49", kinds, by="me")
    strip.withdraw(shop, photo.id, by="me")
    with pytest.raises(NotYet):  # nothing shows it any more
        off(shop, kinds, "axis_motors", "connector", "X plug")
    strip.say_entry(shop, *AT, "A49", kinds, text="red paint across", by="me")
    off(shop, kinds, "axis_motors", "connector", "X plug")
    strip.say_entry(shop, *AT, "A41", kinds, state="later", by="me")
    with pytest.raises(NotYet):  # later is too late for what is lost by it
        off(shop, kinds, "axis_x", "part", "way cover")
    strip.say_entry(shop, *AT, "A41", kinds, state="not_possible", why="seized", by="me")
    off(shop, kinds, "axis_x", "part", "way cover")
    assert len(shop.current(Taken)) == 2


def test_every_label_has_a_code_of_its_own_that_can_be_typed(shop, lot, kinds):
    made = [off(shop, kinds) for _ in range(5)] + [off(shop, kinds, id="born.here")]
    codes = [one.fact.code for one in made]
    assert len(set(codes)) == 6
    assert all(read_code(code) == code for code in codes)
    again = off(shop, kinds, id="born.here")
    assert again == made[-1]
    assert len(shop.current(Taken)) == 6
    line = strip.taken_line(shop, *AT, codes[2].lower().replace("-", " "), kinds)
    assert (line.id, line.step, line.back) == (made[2].id, 3, False)
    assert strip.label_by_code(shop, codes[2]) == (line_lot(made[2]), made[2].fact.machine, line.id)
    with pytest.raises(Unusable):
        strip.label_by_code(shop, "AAAA-AAAA")
    with pytest.raises(Unknown):
        strip.taken_line(shop, "school", "lathe", codes[2], kinds)


def test_a_code_that_was_taken_back_is_never_given_again(shop, lot, kinds):
    first = off(shop, kinds)
    strip.withdraw(shop, first.id, by="me")
    assert off(shop, kinds).fact.code != first.fact.code


def test_a_bare_put_back_keeps_what_was_said_of_it(shop, lot, kinds):
    one = off(shop, kinds)
    said = strip.put_back(shop, *AT, one.id, torque_nm=35.0, text="new gasket", by="me")
    assert strip.put_back(shop, *AT, one.id, by="me") == said
    anew = strip.put_back(shop, *AT, one.id, torque_nm=40.0, by="me")
    assert (anew.fact.torque_nm, anew.fact.text) == (40.0, "new gasket")


def line_lot(record) -> str:
    return record.fact.lot


def test_wire_and_hose_say_where_they_belong(shop, lot, kinds):
    as_found(shop, kinds, "cabinet")
    for sort in ("wire", "hose"):
        with pytest.raises(Unusable):
            off(shop, kinds, "cabinet", sort, "blue")
    kept = off(shop, kinds, "cabinet", "wire", "blue", from_end="K1:13", to_end="X5:2")
    assert (kept.fact.from_end, kept.fact.to_end) == ("K1:13", "X5:2")
    with pytest.raises(Unusable):
        off(shop, kinds, "outside", "sack")
    with pytest.raises(Unusable):
        off(shop, kinds, count=-1)


def test_a_photograph_belongs_to_its_label_and_to_the_place_of_it(shop, lot, kinds):
    one = off(shop, kinds, "outside")
    photo = shoot(shop, kinds, "tank", "p", taken=one.fact.code)
    assert (photo.fact.place, photo.fact.shot) == ("outside", one.fact.code)
    assert strip.taken_line(shop, *AT, one.id, kinds).files == (photo.id,)
    stands = strip.place_stands(shop, *AT, "outside", kinds)
    assert (stands.shots, stands.files) == (0, (photo.id,))  # it is not as found


def test_remaining_comes_in_reverse_order_and_empties(shop, lot, kinds):
    made = [off(shop, kinds, what=word) for word in ("first", "second", "third")]
    words = [one.what for one in strip.remaining(shop, *AT, kinds)]
    assert words == ["third", "second", "first"]
    strip.put_back(shop, *AT, made[1].fact.code, torque_nm=35.0, by="me")
    assert [one.what for one in strip.remaining(shop, *AT, kinds)] == ["third", "first"]
    assert [one.back for one in strip.taken(shop, *AT, kinds)] == [False, True, False]
    back = strip.put_back(shop, *AT, made[0].id, by="me")
    assert strip.put_back(shop, *AT, made[0].id, by="me") == back
    strip.withdraw(shop, back.id, by="me")
    assert len(strip.remaining(shop, *AT, kinds)) == 2
    strip.put_back(shop, *AT, made[0].id, by="me")
    strip.put_back(shop, *AT, made[2].id, by="me")
    assert strip.remaining(shop, *AT, kinds) == ()
    assert len(shop.current(PutBack)) == 3
    with pytest.raises(Unknown):
        strip.put_back(shop, *AT, "3333-3333", by="me")


def test_a_step_that_was_written_goes_before_the_order_of_keeping(shop, lot, kinds):
    made = [off(shop, kinds, what=word) for word in ("first", "second", "third")]
    strip.write_step(shop, *AT, made[2].id, 1, by="me")
    assert [one.what for one in strip.taken(shop, *AT, kinds)] == ["third", "first", "second"]


def test_a_correction_keeps_place_and_code(shop, lot, kinds):
    made = [off(shop, kinds, what=word) for word in ("first", "second")]
    told = replace(made[0].fact, what="first, 8 of them", count=8, code="other")
    new = strip.correct(shop, made[0].id, told, by="me")
    assert (new.fact.code, new.fact.count) == (made[0].fact.code, 8)
    lines = strip.taken(shop, *AT, kinds)
    assert [(one.id, one.what) for one in lines] == [
        (made[0].id, "first, 8 of them"),
        (made[1].id, "second"),
    ]
    assert strip.put_back(shop, *AT, new.id, by="me").fact.taken == made[0].id
    with pytest.raises(Unusable):
        strip.correct(shop, made[0].id, Ticked(lot="", machine="", list="evening", item="T11"),
                      by="me")  # fmt: skip
    strip.withdraw(shop, made[1].id, by="me")
    assert len(strip.taken(shop, *AT, kinds)) == 1
    with pytest.raises(Unknown):
        strip.withdraw(shop, made[1].id, by="me")


# first power


def test_first_power_waits_until_everything_is_back(shop, lot, kinds):
    made = [off(shop, kinds, what=word) for word in ("first", "second")]
    find.sign(shop, *AT, "apart", "An", kinds=kinds, by="me")
    for stage in ("running", "power_up"):  # a later stage signed opens the earlier one
        with pytest.raises(NotYet, match="2 not back") as refused:
            find.sign(shop, *AT, stage, "An", kinds=kinds, by="me")
    assert [one.where for one in refused.value.problems] == [
        made[1].fact.code,
        made[0].fact.code,
    ]
    assert "second" in refused.value.problems[0].what
    assert [one.fact.stage for one in shop.current(Signed)] == ["apart"]
    find.sign(shop, "school", "lathe", "power_up", "An", kinds=kinds, by="me")
    for one in made:
        strip.put_back(shop, *AT, one.id, by="me")
    signed = find.sign(shop, *AT, "power_up", "An", kinds=kinds, by="me", id="signed")
    off(shop, kinds)
    assert find.sign(shop, *AT, "power_up", "An", kinds=kinds, by="me", id="signed") == signed


def test_what_comes_off_later_opens_the_signed_power_again(shop, lot, kinds):
    for at in (AT, ("school", "lathe")):
        for stage in ("apart", "power_up", "running"):
            find.sign(shop, *at, stage, "An", kinds=kinds, by="me")
    one = off(shop, kinds, id="off")
    mine = shop.current(Signed, machine=one.fact.machine)
    assert [sign.fact.stage for sign in mine] == ["apart"]
    assert len(shop.current(Signed)) == 4  # the other machine is as it was
    strip.put_back(shop, *AT, one.id, by="me")
    find.sign(shop, *AT, "power_up", "An", kinds=kinds, by="me")
    assert off(shop, kinds, id="off") == one  # sent twice: it came off before it was signed
    assert len(shop.current(Signed, machine=one.fact.machine)) == 2


# cleaning


def test_cleaning_has_a_way_a_never_and_cautions_for_every_sort(shop, lot, kinds):
    stands = strip.cleaning(shop, *AT, kinds)
    assert [one.muck for one in stands.plan] == [
        "conductive", "abrasive", "oil", "dried_coolant", "rust", "swarf", "droppings",
    ]  # fmt: skip
    for one in stands.plan:
        assert one.cautions
        assert one.never
        assert one.waste
        assert one.mark
        assert 0 < one.hours.low <= one.hours.likely <= one.hours.high
    assert "Never blow it" in " ".join(stands.plan[0].cautions)
    assert (stands.accepted, stands.why) == (None, "nothing was read yet")
    assert len(strip.cleaning(shop, *AT, kinds, ("oil",)).plan) == 1
    with pytest.raises(Unknown):
        strip.clean(shop, *AT, "outside", "mud", kinds, by="me")


def test_cleaning_is_proved_by_readings_before_after_and_after_running(shop, lot, kinds):
    def read(when: str, sort: str, value: float, **more) -> None:
        told = {"point": "X motor" if sort == "winding" else "main", "unit": "MΩ", **more}
        strip.clean_reading(shop, *AT, "cabinet", when, sort, kinds, reading=value, air_c=20.0,
                            humidity_percent=50.0, by="me", **told)  # fmt: skip

    for sort in ("insulation", "winding"):
        read("before", sort, 2.0)
        read("after", sort, 30.0)
    stands = strip.cleaning(shop, *AT, kinds)
    assert [one.ruling for one in stands.readings] == ["proved_good", "proved_good"]
    assert stands.accepted is None
    assert "after running" in stands.why
    for sort in ("insulation", "winding"):
        read("after_running", sort, 0.25, unit="GΩ")
    stands = strip.cleaning(shop, *AT, kinds)
    assert stands.accepted is True
    assert [one.after_running for one in stands.readings] == [250.0, 250.0]
    read("after_running", "insulation", 0.5)
    assert strip.cleaning(shop, *AT, kinds).accepted is False
    with pytest.raises(Unusable):
        read("after", "insulation", 5.0, unit="")
    with pytest.raises(Unusable):
        read("after", "insulation", 5.0, unit="V")


# files


def test_a_file_of_the_machine_has_its_checksum_and_is_read_back(shop, lot, kinds):
    kept = strip.keep_machine_file(
        shop, *AT, b"N1 G0", "all.txt", prove, sort="parameters", by="me"
    )
    assert strip.keep_machine_file(
        shop, *AT, b"N1 G0", "all.txt", prove, sort="parameters", by="me"
    ) == kept  # fmt: skip
    shoot(shop, kinds, "cabinet", "a")
    worth.keep_picture(shop, "school", b"s", "seller.jpg", prove, machine="mill", by="me")
    [line] = strip.machine_files(shop, *AT)
    assert (line.name, line.size_bytes, line.kind_words, line.read_back) == (
        "all.txt", 5, "parameters", None,
    )  # fmt: skip
    assert strip.read_back(shop, kept.id, b"N1 G1", by="me") is False
    assert strip.machine_files(shop, *AT)[0].read_back is False
    assert strip.read_back(shop, kept.id, b"N1 G0", by="me") is True
    [line] = strip.machine_files(shop, *AT)
    assert line.read_back is True
    assert [(one.fact.sort, one.fact.sha256) for one in shop.current(DataCopy)] == [
        ("parameters", line.sha256)
    ]
    for sort, words in (("programs", "programs"), ("other", "programs")):  # bare changes nothing
        strip.keep_machine_file(shop, *AT, b"N1 G0", "all.txt", prove, sort=sort, by="me")
        [line] = strip.machine_files(shop, *AT)
        assert (line.kind_words, line.read_back) == (words, True)
    with pytest.raises(Unknown):
        strip.keep_machine_file(shop, *AT, b"x", "x.txt", prove, sort="poems", by="me")
    with pytest.raises(Unknown):
        strip.read_back(shop, lot.id, b"x", by="me")


# a whole machine


def test_ten_left_off_of_a_whole_machine_are_found_in_reverse_order(shop, lot, kinds):
    places = [one.id for one in strip.places(shop, *AT, kinds)]
    for place in places:
        as_found(shop, kinds, place)
    made = []
    for n in range(120):
        sort = ("wire", "hose", "connector")[n % 3]
        made.append(off(shop, kinds, places[n % 20], sort, f"{n}", from_end=f"a{n}", to_end="b"))
    made += [off(shop, kinds, places[n % 20], what=f"bag {n}", count=n + 1) for n in range(40)]
    while len(shop.current(File)) < 300:
        n = len(shop.current(File))
        shoot(shop, kinds, "outside", f"more {n}", taken=made[n % 160].id)
    forgotten = [made[n] for n in range(5, 160, 16)]
    for one in made:
        if one not in forgotten:
            strip.put_back(shop, *AT, one.fact.code, by="me")
    found = strip.remaining(shop, *AT, kinds)
    assert [one.code for one in found] == [one.fact.code for one in reversed(forgotten)]
    assert len(found) == 10
    assert len({one.fact.code for one in made}) == 160
    assert len(strip.taken(shop, *AT, kinds, ("bag",))) == 40
    with pytest.raises(NotYet) as refused:
        find.sign(shop, *AT, "power_up", "An", kinds=kinds, by="me")
    assert len(refused.value.problems) == 10


def test_cell_volts_read_as_found_are_a_finding_and_the_last_ones_count(shop, lot, kinds):
    from retrue.records.facts import Finding

    worth.keep_plate(shop, "school", "mill", "N33", "3 V", kinds, by="owner")
    for volts in (2.9, 2.4, 2.4):
        strip.say_entry(shop, "school", "mill", "A17", kinds, reading=volts, unit="V", by="owner")
    kept = [one.fact for one in shop.current(Finding) if one.fact.check == "C36"]
    assert [(one.reading, one.measure, one.grade) for one in kept] == [(80.0, "M10", 4)]
    strip.say_entry(shop, "school", "mill", "A17", kinds, text="swollen", by="owner")
    assert len([one for one in shop.current(Finding) if one.fact.check == "C36"]) == 1


def test_cell_volts_taken_back_or_not_possible_leave_no_finding(shop, lot, kinds):
    from retrue.records.facts import Finding

    def found() -> list[float | None]:
        return [one.fact.reading for one in shop.current(Finding) if one.fact.check == "C36"]

    def read() -> str:
        return strip.say_entry(shop, *AT, "A17", kinds, reading=2.4, unit="V", by="owner").id

    worth.keep_plate(shop, *AT, "N33", "3 V", kinds, by="owner")
    record = read()
    assert found() == [80.0]
    strip.withdraw(shop, record, by="owner")
    assert found() == []
    read()
    assert found() == [80.0]
    strip.say_entry(shop, *AT, "A17", kinds, state="not_possible", why="sealed", by="owner")
    assert found() == []
