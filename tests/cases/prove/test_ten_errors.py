"""A machine with ten errors at once: each is found, and the remedies in order bring it inside."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.cases.prove.kinematics import Bar, Machine, circle_rows

from retrue.cases.prove.circle_words import Axes, name_of
from retrue.cases.prove.deed import deed, options_of
from retrue.cases.prove.proof import Conditions, Limit, Proof
from retrue.cases.prove.table import read_table

# Ten errors of the machine; the eleventh, where the bar stands, is the owner's own.
TEN = Machine(
    scale_x=35, scale_y=-20, squareness=45, lost_x=7, lost_y=-3, lag_x=1.3, lag_y=0.9, side_y=3,
    bow_x=4, cyclic_x=2, pitch_mm=10, stick_0=6, stick_feed=2000, bow_radius_mm=100,
)  # fmt: skip
BARS = tuple(
    Bar(radius_mm=100, feed_mm_min=feed, centre_x=8, centre_y=-6, points=720, noise=0.4)
    for feed in (500.0, 2000.0)
)
TRUE = {
    "scale_mismatch": 55, "squareness": 45, "reversal_x": 7, "reversal_y": -3, "lag_mismatch": 0.4,
    "lateral_play_x": 0, "lateral_play_y": 3, "straightness_x": 4, "straightness_y": 0,
    "cyclic_x": 2, "spike_0": 6, "spike_90": 0, "spike_180": 0, "spike_270": 0, "centre_x": 8,
    "centre_y": -6,
}  # fmt: skip
LIMIT_UM = 6.0


def chance(*key: int) -> np.random.Generator:
    return np.random.Generator(np.random.Philox(list(key) if len(key) == 2 else key[0]))


def run(machine: Machine, seed: int) -> Proof:
    """Both feeds, both directions, judged as the command would judge the file."""
    test = deed("circle")
    table = read_table(circle_rows(machine, BARS, chance(seed)), "ten.csv")
    conditions = Conditions(limit=Limit(value=LIMIT_UM))
    return test.prove(table, options_of(test, {"pitch_mm": "10"}), conditions)


def causes(proof: Proof) -> dict[str, tuple[float, float]]:
    """Value and standard uncertainty by id."""
    return {c["id"]: (c["value"], c["standard_uncertainty"]) for c in proof.more["causes"]}


def test_each_of_ten_errors_is_found_within_its_stated_uncertainty():
    """Truth by exact kinematics; the noise of this seed is one of the nineteen of twenty."""
    seen = causes(run(TEN, 8))
    for id, true in TRUE.items():
        value, doubt = seen[id]
        assert abs(value - true) <= 2 * doubt + 0.01, (id, value, true, doubt)


def test_the_stated_uncertainty_holds_over_forty_measurements_of_that_machine():
    inside = []
    for seed in range(100, 140):
        seen = causes(run(TEN, seed))
        inside += [abs(seen[id][0] - true) <= 2 * seen[id][1] for id, true in TRUE.items()]
    assert np.mean(inside) >= 0.93


def mended(machine: Machine, id: str, value: float) -> Machine:
    """What the hand does after a remedy: the amount that was found is taken out."""
    now = {
        "lateral_play_x": {"side_x": machine.side_x - value},
        "lateral_play_y": {"side_y": machine.side_y - value},
        "lag_mismatch": {"lag_x": machine.lag_x - value},
        "reversal_x": {"lost_x": machine.lost_x - value},
        "reversal_y": {"lost_y": machine.lost_y - value},
        "squareness": {"squareness": machine.squareness - value},
        "scale_mismatch": {
            "scale_x": machine.scale_x - value / 2,
            "scale_y": machine.scale_y + value / 2,
        },
        "straightness_x": {"bow_x": machine.bow_x - value},
        "cyclic_x": {"cyclic_x": machine.cyclic_x - value},
        "spike_0": {"stick_0": machine.stick_0 - value},
    }
    return replace(machine, **now[id])


def test_following_the_remedies_in_order_brings_the_reading_inside_its_limit():
    first = run(TEN, 8)
    assert first.verdict is not None
    assert first.verdict.ruling == "proved_bad"
    names = {name_of(id, Axes("X", "Y")): id for id in TRUE}
    machine, order = TEN, []
    for move, promised in zip(first.remedy, first.then_read, strict=True):
        assert move.text
        named = [id for name, id in names.items() if promised.where.endswith(f"{name} is cured")]
        if not named:
            assert promised.where.startswith("indicator, backlash")
            continue
        order.append(named[0])
        machine = mended(machine, named[0], causes(first)[named[0]][0])
        again = run(machine, 200 + len(order))
        read = again.quantities[0].value
        assert read is not None
        assert read == pytest.approx(promised.value, abs=1.0), promised.where
    last = run(machine, 300)
    assert last.verdict is not None
    assert last.verdict.ruling == "proved_good"
    assert last.remedy == ()
    assert last.more["causes"]
    assert order.index("lateral_play_y") < order.index("lag_mismatch") < order.index("reversal_x")
    assert order.index("reversal_x") < order.index("squareness") < order.index("scale_mismatch")


def test_a_remedy_with_the_wrong_sign_leaves_the_reading_outside():
    """Signs: entering what was found with the opposite sign makes it worse."""
    first = run(TEN, 8)
    assert first.quantities[0].value is not None
    for id in ("reversal_x", "squareness", "scale_mismatch", "lag_mismatch"):
        value = causes(first)[id][0]
        right, wrong = run(mended(TEN, id, value), 21), run(mended(TEN, id, -value), 21)
        assert right.quantities[0].value is not None
        assert wrong.quantities[0].value is not None
        assert right.quantities[0].value < wrong.quantities[0].value, id
