"""The table of guards: every kind has its own, and each says what proves it."""

from __future__ import annotations

import pytest
from tests.library import load

from retrue.base.refusals import Unusable
from retrue.kinds.load import load_from, shipped

KINDS = load()
every_kind = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
ABOUT_GUARDS = {
    "vertical_machining_centre": {"F101", "F102", "F97", "F85", "F33"},
    "turning_centre": {"F101", "F102", "F97", "F85", "F33", "F77"},
    "milling_machine": {"F97", "F85"},
    "surface_grinder": {"F97", "F85", "G6"},
}  # faults of guards and interlocks; common practice, no source


@every_kind
def test_what_every_such_machine_has_is_never_optional(kind):
    always = {one.id for one in kind.guards.values() if not one.optional}
    assert {"emergency_stop", "cabinet_switch"} <= always
    if "enclosure" in kind.places:
        assert {"door_interlock", "window"} <= always
    assert ("wheel_guard" in always) == (kind.id == "surface_grinder")
    assert ("chuck_clamped" in always) == (kind.id == "turning_centre")


@every_kind
def test_every_fault_of_a_guard_is_named_by_one(kind):
    named = {fault for one in kind.guards.values() for fault in one.faults}
    assert ABOUT_GUARDS[kind.id] <= named


@every_kind
def test_each_says_what_proves_it_with_a_caution_before_and_its_mark(kind):
    for one in kind.guards.values():
        assert one.how.endswith("."), one.id
        assert one.cautions, one.id
        assert one.place in kind.places, one.id
        assert "no source" in one.mark, one.id


@every_kind
def test_an_interlock_is_opened_at_idle_or_slow_axis_and_nothing_is_done_live(kind):
    for one in kind.guards.values():
        if "channels" in one.how:
            assert "at idle" in one.how, one.id
        told = one.how.lower()
        assert not any(word in told for word in ("bridge it", "measure", "volt", "probe")), one.id


def test_a_guard_that_names_what_its_kind_has_not_is_refused_by_name():
    own = b"""
[[guard]]
id = "bell"
name = "Bell"
kinds = ["turning_centre"]
place = "belfry"
faults = ["F999"]
how = "It rings."
mark = "judgement"
"""
    with pytest.raises(Unusable) as refused:
        load_from((*shipped(), ("guards.toml", own)))
    told = " ".join(str(one) for one in refused.value.problems)
    assert "belfry" in told
    assert "F999" in told
