"""Numbers typed together are read or refused; none is guessed."""

from __future__ import annotations

import pytest

from retrue.base.refusals import Unusable
from retrue.cases.wake.pairs import named, pairs


def test_pairs_and_names_are_read():
    assert pairs("30, 98.1;60,96.4;", field="cooling", what="") == ((30, 98.1), (60, 96.4))
    assert pairs(" ", field="cooling", what="") == ()
    assert named("AC-3 9; door of the cabinet, 0,09", field="points", what="") == (
        ("AC-3", 9), ("door of the cabinet", 0.09)
    )  # fmt: skip


@pytest.mark.parametrize("text", ["30,5, 98,1", "30; 98", "30, 98, 2", "30, x", "30, 98 ohm"])
def test_a_pair_that_may_mean_two_things_is_refused_by_its_field(text: str):
    with pytest.raises(Unusable) as told:
        pairs(text, field="cooling", what="seconds and ohm")
    assert told.value.problems[0].where == "cooling"


@pytest.mark.parametrize("text", ["0.09", "door", "door x", "frame 0.06, door 0.09 ohm"])
def test_a_name_without_its_number_is_refused_by_its_field(text: str):
    with pytest.raises(Unusable) as told:
        named(text, field="points", what="part and ohm")
    assert told.value.problems[0].where == "points"
