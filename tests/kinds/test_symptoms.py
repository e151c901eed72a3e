"""Symptoms, groups, parts that change places: what fault-finding reads of a kind holds together.

All of it is common practice, no source.
"""

from __future__ import annotations

import pytest
from tests.library import load

from retrue.kinds.library import Kind

KINDS = load()
SMALL = ("milling_machine", "surface_grinder")

every_kind = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)


@pytest.mark.parametrize("kind", [KINDS[name] for name in SMALL], ids=SMALL)
def test_the_small_kinds_are_whole_enough_to_search(kind: Kind) -> None:
    assert len(kind.faults) >= 35
    assert len(kind.checks) >= 40


@every_kind
def test_every_symptom_leads_to_a_fault_and_belongs_to_a_group(kind: Kind) -> None:
    assert len(kind.symptoms) >= 8
    for symptom in kind.symptoms.values():
        assert symptom.links, symptom.id
        assert symptom.check in kind.checks
        assert symptom.group in kind.groups
        assert 0.0 < symptom.shows <= 1.0


@every_kind
def test_every_subsystem_is_proved_in_exactly_one_group(kind: Kind) -> None:
    proved = [one for group in kind.groups.values() for one in group.subsystems]
    assert sorted(proved) == sorted({fault.subsystem for fault in kind.faults.values()})


@every_kind
def test_a_severe_fault_has_a_look_that_shows_it_or_stops_it(kind: Kind) -> None:
    for severe in kind.severe.values():
        shows = kind.checks[severe.check].links.get(severe.fault, 0.0)
        assert shows > 0.2 or severe.fault in kind.stop_cover, severe.fault


@every_kind
def test_what_goes_along_with_a_part_does_not_stay_with_its_slot(kind: Kind) -> None:
    for part in kind.swappable.values():
        assert not set(part.goes_along) & set(part.stays), part.id


def test_there_are_seventy_symptoms() -> None:
    assert len({one for kind in KINDS.values() for one in kind.symptoms}) == 70
