"""Apart and together: every label its code, what is not back, cleaning proved, files held."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.phases.strip.floor import AT, as_found, off, prove, shoot
from tests.powering import signed_up_to

from retrue.base.codes import read_code
from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.phases import find, strip, worth
from retrue.records.facts import File
from retrue.records.moving import DataCopy
from retrue.records.seeking import Signed
from retrue.records.stripping import PutBack, Taken, Ticked

SHOPS = ("on disk",)  # that the other shop keeps alike is proved in tests/store

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
    signed_up_to(shop, "school", "lathe", kinds, "P2")
    find.sign(shop, "school", "lathe", "power_up", "An", kinds=kinds, by="me")
    for one in made:
        strip.put_back(shop, *AT, one.id, by="me")
    signed_up_to(shop, *AT, kinds, "P2")
    signed = find.sign(shop, *AT, "power_up", "An", kinds=kinds, by="me", id="signed")
    off(shop, kinds)
    assert find.sign(shop, *AT, "power_up", "An", kinds=kinds, by="me", id="signed") == signed


def test_what_comes_off_later_opens_the_signed_power_again(shop, lot, kinds):
    for at in (AT, ("school", "lathe")):
        signed_up_to(shop, *at, kinds, "P8")
        for stage in ("apart", "power_up", "running"):
            find.sign(shop, *at, stage, "An", kinds=kinds, by="me")
    one = off(shop, kinds, id="off")
    mine = shop.current(Signed, machine=one.fact.machine)
    assert [sign.fact.stage for sign in mine] == ["apart"]
    assert len(shop.current(Signed)) == 4  # the other machine is as it was
    strip.put_back(shop, *AT, one.id, by="me")
    with pytest.raises(NotYet, match="not signed so far"):  # proved dead again, from P0 on
        find.sign(shop, *AT, "power_up", "An", kinds=kinds, by="me")
    signed_up_to(shop, *AT, kinds, "P2")
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
    for n in range(len(shop.current(File)), 300):
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
