"""Nothing is closed or switched on over a danger nobody has looked for."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.cases.fix.bare import bare, need_of
from tests.cases.priced import found, kinds, lot

from retrue.cases.case import Kept
from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.lines import Card
from retrue.cases.fix.looks_first import look_to_make, looks_first
from retrue.cases.fix.states import with_states
from retrue.cases.fix.tonight import Here, tonight_of
from retrue.cases.wake.closed import clearing_looks

BRIDGED = "F85"  # stops and interlocks bridged


def stood(*findings: Kept) -> tuple[Here, dict[str, Card]]:
    """The mill with everything done but what nobody has seen, and the closing of its cabinet."""
    kept, need = need_of(lot(*findings, machines=("mill",)), "mill")
    made = cards_of(kept, need)
    closing = {"close:cabinet", "J20"}
    told = [one if one.chance < 1 and one.faults else replace(one, state="done")
            for one in made.cards if one.key not in closing]  # fmt: skip
    told += [one for one in made.cards if one.key in closing]
    states = with_states(told, kept, need)
    mill = kept.machine("mill")
    here = Here(kept=kept, machine=mill, cards=replace(made, cards=states))
    return here, {one.key: one for one in states}


def looked(*faults: str) -> tuple[Kept, ...]:
    kind = kinds()["vertical_machining_centre"]
    looks = dict.fromkeys(look for fault in faults for look in clearing_looks(kind, fault))
    return tuple(found(f"seen-{one}", "mill", check=one, answer="not_seen", channel="apart")
                 for one in looks)  # fmt: skip


def test_a_cabinet_is_not_closed_before_somebody_looked_for_what_is_bridged():
    here, made = stood()
    shut = made["close:cabinet"]
    assert shut.state == "not_yet"
    assert shut.state_why.startswith("look first, and keep what you see: ")
    assert BRIDGED in {card.faults[0] for card, _ in looks_first(shut, made, here.machine)}
    told = tonight_of((here,), hours=2.0, alone=True, hoist=False)
    assert "close:cabinet" not in [pick.card.key for pick in told.picks]
    assert [one for one in told.not_tonight if one.why.startswith("look first")]


def test_first_power_is_held_by_the_same_looks():
    here, made = stood()
    assert made["J20"].state == "not_yet"
    assert looks_first(replace(made["J20"], under_power=True), made, here.machine)


def test_once_it_was_looked_for_it_may_be_closed():
    before, made = stood()
    first = [card.faults[0] for card, _ in looks_first(made["close:cabinet"], made, before.machine)]
    here, made = stood(*looked(*first))
    assert looks_first(made["close:cabinet"], made, here.machine) == ()
    assert made["close:cabinet"].state == "open"


@pytest.mark.parametrize("fault", ["F06", "F22"])
def test_what_does_not_press_or_shows_only_on_a_running_machine_holds_nothing(fault: str):
    here, made = stood()
    card = next((one for one in made.values() if one.faults == (fault,)), None)
    assert card is not None
    assert look_to_make(card, here.machine) is None


def test_what_is_known_not_to_be_there_holds_nothing():
    kept, need = need_of(bare(), "mill")
    made = {one.key: one for one in cards_of(kept, need).cards}
    assert not [key for key, one in made.items() if looks_first(one, made, kept.machine("mill"))]
