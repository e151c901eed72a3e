"""The gates of a place, line by line, and which caution stands before which place."""

from __future__ import annotations

import pytest
from tests.library import load

from retrue.base.refusals import NotYet
from retrue.cases.strip import cautions
from retrue.cases.strip.gates import (
    Pictured,
    Said,
    entry_line,
    next_picture,
    next_shot,
    place_stands,
    refuse_cleaning,
    refuse_taking_apart,
)
from retrue.kinds.stripping import AsFoundEntry
from retrue.records.stripping import AsFound

KINDS = load()
MILL = KINDS["vertical_machining_centre"]


def entry(id: str = "A01", what: str = "shot", needed: str = "needed", before: str = ""):
    return AsFoundEntry(
        id=id, place="outside", what=what, text=id, needed=needed, before=before, mark="x"
    )


def said(state: str, **more) -> Said:
    return Said(AsFound(lot="l", machine="m", entry="A01", state=state, **more), "r1")


@pytest.mark.parametrize(
    ("what", "state", "files", "is_now"),
    [
        ("shot", None, [], "open"),
        ("shot", "done", [], "open"),  # only a photograph makes it done
        ("wipe", "done", [], "open"),
        ("shot", "not_possible", [], "not_possible"),
        ("shot", "not_possible", ["f"], "done"),
        ("shot", "later", [], "later"),
        ("reading", "done", [], "open"),  # nothing was read
        ("reading", None, ["f"], "done"),  # a photograph of the gauge
        ("mark", "done", [], "open"),  # nothing shows it
        ("mark", "done", ["f"], "done"),
    ],
)
def test_a_line_stands_as_what_was_kept_of_it(what, state, files, is_now):
    word = said(state, why="x") if state else None
    line = entry_line(entry(what=what), word, files)
    assert (line.state, line.settled) == (is_now, is_now in ("done", "not_possible"))


def stands(place: str, words=None, pictures=()):
    return place_stands(MILL, place, words or {}, pictures)


def photo(id: str, place: str, shot: str | None = None) -> Pictured:
    return Pictured(id, place, shot)


@pytest.mark.parametrize("place", MILL.places)
def test_a_gate_is_shut_by_each_needed_line_and_by_no_other(place):
    now = stands(place)
    needed = [one for one in MILL.as_found.values()
              if one.place == place and one.needed == "needed"]  # fmt: skip
    assert [line.entry for line in now.before_clean] == needed
    assert now.may_clean is (not needed)
    for left_out in needed:
        shots = [photo(one.id, place, one.id) for one in needed if one is not left_out]
        but_one = stands(place, pictures=shots)
        assert not but_one.may_clean
        with pytest.raises(NotYet) as refused:
            refuse_cleaning(but_one)
        assert [one.where for one in refused.value.problems] == [left_out.id]
    refuse_cleaning(stands(place, pictures=[photo(one.id, place, one.id) for one in needed]))


@pytest.mark.parametrize("place", MILL.places)
def test_taking_apart_is_shut_by_what_is_lost_by_it(place):
    lost = [one.id for one in MILL.as_found.values()
            if one.place == place and one.before == "apart"]  # fmt: skip
    now = stands(place)
    assert [line.entry.id for line in now.before_apart] == lost
    if not lost:
        refuse_taking_apart(now)
        return
    with pytest.raises(NotYet) as refused:
        refuse_taking_apart(now)
    assert [one.where for one in refused.value.problems] == lost
    with pytest.raises(NotYet):
        refuse_taking_apart(stands(place, dict.fromkeys(lost, said("later"))))
    refuse_taking_apart(stands(place, dict.fromkeys(lost, said("not_possible", why="seized"))))


def test_photographs_of_labels_and_of_other_places_do_not_count_as_found():
    pictures = [photo("a", "cabinet"), photo("b", "cabinet", "A13"), photo("c", "cabinet", "H7Y9"),
                photo("d", "panel", "A10"), photo("e", "cabinet", "A10")]  # fmt: skip
    now = stands("cabinet", pictures=pictures)
    assert (now.shots, now.wipes, now.files) == (2, 1, ("a", "b", "c", "e"))
    assert [line.entry.id for line in now.entries if line.files] == ["A10", "A13"]


def test_the_shutter_takes_needed_shots_then_wipes_then_what_may_come_later():
    lines = [
        entry_line(entry("later shot", needed="later"), None, []),
        entry_line(entry("wipe", what="wipe"), None, []),
        entry_line(entry("read", what="reading"), None, []),
        entry_line(entry("first"), None, []),
        entry_line(entry("second"), None, []),
    ]
    taken = []
    while (one := next_picture(lines)) is not None:
        taken.append(one.entry.id)
        lines = [entry_line(line.entry, None, ["f"] if line is one else list(line.files))
                 for line in lines]  # fmt: skip
    assert taken == ["first", "second", "wipe", "later shot"]
    lines = [entry_line(one, None, []) for one in (entry("wipe", what="wipe"), entry("shot"))]
    assert next_shot(lines).entry.id == "shot"
    assert next_shot([entry_line(entry(), said("not_possible", why="x"), [])]) is None


@pytest.mark.parametrize(
    ("kind", "place", "ids"),
    [
        ("vertical_machining_centre", "cabinet", {"X02", "X03", "X15", "X19"}),
        ("vertical_machining_centre", "counterbalance", {"X02", "X06", "X07", "X08", "X32"}),
        ("vertical_machining_centre", "tank", {"X02", "X18"}),
        ("vertical_machining_centre", "supply", {"X02", "X05"}),
        ("vertical_machining_centre", "axis_motors", {"X02", "X06", "X27"}),
        ("turning_centre", "hydraulics", {"X02", "X08"}),
        ("turning_centre", "turret", {"X02", "X08", "X20"}),
        ("turning_centre", "foundation", {"X20"}),
        ("turning_centre", "outside", set()),
    ],
)
def test_the_cautions_of_a_place_are_its_own(kind, place, ids):
    table = KINDS[kind].cautions
    assert cautions.of_place(KINDS[kind], place) == cautions.told(KINDS[kind], ids)
    assert ids <= set(table)
    assert all("licensed practice" in one for one in cautions.told(KINDS[kind], ids))


@pytest.mark.parametrize(
    ("kind", "place"),
    [("turning_centre", one) for one in ("hydraulics", "tailstock", "tank", "air_unit", "supply")]
    + [("vertical_machining_centre", one) for one in ("tank", "air_unit", "supply")],
)
def test_the_lock_on_the_main_switch_stands_before_every_place_that_moves(kind, place):
    of = load()[kind]
    assert set(cautions.told(of, ("X02",))) <= set(cautions.of_place(of, place))


def test_the_wheel_s_caution_stands_before_the_wheel_spindle():
    of = load()["surface_grinder"]
    assert set(cautions.told(of, ("X43",))) <= set(cautions.of_place(of, "wheel_spindle"))
