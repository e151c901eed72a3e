"""The one next step: each situation gives its own, and some things never happen."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from retrue.cases.onward import next_step, place_of, steps_of
from retrue.cases.onward_facts import (
    Along,
    Apart,
    Bid,
    CardAhead,
    Moving,
    Owing,
    Power,
    Proving,
    Question,
    Seeking,
    Settling,
)
from retrue.cases.onward_path import pages_of, ticks_of

MILL = Along(lot="L", lot_name="school", machine="M", name="mill")
OURS = Bid(outcome="won", ours=True)
KEPT = Apart(kept=9, places=9, ticks=(0, 6))
HERE = replace(MILL, bid=OURS, move=Moving(here=True), apart=KEPT)
SHUT = Power(stage="P1-V", title="Control power", state="closed", stages=11,
             wants=("C31", "Insulation of the spindle motor", ""), wanting=2)  # fmt: skip
CARD = CardAhead(key="J05", title="Oil the ways", hours=0.5, why="they are dry", cards=12)
ASKED = Question(check="C12", text="Does the cabinet smell", machine="mill", channel="call",
                 worth=420.0, costs=15.0)  # fmt: skip
PRICED = Bid(reckoned=True, walk_away=7000.0)

SITUATIONS: dict[str, tuple[Along, str, str]] = {
    "nothing was reckoned": (MILL, "price", "/lots/L"),
    "photographs wait": (replace(MILL, bid=replace(PRICED, unjudged=12)), "photographs",
                         "/lots/L/pictures/next"),
    "a question is worth asking": (replace(MILL, bid=replace(PRICED, question=ASKED)), "question",
                                   "/lots/L/call"),
    "a visit is": (replace(MILL, bid=replace(PRICED, visit=(900.0, 200.0))), "visit",
                   "/lots/L/visit"),
    "it is worth nothing": (replace(MILL, bid=replace(PRICED, walk_away=0.0)), "let_go",
                            "/lots/L/costs"),
    "something is to be cleared": (
        replace(MILL, bid=replace(PRICED, clear_first=(("title", "whose is it"),))), "clear",
        "/lots/L/freeze"),
    "nothing is left to ask": (replace(MILL, bid=PRICED), "freeze", "/lots/L/freeze"),
    "the sale is tomorrow": (
        replace(MILL, bid=replace(PRICED, question=ASKED, closes_on="2026-11-27", days_left=1)),
        "freeze", "/lots/L/freeze"),
    "the sale is over": (
        replace(MILL, bid=replace(PRICED, closes_on="2026-11-20", days_left=-5)), "outcome",
        "/lots/L/freeze"),
    "it was frozen": (replace(MILL, bid=replace(PRICED, frozen=Decimal(7000))), "bid",
                      "/lots/L/freeze"),
    "won, a number is missing": (
        replace(MILL, bid=OURS, move=Moving(lacking=("lift", "its mass", "Weigh it."),
                                            unsaved=(("parameters", "parameters"),))),
        "number", "/lots/L/machines/M/move/lift"),
    "won, the data is not saved": (
        replace(MILL, bid=OURS, move=Moving(unsaved=(("parameters", "parameters"),),
                                            step=("drained", "Drained"))),
        "data", "/lots/L/machines/M/move/data#parameters"),
    "won, the next step": (
        replace(MILL, bid=OURS, move=Moving(step=("drained", "Drained"))), "move",
        "/lots/L/machines/M/move#steps"),
    "won, all is done": (replace(MILL, bid=OURS), "arrival", "/lots/L/machines/M/arrival"),
    "came, nobody looked": (
        replace(HERE, move=Moving(here=True, came_on="2026-11-20", damage="not_looked")),
        "arrival", "/lots/L/machines/M/arrival#front"),
    "damage, its day is near": (
        replace(HERE, move=Moving(here=True, damage="hidden", damage_left=2, damage_words="Day.")),
        "damage", "/lots/L/machines/M/arrival#note"),
    "a round is late": (replace(HERE, move=Moving(here=True, resting=True, round_left=-4)),
                        "round", "/lots/L/machines/M/rest#rounds"),
    "the first night": (replace(HERE, apart=Apart(ticks=(3, 6), tick_words="Head propped")),
                        "night", "/lots/L/machines/M/strip/night#safe"),
    "a place is not kept as found": (
        replace(HERE, apart=Apart(open_place=("cabinet", "Cabinet", "A01", "its door"), kept=2,
                                  places=9)),
        "as_found", "/lots/L/machines/M/strip/places/cabinet#A01"),
    "a trouble": (replace(HERE, seek=Seeking(trouble="T", title="It hums", open=1, told=1),
                          card=CARD), "check", "/lots/L/machines/M/find/T"),
    "its cause was opened": (
        replace(HERE, seek=Seeking(found="F36", found_name="Screw worn", open=1, told=1),
                card=CARD), "way", "/lots/L/machines/M/fix/faults/F36"),
    "a card": (replace(HERE, card=CARD, power=SHUT), "card", "/lots/L/machines/M/fix/cards/J05"),
    "something is late": (
        replace(HERE, card=CARD, owing=Owing(out="O", what="motor", whom="winder", state="late",
                                             days_late=3)), "owed", "/fix/waiting/O"),
    "first power is closed": (replace(HERE, power=SHUT), "closed", "/lots/L/machines/M/looks/C31"),
    "something is not back": (
        replace(HERE, power=replace(SHUT, wants=("back", "3 are off", ""))), "closed",
        "/lots/L/machines/M/strip/remaining"),
    "a stage is open": (
        replace(HERE, card=CARD, power=replace(SHUT, state="open", wants=None, begun=True,
                                               alone=False, who="electrician")),
        "stage", "/lots/L/machines/M/wake/stages/P1-V#begin"),
    "a watch runs": (replace(HERE, card=CARD, power=replace(SHUT, watch="W")), "watch",
                     "/lots/L/machines/M/wake/watch/W"),
    "all signed, level first": (
        replace(HERE, power=Power(signed=11, stages=11), prove=Proving(
            test="level", name="Level", level="The level has not been measured yet.", daily=5)),
        "measure", "/lots/L/machines/M/measure/level/new"),
    "all signed, a card was begun before": (
        replace(HERE, power=Power(signed=11, stages=11), card=replace(CARD, begun=True),
                prove=Proving(test="level", name="Level", daily=5)),
        "measure", "/lots/L/machines/M/measure/level/new"),
    "the daily five have spoken, a card is open": (
        replace(HERE, power=Power(signed=11, stages=11), card=CARD,
                prove=Proving(test="level", name="Level", daily=5, daily_judged=5, bad=1)),
        "card", "/lots/L/machines/M/fix/cards/J05"),
    "a set goes on": (
        replace(HERE, power=Power(signed=11, stages=11),
                prove=Proving(test="sweep", name="Sweep", set="S", daily=5, daily_judged=1)),
        "measure", "/sets/S"),
    "all is measured": (
        replace(HERE, power=Power(signed=11, stages=11),
                prove=Proving(test="circle", name="Circle", daily=5, daily_judged=5)),
        "close", "/lots/L/machines/M/settle/close"),
    "an offer waits": (
        replace(HERE, card=CARD, settle=Settling(offer=("o", "a school", Decimal(5200), "EUR"))),
        "offer", "/lots/L/machines/M/settle/sell#offers"),
    "to be sold as found, its record is shut": (
        replace(HERE, card=replace(CARD, aim="sell_as_found"),
                settle=Settling(blocked=("Door interlock", 2))), "record",
        "/lots/L/machines/M/settle/record"),
    "to be sold as found": (replace(HERE, card=replace(CARD, aim="sell_as_found")), "list",
                            "/lots/L/machines/M/settle/sell#list"),
    "sold, something was promised": (
        replace(HERE, settle=Settling(sold=True, promise=("the manual", "a school", ""))),
        "promise", "/lots/L/machines/M/settle/after#promises"),
    "sold": (replace(HERE, settle=Settling(sold=True)), "close",
             "/lots/L/machines/M/settle/close"),
}  # fmt: skip


@pytest.mark.parametrize("situation", SITUATIONS)
def test_each_situation_has_its_step(situation: str) -> None:
    along, sort, path = SITUATIONS[situation]
    step = next_step(along)
    assert step is not None
    assert (step.sort, step.path) == (sort, path)
    assert step.act
    assert step.button


@pytest.mark.parametrize(
    "along",
    [
        replace(HERE, settle=Settling(closed=True)),
        replace(MILL, bid=Bid(outcome="lost")),
        replace(HERE, bid=Bid(outcome="walked")),
    ],
)
def test_what_is_over_has_none(along: Along) -> None:
    assert next_step(along) is None
    assert place_of(along) > place_of(MILL)


def test_it_says_what_it_costs_and_who_is_needed() -> None:
    helped = replace(HERE, card=replace(CARD, people=2, hoist=True))
    step = next_step(helped)
    assert step is not None
    assert (step.minutes, step.hands) == (30.0, "2 pairs of hands, the hoist")
    asked = next_step(replace(MILL, bid=replace(PRICED, question=ASKED)))
    assert asked is not None
    assert (asked.money, asked.gains, asked.currency) == (15.0, 420.0, "EUR")


def alongs() -> st.SearchStrategy[Along]:
    """Machines in any state, also such as nobody would bring about."""
    bids = st.builds(
        Bid, outcome=st.sampled_from(("", "won", "lost", "walked")), ours=st.booleans(),
        reckoned=st.booleans(), walk_away=st.sampled_from((None, 0.0, 7000.0)),
        question=st.sampled_from((None, ASKED)), days_left=st.sampled_from((None, -3, 0, 2, 30)),
        frozen=st.sampled_from((None, Decimal(7000))), unjudged=st.sampled_from((0, 4)),
    )  # fmt: skip
    moving = st.builds(
        Moving, here=st.booleans(), damage_left=st.sampled_from((None, -2, 1, 20)),
        round_left=st.sampled_from((None, -9, 2)), step=st.sampled_from((None, ("tied", "Tied"))),
    )  # fmt: skip
    powers = st.builds(
        Power, watch=st.sampled_from(("", "W")), stage=st.just("P1-V"), title=st.just("Power"),
        state=st.sampled_from(("", "open", "begun", "closed", "aborted", "strip")),
        begun=st.booleans(), wants=st.sampled_from((None, ("C31", "Insulation", ""))),
        stages=st.just(11),
    )  # fmt: skip
    seeks = st.sampled_from(
        (Seeking(), Seeking(trouble="T", title="Smoke", means_off=True, open=1, told=1),
         Seeking(trouble="T", title="Hum", open=1, told=2))
    )  # fmt: skip
    settled = st.builds(
        Settling, sold=st.booleans(), closed=st.booleans(),
        offer=st.sampled_from((None, ("o", "a school", Decimal(1), "EUR"))),
    )  # fmt: skip
    owing = st.sampled_from((Owing(), Owing(out="O", what="motor", whom="w", state="late",
                                            days_late=3)))  # fmt: skip
    return st.builds(
        Along, lot=st.just("L"), lot_name=st.just("school"), machine=st.just("M"),
        name=st.just("mill"), bid=bids, move=moving, power=powers, seek=seeks, settle=settled,
        owing=owing, card=st.sampled_from((CardAhead(), CARD)), apart=st.sampled_from((KEPT,)),
    )  # fmt: skip


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(alongs())
def test_never_a_shut_page_never_work_at_what_is_sold_and_a_stop_outranks(along: Along) -> None:
    steps = steps_of(along)
    first = next_step(along)
    assert first == (steps[0] if steps else None)
    gone = along.settle.closed or along.bid.outcome in ("lost", "walked")
    assert bool(steps) is not gone
    if first is None:
        return
    if along.settle.sold:
        assert first.phase == 7, "only money and promises are left of a machine that is sold"
        return
    if along.power.watch:
        assert first.sort == "watch"
    elif along.seek.means_off:
        assert first.sort == "off"
    elif along.power.state in ("aborted", "strip"):
        assert first.phase == 5
    shut = along.power.wants is not None or not along.power.state
    assert not (shut and first.path.endswith(("#begin", "#read"))), "a stage that is shut"
    assert first.path.startswith(("/lots/L", "/fix/waiting/", "/sets/"))
    assert sum(tick.here for tick in ticks_of(along, first)) == 1
    assert len({page.path for page in pages_of(along)}) == len(pages_of(along))


def test_the_plan_breaks_ties_and_what_is_late_goes_before() -> None:
    second = replace(HERE, machine="N", card=replace(CARD, rank=3))
    first = replace(HERE, machine="O", card=replace(CARD, rank=1))
    out = Owing(out="O", what="motor", whom="w", state="late", days_late=1)
    late = replace(HERE, machine="P", card=replace(CARD, rank=9), owing=out)
    unplanned = replace(HERE, machine="Q", card=CARD)
    ordered = sorted((second, unplanned, first, late), key=place_of)
    assert [one.machine for one in ordered] == ["P", "O", "N", "Q"]


@pytest.mark.parametrize(
    ("bid", "words"),
    [
        (Bid(), "not reckoned yet"),
        (Bid(reckoned=True, walk_away=9100.0), "not above €\u202f9\u202f100"),
        (Bid(reckoned=True, walk_away=0.0), "do not bid"),
        (
            Bid(frozen=Decimal(10900), reckoned=True, walk_away=9100.0),
            "frozen at €\u202f10\u202f900",
        ),
        (Bid(frozen=Decimal(0), reckoned=True, walk_away=500.0), "do not bid"),
        (Bid(frozen=Decimal(10900), ours=True), "frozen at €\u202f10\u202f900"),
        (Bid(ours=True), "it is yours"),
        (OURS, "won"),
    ],
)
def test_what_is_done_is_never_said_to_be_not_reckoned(bid: Bid, words: str) -> None:
    assert pages_of(replace(MILL, bid=bid))[0].words == words


@pytest.mark.parametrize(
    "bid",
    [
        replace(PRICED, walk_away=0.0),
        replace(PRICED, walk_away=0.0, closes_on="2026-11-27", days_left=1),
        replace(PRICED, frozen=Decimal(0)),
        replace(PRICED, frozen=Decimal(0), closes_on="2026-11-27", days_left=1),
    ],
)
def test_where_no_bid_is_left_nobody_is_told_to_bid_nothing(bid: Bid) -> None:
    for told in steps_of(replace(MILL, bid=bid)):
        assert "€" not in told.act
        assert told.sort in ("let_go", "bid")
        assert told.sort == "let_go" or told.act.startswith("Do not bid")


def test_a_page_is_called_as_its_own_title_says() -> None:
    names = [page.name for page in pages_of(HERE)]
    for title in ("What to pay", "Move and place", "As found and apart", "Fault-finding",
                  "What to do", "First power", "Measure"):  # fmt: skip
        assert names.count(title) == 1, title


def test_the_path_says_where_it_stands_and_what_is_shut_and_why() -> None:
    along = replace(HERE, power=SHUT)
    ticks = ticks_of(along, next_step(along))
    assert [tick.state for tick in ticks][:3] == ["done", "done", "done"]
    assert (ticks[5].state, ticks[5].here) == ("shut", True)
    assert ticks[5].why == "Insulation of the spindle motor"
