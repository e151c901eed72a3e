"""Cards of a machine: every place opened and closed once, in an order that a hand could follow."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from tests.cases.fix.bare import bare, by_key, cards, need_of
from tests.cases.priced import found, kinds, lot
from tests.library import load

from retrue.cases.fix.belief import belief_of
from retrue.cases.fix.kept import fix_of_case
from retrue.cases.fix.layout import is_late
from retrue.cases.fix.lines import Card, Cards
from retrue.cases.fix.needed import AFTER_PASS
from retrue.cases.fix.places import stuck_chance
from retrue.cases.fix.worlds import drawn_stage
from retrue.cases.prepare import setting_of
from retrue.cases.restoration import Bench
from retrue.cases.work import Workshop
from retrue.records.facts import CostLine, Machine
from retrue.records.fixing import Chosen

LEVELS = ("just_running", "right", "like_new")


def order_of(made: Cards) -> list[str]:
    return [one.key for one in made.cards]


def holds(made: Cards) -> None:
    """What must be so of any list of cards."""
    keys = order_of(made)
    assert len(set(keys)) == len(keys)
    place = {key: at for at, key in enumerate(keys)}
    for card in made.cards:
        assert all(place[wait.card] < place[card.key] for wait in card.waits)
        assert 0 <= card.chance <= 1
        assert 0 <= card.stuck < 1
        assert card.cautions[:1] == ("X01",)
        assert card.hours.low <= card.hours.likely <= card.hours.high
    opened = [key.removeprefix("open:") for key in keys if key.startswith("open:")]
    closed = [key.removeprefix("close:") for key in keys if key.startswith("close:")]
    assert sorted(opened) == sorted(closed)
    first = next(card for card in made.cards if card.title.startswith("First power"))
    for card in made.cards:
        if card.place in opened and card.sort in ("work", "clean", "send") and card.place:
            inside = place[f"open:{card.place}"] < place[card.key]
            late = place[card.key] > place[first.key]
            assert inside
            assert late or place[card.key] < place[f"close:{card.place}"]
        if card.urgency in ("STOP", "MUST") and card.place != "foundation":
            assert place[card.key] < place[first.key] or comes_late(card, made)
    for at in set(closed) - {"foundation"}:
        assert place[f"close:{at}"] < place[first.key]
    for look in (card for card in made.cards if card.key.startswith("look:") and card.place):
        assert look.key in {wait.card for wait in by_key(made)[f"close:{look.place}"].waits}
        assert look.key in {wait.card for wait in first.waits}


def comes_late(card: Card, made: Cards) -> bool:
    """Whether a rule or a late pass puts the work of a fault after first power."""
    kind = load()[made.kind]
    ruled = {one.of for one in kind.card_rules if one.after}
    late = [job for job in kind.jobs.values() if is_late(kind, job)]
    cured = {fault for job in late for fault, share in job.cures.items() if share > AFTER_PASS}
    return any(f"fault:{one}" in ruled or one in cured for one in card.faults)


def test_the_outside_is_cleaned_before_what_lies_within_is_opened():
    made = cards(lot(), "mill")
    keys, within = order_of(made), ("axis_x", "axis_z", "spindle_head", "changer")
    opened = [one for one in within if f"open:{one}" in keys]
    assert len(opened) >= 3
    for place in opened:
        assert "J02" in {wait.card for wait in by_key(made)[f"open:{place}"].waits}
    assert all(keys.index("J02") < keys.index(f"open:{one}") for one in ("tank", "panel")
               if f"open:{one}" in keys)  # fmt: skip


@pytest.mark.parametrize(("fault", "machine", "job"), [
    ("F47", "mill", "J24"), ("F12", "lathe", "J24"), ("F70", "lathe", "J24"),
    ("F57", "lathe", "J20"),
])  # fmt: skip
def test_what_is_aligned_comes_after_levelling_and_a_pump_is_judged_running(
    fault: str, machine: str, job: str
):
    made = by_key(cards(bare(f"{machine} {fault}"), machine))
    [card] = [one for one in made.values() if fault in one.faults and one.sort == "work"]
    sent = made.get(f"send:{card.key}", card)  # taken out first, where somebody else mends it
    waits = {wait.card for one in (card, sent) for wait in one.waits}
    assert job in waits
    assert any("closed by now" in step.text for step in card.steps)


def test_stored_force_is_held_or_let_off_before_anything_is_loosened():
    springs = by_key(cards(bare("mill F03"), "mill"))
    steps = [step.text for one in springs.values() if "F03" in one.faults for step in one.steps]
    assert any("held in a press" in text for text in steps)
    charge = by_key(cards(bare("lathe F61"), "lathe"))
    first = [one for one in charge.values() if "F61" in one.faults and one.sort == "send"]
    first = first or [one for one in charge.values() if "F61" in one.faults]
    texts = [step.text for step in first[0].steps]
    let_off = next(at for at, text in enumerate(texts) if "gauges at zero" in text)
    out = [at for at, text in enumerate(texts) if text.startswith("Take it out")]
    assert all(let_off < at for at in out)


@pytest.mark.parametrize("level", LEVELS)
def test_every_place_is_opened_once_closed_once_and_power_comes_after_all_that_presses(level: str):
    for machine in ("mill", "lathe"):
        holds(cards(lot(), machine, level))


@pytest.mark.parametrize("kind", ["milling_machine", "surface_grinder"])
def test_small_machines_have_cards_as_well(kind: str):
    library = load()
    case = replace(lot(), machines=(Machine(lot="school", name="small", kind=kind),), needs=(),
                   alternatives=())  # fmt: skip
    holds(cards(case, "small", of=library))


def test_behind_places_open_first_and_close_last():
    made = by_key(cards(bare("mill F16"), "mill"))
    waits = {wait.card for wait in made["open:spindle_motor"].waits}
    assert "open:spindle_head" in waits
    assert "open:enclosure" in {wait.card for wait in made["open:spindle_head"].waits}
    assert "close:spindle_motor" in {wait.card for wait in made["close:spindle_head"].waits}
    lift = made["open:spindle_motor"]
    assert lift.hoist
    assert lift.people == 2
    assert not lift.alone
    assert "X32" in lift.cautions


def test_work_sent_outside_is_taken_out_then_waited_for_then_put_back():
    made = by_key(cards(bare("mill F15"), "mill"))
    [wait] = made["F15:local"].waits
    assert (wait.card, wait.days, wait.part) == ("send:F15:local", 15.0, "F15:local")
    assert made["send:F15:local"].hours == made["F15:local"].hours  # half of the own hours each
    assert made["F15:local"].chance == 1.0


def test_two_faults_in_one_place_share_its_opening_and_its_cleaning():
    one, two = (
        cards(bare(*faults), "mill") for faults in (("mill F06",), ("mill F06", "mill F08"))
    )
    added = set(order_of(two)) - set(order_of(one))
    assert added == {"F08:repair"}


def test_what_the_owner_types_counts_instead_of_the_tables():
    line = CostLine(lot="school", machine="mill", line="F06:replace", amount=Decimal(90),
                    hours=1.5, days=2.0, reason="know the dealer")  # fmt: skip
    made = by_key(cards(replace(bare("mill F06"), cost_lines=(line,)), "mill"))
    belt = made["F06:replace"]
    assert (belt.expected_hours, belt.parts[0].days) == (1.5, 2.0)
    assert (belt.parts[0].money.likely, belt.parts[0].source) == (90.0, "know the dealer")


def test_a_chosen_way_is_the_card_and_living_with_it_is_none():
    def chosen(way: str):
        said = Chosen(lot="school", machine="mill", sort="way", what="F06", way=way)
        return cards(replace(bare("mill F06"), chosen=(said,)), "mill")

    assert "F06:replace" in order_of(chosen("replace"))
    assert not [key for key in order_of(chosen("live_with")) if key.startswith("F06")]


def test_a_machine_that_is_parted_out_has_no_cards():
    said = Chosen(lot="school", machine="mill", sort="aim", way="part_out")
    made = cards(replace(bare("mill F06"), chosen=(said,)), "mill")
    assert made.cards == ()
    assert made.aim == "part_out"


def test_what_is_renewed_and_added_uses_the_same_opening():
    kind = kinds()["vertical_machining_centre"]
    renewal = next(one for one in kind.renewals.values() if one.place == "cabinet")
    extra = next(one for one in kind.upgrades.values() if one.sort == "finish")
    said = tuple(
        Chosen(lot="school", machine="mill", sort=sort, what=what)
        for sort, what in (("renew", renewal.id), ("upgrade", extra.id))
    )
    made = by_key(cards(replace(bare(), chosen=said), "mill"))
    assert "open:cabinet" in {wait.card for wait in made[f"renew:{renewal.id}"].waits}
    assert f"renew:{renewal.id}" in {wait.card for wait in made["close:cabinet"].waits}
    assert not made[f"upgrade:{extra.id}"].good_part


def test_a_stuck_bolt_is_as_likely_as_in_the_runs_of_the_price():
    case = lot(found("dry", None, history="DS", answer="yes", grade=0, channel="call"))
    kept = fix_of_case(case, kinds())
    belief = belief_of(kept, kinds())
    stage = drawn_stage(kept, belief, 7, 20_000)
    mill = kept.machine("mill")
    shop = Workshop(Bench(setting_of(stage, mill.machine, 0.0), stage.drawer))
    lives = {life: p for (name, life), p in belief.lives.items() if name == "mill"}
    for id in ("axis_x", "spindle_head", "cabinet"):
        place = mill.kind.places[id]
        drawn = float((shop.door(place)[2] > 0).mean())
        assert stuck_chance(place, lives) == pytest.approx(drawn, abs=0.012)
    assert stuck_chance(mill.kind.places["axis_x"], {}) == mill.kind.places["axis_x"].stuck_chance


def test_places_that_wait_for_each_other_are_refused_by_name_and_the_rest_is_planned():
    kind = kinds()["vertical_machining_centre"]
    places = dict(kind.places)
    places["tank"] = replace(places["tank"], behind="lube_unit")
    places["lube_unit"] = replace(places["lube_unit"], behind="tank")
    ring = {**kinds(), kind.id: replace(kind, places=places)}
    made = cards(bare("mill F06", "mill F62"), "mill", of=ring)
    told = {one.card: one for one in made.refused}
    assert set(told) == {"open:tank", "F62:repair", "J10", "J11"}
    assert "→" in told["J10"].why
    assert told["J10"].remedy
    assert "F06:replace" in order_of(made)
    assert "J20" in order_of(made)


def test_a_fault_without_any_way_and_a_way_at_no_place_are_refused_by_name():
    kind = kinds()["vertical_machining_centre"]
    fixes = dict(kind.fixes)
    fixes["F06"] = ()
    fixes["F08"] = tuple(replace(fix, opens="attic") for fix in fixes["F08"])
    made = cards(bare("mill F06", "mill F08"), "mill",
                 of={**kinds(), kind.id: replace(kind, fixes=fixes)})  # fmt: skip
    told = {one.card: one for one in made.refused}
    assert set(told) == {"F06", "F08:repair"}
    assert "attic" in told["F08:repair"].why
    assert all(one.remedy for one in told.values())
    assert "J20" in order_of(made)


def test_what_is_unlikely_is_one_card_and_no_hours_are_lost():
    need = need_of(lot(), "mill")[1]
    made = by_key(cards(lot(), "mill"))
    assert need.rare
    assert all(one.chance < 0.05 for one in need.rare)
    expected = sum(one.chance * (one.fix.hours.low + 4 * one.fix.hours.likely
                                 + one.fix.hours.high) / 6 for one in need.rare)  # fmt: skip
    assert made["unseen"].expected_hours == pytest.approx(expected)
    assert np.isclose(sum(c.chance for c in made.values() if c.key == "unseen"), 1.0)
