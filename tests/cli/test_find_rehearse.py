"""The practice machine at the keyboard: each line an act; at the end the truth and the bills."""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Mapping
from typing import Any

import pytest
from tests.cli.conftest import Door

from retrue.cases.find.policies import Policy, play
from retrue.cases.find.practising import symptom_of
from retrue.cases.find.rehearsal import Rehearsal
from retrue.kinds.library import Kind

Rehearse = Callable[..., Door]
SEED = ("--seed", "3", "--symptom", "Y05")


@pytest.fixture(scope="module")
def played() -> dict[tuple[Any, ...], Rehearsal]:
    return {}


@pytest.fixture
def rehearse(
    call: Callable[..., Door],
    monkeypatch: pytest.MonkeyPatch,
    played: dict[tuple[Any, ...], Rehearsal],
) -> Rehearse:
    """The command; the advice is played to its end once for one hidden machine."""

    def play_once(one: Rehearsal, kinds: Mapping[str, Kind], policy: Policy) -> float:
        key = (one.seed, one.kind.id, one.goal, symptom_of(one), one.truth, one.behind)
        if key not in played:
            play(one, kinds, policy)
            played[key] = one
        vars(one).update(vars(played[key]))
        return one.bill.cost

    monkeypatch.setattr("retrue.cli.find_rehearse.play", play_once)

    def run_it(lines: str, *options: str) -> Door:
        monkeypatch.setattr("sys.stdin", io.StringIO(lines))
        return call("find", "rehearse", *options)

    return run_it


def told(door: Door) -> dict[str, Any]:
    assert door.code == 0, door.err
    answer: dict[str, Any] = json.loads(door.out)
    assert list(answer) == sorted(answer)
    assert answer["schema"] == 1
    return answer


def test_a_script_is_played_to_its_end_and_the_truth_stands_there(rehearse):
    door = rehearse("# a remark\nC124\nF02:local\nagain\nhelp\n", *SEED)
    assert door.code == 0, door.err
    order = ["Bores come out big", "Seen so far:", "It still does it.", "Somebody came"]
    order += ["It is done.", "Behind it was: ", "Your bill: ", "The bill of the advice: "]
    places = [door.out.index(words) for words in order]
    assert places == sorted(places)


def test_the_bill_holds_every_act_and_adds_up(rehearse):
    answer = told(rehearse("C124\nF02:local\nagain\nhelp\nagain\n", *SEED, "--json"))
    lines = answer["bill"]["lines"]
    assert [line["text"] for line in lines] == ["C124", "F02:local", "again", "help"]
    assert answer["bill"]["cost"] == pytest.approx(sum(line["cost"] for line in lines))
    assert answer["met"] is True
    assert len(answer["log"]) == 4, "what stands below the end is not read"


def test_who_knew_everything_pays_less_than_who_calls_somebody_at_once(rehearse):
    truth = told(rehearse("stop\n", *SEED, "--json"))
    called = told(rehearse("help\n", *SEED, "--json"))
    assert truth["bill"]["cost"] == 0
    assert truth["met"] is False
    assert called["met"] is True
    assert truth["least"] < called["bill"]["cost"]
    assert truth["behind"] == called["behind"]


def test_the_same_seed_hides_the_same_machine_another_one_another(rehearse, played):
    one = told(rehearse("stop\n", "--seed", "6", "--json"))
    played.clear()
    assert told(rehearse("stop\n", "--seed", "6", "--json")) == one
    other = told(rehearse("stop\n", "--seed", "12", "--json"))
    assert other["present"] != one["present"]
    wrong = told(rehearse("stop\n", "--seed", "6", "--wrong-priors", "--json"))
    assert wrong["present"] != one["present"]


def test_the_advice_can_be_asked_and_costs_nothing(rehearse):
    answer = told(rehearse("next\nbill\nstop\n", *SEED, "--json"))
    assert "Next: " in answer["log"][0]["told"]
    assert answer["bill"]["cost"] == 0


def test_the_advice_reaches_the_goal_and_pays_for_it(rehearse):
    answer = told(rehearse("stop\n", *SEED, "--json"))
    texts = [line["text"] for line in answer["advice"]["lines"]]
    assert texts
    assert answer["advice"]["cost"] >= answer["least"] * 0.5
    assert any(text == "help" or text.split(":")[0] in answer["behind"] for text in texts)


def test_a_level_is_proved_group_by_group(rehearse):
    lines = "group:wheel\nagain\ngroup:axes\nstop\n"
    options = ("--goal", "just_running", "--kind", "surface_grinder", "--seed", "5", "--json")
    answer = told(rehearse(lines, *options))
    assert answer["goal"] == "just_running"
    assert answer["symptom"] is None
    assert "group by group" in answer["log"][1]["told"]


@pytest.mark.parametrize(
    "line", ["C9999", "F02:weld", "F999:local", "J999", "group:x", "hlep", "swap:x", ":", "\x00"]
)
def test_a_line_that_is_no_step_is_answered_with_what_helps_and_costs_nothing(rehearse, line):
    answer = told(rehearse(f"{line}\nstop\n", *SEED, "--json"))
    assert answer["bill"]["cost"] == 0
    assert len(answer["log"][0]["told"]) > len(line) + 5


def test_no_such_machine_and_no_such_symptom_are_refused(rehearse):
    assert rehearse("", "--kind", "mill").code == 2
    assert rehearse("", "--symptom", "Y999").code == 2
    assert rehearse("", "--seed", "-1").code == 2
    assert rehearse("", "--seed", "x").code == 2


def test_nothing_typed_is_giving_up(rehearse):
    door = rehearse("", *SEED)
    assert door.code == 0
    assert "You stopped before it was done." in door.out
