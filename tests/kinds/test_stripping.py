"""What the library says of taking apart: nothing is cleaned unseen, no list is too short."""

from __future__ import annotations

import pytest
from tests.library import load

from retrue.base.refusals import Unusable

KINDS = load()
every_kind = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
BLOWN = ("conductive", "abrasive", "swarf", "droppings")


@every_kind
def test_every_place_is_looked_at_and_a_needed_line_comes_before_something(kind):
    for place in kind.places:
        lines = [one for one in kind.as_found.values() if one.place == place]
        assert any(one.what == "shot" for one in lines), place
    for one in kind.as_found.values():
        assert one.needed != "needed" or one.before in ("clean", "apart"), one.id
        assert one.place in kind.places or one.needed == "allowed", one.id
        assert one.mark.startswith("common practice"), one.id


@every_kind
def test_only_the_work_light_may_be_cleaned_unseen(kind):
    needed = {one.place for one in kind.as_found.values() if one.needed == "needed"}
    assert set(kind.places) - needed == {"lighting"}


@every_kind
def test_what_text_says_comes_before_shuts_taking_apart(kind):
    words = ("before it comes apart", "before a screw", "before anything is loosened",
             "before it is loosened", "before it is slackened", "before they move",
             "before it is touched", "before it is taken off")  # fmt: skip
    for one in kind.as_found.values():
        if any(word in one.text for word in words):
            assert one.before == "apart", one.id
        if one.before == "apart" and one.what == "reading" and one.needed == "later":
            assert one.not_possible, one.id


@every_kind
def test_no_line_speaks_in_codes(kind):
    codes = set(kind.checks) | set(kind.faults) | set(kind.jobs)
    for text in (
        *(one.text for one in kind.as_found.values()),
        *(one.text for one in kind.ticks.values()),
        *(word for one in kind.as_found.values() for word in one.not_possible),
    ):
        assert not codes & set(text.replace(",", " ").replace(")", " ").split()), text


@every_kind
def test_ten_acts_are_always_allowed_and_oiling_bare_iron_is_one(kind):
    acts = [one for one in kind.as_found.values() if one.needed == "allowed"]
    assert len(acts) == 10
    assert {one.what for one in acts} == {"allowed"}
    assert not any(one.before or one.place for one in acts)
    assert "Oil bare iron" in {one.text for one in acts}


@every_kind
def test_the_lists_of_ticks_have_six_five_and_three(kind):
    lists = [one.list for one in kind.ticks.values()]
    count = {name: lists.count(name) for name in dict.fromkeys(lists)}
    assert count == {"first_night": 6, "evening": 5, "dies_first": 3}


@every_kind
def test_every_sort_of_muck_says_what_is_never_done(kind):
    assert set(kind.mucks) == {
        "conductive", "abrasive", "oil", "dried_coolant", "rust", "swarf", "droppings",
    }  # fmt: skip
    for muck in kind.mucks.values():
        assert muck.never.startswith("Never"), muck.id
        assert set(muck.cautions) <= set(kind.cautions)
        assert muck.waste, muck.id
        for each in muck.quantities:
            assert 0 < each.low <= each.likely <= each.high, (muck.id, each.what)
    for id in BLOWN:
        assert "blown" in kind.mucks[id].never or "swept" in kind.mucks[id].never
    assert "wetted" in kind.mucks["conductive"].never


def test_own_hours_and_quantities_take_the_place_of_the_shipped_ones():
    own = (
        b'[[muck]]\nid = "oil"\nhours = { low = 2, likely = 3, high = 4 }\n'
        b"quantities.rags = { low = 1, likely = 2, high = 3 }\n"
    )
    oil = load((("own.toml", own),))["turning_centre"].mucks["oil"]
    assert (oil.hours.low, oil.hours.likely, oil.hours.high) == (2, 3, 4)
    rags = next(each for each in oil.quantities if each.what == "rags or towels")
    assert (rags.low, rags.likely, rags.high) == (1, 2, 3)


@pytest.mark.parametrize(
    ("own", "said"),
    [
        (b"quantities.rags = { low = 5, likely = 2, high = 3 }", "not in order"),
        (b"quantities.rags = { low = 5, most = 9 }", "unknown key"),
        (b"hours = 3", "expected a table"),
    ],
)
def test_a_quantity_that_cannot_be_is_named(own, said):
    with pytest.raises(Unusable) as refused:
        load((("own.toml", b'[[muck]]\nid = "oil"\n' + own + b"\n"),))
    assert any(said in one.what for one in refused.value.problems)
