"""What was done and tried, against counting every way it could have been.

The oracle draws nothing and shares no code with the sums: it lists faults, who is behind the
trouble, an unlisted cause and the luck of every act, and weighs each by what was seen.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.library import load

from retrue.base.chance import uniforms
from retrue.belief.posterior import update
from retrue.belief.worlds import draw
from retrue.cases.case import Happened, Kept, LotCase
from retrue.cases.evidence import evidence
from retrue.cases.network import CaseNetwork, build
from retrue.kinds.library import Kind
from retrue.records.facts import Finding, Lot, Machine, Shop, Terms
from retrue.records.seeking import Act, Hunch, Signed, Trial, Trouble

FAULTS = ("F01", "F06", "F16")
LOOKS = ("C20", "C47", "C21")


@pytest.fixture(scope="module", name="kind")
def small() -> Kind:
    return small_kind()


@cache
def small_kind() -> Kind:
    whole = load(only=("vertical_machining_centre",))["vertical_machining_centre"]
    checks = {
        id: replace(
            whole.checks[id],
            links={f: x for f, x in whole.checks[id].links.items() if f in FAULTS},
            measures=(),
            answers="yes_no",
        )
        for id in (*LOOKS, "C48")
    }
    faults = {id: whole.faults[id] for id in FAULTS}
    return replace(whole, faults=faults, checks=checks)


def case_of(story) -> LotCase:
    """A story: looks as (check, answer), everything else as events, in order."""
    findings, happened = [], []
    for number, one in enumerate(story):
        if isinstance(one, tuple):
            found = Finding(lot="a", machine="A", check=one[0], answer=one[1], grade=3,
                            channel="running")  # fmt: skip
            findings.append(Kept(id=f"f{number}", finding=found))
        else:
            id = "T" if isinstance(one, Trouble) else f"e{number}"
            happened.append(Happened(id=id, event=one, place=len(findings)))
    machine = Machine(lot="a", name="A", kind="vertical_machining_centre")
    return LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(machine,),
                   findings=tuple(findings), happened=tuple(happened))  # fmt: skip


def joint(built: CaseNetwork) -> dict[tuple[int, ...], float]:
    """P(faults), past lives summed out."""
    plain = built.strands.plain
    rows = [built.faults["A", fault] - plain.roots for fault in FAULTS]
    found: dict[tuple[int, ...], float] = dict.fromkeys(product((0, 1), repeat=3), 0.0)
    needed = sorted({p for row in rows for p in plain.parents[row]})
    for lives in product((0, 1), repeat=len(needed)):
        value = dict(zip(needed, lives, strict=True))
        weight = np.prod([plain.root_prior[p] if v else 1 - plain.root_prior[p]
                          for p, v in value.items()])  # fmt: skip
        share = [plain.tables[row][tuple(value[p] for p in plain.parents[row])] for row in rows]
        for faults in found:
            found[faults] += weight * np.prod(
                [s if f else 1 - s for f, s in zip(faults, share, strict=True)]
            )
    return found


def counted(built: CaseNetwork, kind: Kind, story) -> tuple[dict[str, float], dict[str, float]]:
    """Chance that each fault is there now, and that each is behind the trouble now."""
    said = kind.symptoms["Y01"]
    acts = [one for one in story if isinstance(one, Act)]
    now = dict.fromkeys(FAULTS, 0.0)
    behind = dict.fromkeys((*FAULTS, ""), 0.0)
    total = 0.0
    chances = [[min(0.99, cure_of(kind, act, fault)) for fault in (*FAULTS, "")] for act in acts]
    for faults, prior in joint(built).items():
        for active in product((0, 1), repeat=4):
            link = [said.links[f] for f in FAULTS] + [said.leak]
            weight = prior * np.prod([x if a else 1 - x for a, x in zip(active, link, strict=True)])
            for luck in product((0, 1), repeat=4 * len(acts)):
                cured = [luck[4 * n : 4 * n + 4] for n in range(len(acts))]
                one = weight * np.prod(
                    [c if hit else 1 - c for row, hits in zip(chances, cured, strict=True)
                     for c, hit in zip(row, hits, strict=True)]
                )  # fmt: skip
                if one == 0.0:
                    continue
                there = [*faults, 1]
                one *= weighed(kind, story, there, active, cured)
                total += one
                for i, fault in enumerate(FAULTS):
                    now[fault] += one * there[i]
                for i, fault in enumerate((*FAULTS, "")):
                    behind[fault] += one * (there[i] and active[i])
    return (
        {fault: value / total for fault, value in now.items()},
        {fault: value / total for fault, value in behind.items()},
    )


def cure_of(kind: Kind, act: Act, fault: str) -> float:
    if act.sort == "call_for_help":
        return 0.0  # not part of these stories
    ways = {str(w.way): w for w in kind.fixes[str(act.fault)]}
    if fault == act.fault:
        return ways[act.way].cures
    return ways[act.way].cures * ways[act.way].also_cures.get(fault, 0.0)


def weighed(kind: Kind, story, there: list[int], active, cured) -> float:
    """Chance of everything that was seen; ``there`` ends as it is now."""
    said = kind.symptoms["Y01"]
    weight, done = 1.0, 0
    for one in story:
        shown = any(t and a for t, a in zip(there, active, strict=True))
        if isinstance(one, Trouble):
            weight *= shown
        elif isinstance(one, Trial):
            active_now = sum(t and a for t, a in zip(there, active, strict=True))
            weight *= 0.02**active_now if one.passes else shown
        elif isinstance(one, Act):
            for i in range(4):
                there[i] = int(there[i] and not cured[done][i])
            done += 1
        elif isinstance(one, Hunch):
            i = FAULTS.index(one.fault)
            odds = 0.4 * 3 / 0.6
            weight *= odds if there[i] and active[i] else 1.0
        elif isinstance(one, tuple):
            check = kind.checks[one[0]]
            miss = (1 - check.leak) * np.prod(
                [1 - check.links.get(f, 0.0) * t for f, t in zip(FAULTS, there, strict=False)]
            )
            weight *= 1 - miss if one[1] == "seen" else miss
    assert said
    return float(weight)


TOLD = Trouble(lot="a", machine="A", symptom="Y01")
STILL = Trial(lot="a", machine="A", trouble="T", passes=False)
GONE = Trial(lot="a", machine="A", trouble="T", passes=True)


def act(fault: str, way: str) -> Act:
    return Act(lot="a", machine="A", trouble="T", sort="repair", fault=fault, way=way)


def hunch(fault: str) -> Hunch:
    return Hunch(lot="a", machine="A", trouble="T", fault=fault)


STORIES = {
    "told": [TOLD],
    "told after a look": [("C47", "seen"), TOLD],
    "done, and it still does it": [TOLD, act("F06", "replace"), STILL],
    "done, and it is gone": [TOLD, act("F16", "replace"), GONE],
    "looked at before and after": [
        ("C47", "seen"), TOLD, act("F06", "replace"), ("C47", "not_seen"), STILL,
    ],
    "one thing twice": [TOLD, act("F01", "repair"), STILL, act("F01", "local"), STILL,
                        ("C20", "seen")],
    "a hunch": [TOLD, hunch("F16"), ("C21", "not_seen")],
    "done before it was told": [act("F06", "replace"), TOLD, ("C47", "seen")],
}  # fmt: skip


@pytest.mark.parametrize("name", STORIES)
def test_what_happened_is_weighed_as_if_every_way_were_counted(kind, name):
    agree(kind, STORIES[name])


@settings(max_examples=12, deadline=None)
@given(st.data())
def test_any_story_is_weighed_as_if_every_way_were_counted(data):
    ways = [("F06", "replace"), ("F16", "replace"), ("F01", "repair")]
    middle = data.draw(st.lists(st.sampled_from(range(4)), max_size=4))
    story: list = [TOLD]
    used = 0
    for turn in middle:
        if turn == 0:
            story.append((data.draw(st.sampled_from(LOOKS)), data.draw(
                st.sampled_from(["seen", "not_seen"]))))  # fmt: skip
        elif turn == 1 and used < 2:
            story.append(act(*data.draw(st.sampled_from(ways))))
            story.append(STILL)
            used += 1
        elif turn == 2:
            story.append(STILL)
    agree(small_kind(), story)


def agree(kind: Kind, story) -> None:
    case = case_of(story)
    built = build(case, {"vertical_machining_centre": kind})
    made, unused = evidence(case, built)
    assert unused == ()
    found = update(built.network, made).marginal
    now, behind = counted(built, kind, deduped(story))
    plain = built.marginal_now(found)
    for fault in FAULTS:
        assert plain[built.faults["A", fault]] == pytest.approx(now[fault], abs=1e-11)
    for one in built.behind("T"):
        share = found[list(one.variables)].sum()
        assert share == pytest.approx(behind[one.fault or ""], abs=1e-11)


def deduped(story) -> list:
    """Of answers to one look with no act between them, the newest."""
    kept: list = []
    for one in story:
        if isinstance(one, tuple):
            since = max((i for i, k in enumerate(kept) if isinstance(k, Act)), default=-1)
            kept = [k for i, k in enumerate(kept)
                    if i < since or not (isinstance(k, tuple) and k[0] == one[0])]  # fmt: skip
        kept.append(one)
    return kept


def test_drawn_worlds_fold_to_what_is_there_now(kind):
    case = case_of([("C47", "seen"), TOLD, act("F06", "replace"), STILL, act("F16", "replace")])
    built = build(case, {"vertical_machining_centre": kind})
    made, _ = evidence(case, built)
    chances = uniforms(3, "strands", worlds=20000, columns=len(built.network.names))
    states = built.there_now(draw(built.network, made, chances).states)
    exact = built.marginal_now(update(built.network, made).marginal)
    assert np.abs(states.mean(axis=1) - exact).max() < 4 * 0.5 / 20000**0.5


def test_gone_by_itself_contradicts_nothing(kind):
    agree(kind, [TOLD, GONE])
    agree(kind, [TOLD, STILL, GONE])


def test_nothing_happened_leaves_the_network_as_it_was(kind):
    case = case_of([("C47", "seen"), ("C20", "not_seen")])
    built = build(case, {"vertical_machining_centre": kind})
    assert built.network is built.strands.plain
    signed = case_of([Signed(lot="a", machine="A", stage="running", name="Ann"), ("C47", "seen")])
    built = build(signed, {"vertical_machining_centre": kind})
    assert built.network is built.strands.plain


def test_an_act_on_a_fault_makes_it_rarer_and_a_failed_try_takes_some_of_that_back(kind):
    def share(story):
        case = case_of(story)
        built = build(case, {"vertical_machining_centre": kind})
        made, _ = evidence(case, built)
        now = built.marginal_now(update(built.network, made).marginal)
        return now[built.faults["A", "F06"]]

    told, done = share([TOLD]), share([TOLD, act("F06", "replace")])
    assert done < told
    assert share([TOLD, act("F06", "replace"), STILL]) > done
    assert share([TOLD, act("F06", "replace"), GONE]) < done
