from __future__ import annotations

import pytest
from tests.library import load

from retrue.base.refusals import Unknown
from retrue.cases.walking import ROUND, place_of, walking_order

KINDS = load()


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_every_check_of_every_kind_has_a_place_of_that_kind_and_is_walked_once(kind):
    looks = walking_order(kind, reversed(list(kind.checks)))
    assert sorted(look.check for look in looks) == sorted(kind.checks)
    assert all(look.place in kind.places for look in looks)
    places = list(dict.fromkeys(look.place for look in looks))
    assert len(places) == len({look.place for look in looks})  # nobody walks back
    named = [place for place in places if place in ROUND]
    assert named == sorted(named, key=ROUND.index)


def test_a_look_is_where_a_visitor_would_look():
    """Common practice, no source."""
    kind = KINDS["vertical_machining_centre"]
    expected = {
        "C43": "outside",
        "C131": "foundation",
        "C04": "enclosure",
        "C28": "cabinet",
        "C22": "spindle_head",
        "C23": "axis_x",
        "C39": "tank",
        "C13": "lube_unit",
    }
    assert {check: place_of(kind, kind.checks[check]) for check in expected} == expected
    assert [look.check for look in walking_order(kind, expected)] == [
        "C43",
        "C131",
        "C04",
        "C28",
        "C22",
        "C23",
        "C13",
        "C39",
    ]


def test_the_order_asked_for_does_not_matter():
    kind = KINDS["turning_centre"]
    checks = list(kind.checks)
    assert walking_order(kind, checks) == walking_order(kind, checks[::-1])
    assert walking_order(kind, [*checks, *checks]) == walking_order(kind, checks)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_a_look_with_a_hazard_has_a_caution_that_defers(kind):
    for look in walking_order(kind, kind.checks):
        if look.hazard:
            assert look.cautions
            assert all("local code and licensed practice" in text for text in look.cautions)


def test_a_measure_says_what_is_read_and_its_unit():
    kind = KINDS["vertical_machining_centre"]
    (look,) = walking_order(kind, ["C31"])
    assert look.answers == "measure"
    assert [reading.unit for reading in look.readings] == ["megohm"]


def test_every_look_that_the_kind_lacks_is_named():
    with pytest.raises(Unknown) as refusal:
        walking_order(KINDS["turning_centre"], ["C28", "C999", "C998"])
    assert [problem.where for problem in refusal.value.problems] == ["C999", "C998"]
