"""The practice machine answers with the chances the belief uses."""

import numpy as np
from tests.cases.lots import kinds, looked_at, lot

from retrue.belief.posterior import update
from retrue.cases.evidence import evidence
from retrue.cases.network import build
from retrue.cases.practice import answer, hidden_truth


def test_the_belief_is_calibrated_on_hidden_truths():
    """Among truths from the shares themselves, what is believed p is true p of the time.

    Standardised sum over 60 lots of (truth - belief), within 4 standard errors, for all faults
    together and for those believed likely.
    """
    gaps, spread, likely, likely_spread = 0.0, 0.0, 0.0, 0.0
    for seed in range(60):
        chance = np.random.Generator(np.random.Philox(seed))
        case = looked_at(lot("A"), 12, seed)
        built = build(case, kinds())
        truth = hidden_truth(built, chance)  # the same first numbers as inside looked_at
        believed = update(built.network, evidence(case, built)[0]).marginal
        faults = slice(built.network.roots, None)
        p, t = believed[faults], truth[faults]
        gaps += float((t - p).sum())
        spread += float((p * (1 - p)).sum())
        often = p > 0.5
        likely += float((t - p)[often].sum())
        likely_spread += float((p * (1 - p))[often].sum())
    assert spread > 100
    assert abs(gaps) < 8 * spread**0.5  # faults of one machine lean together: twice the 4 errors
    assert abs(likely) < 8 * likely_spread**0.5


def test_a_measure_read_by_oneself_comes_as_a_number():
    built = build(lot("A"), kinds())
    chance = np.random.Generator(np.random.Philox(3))
    truth = hidden_truth(built, chance)
    finding = answer(built, truth, "A", "C31", "visit_dead", chance)
    assert finding.measure == "M07"
    assert finding.reading is not None
    assert finding.reading > 0
    assert finding.grade == 4
    told = answer(built, truth, "A", "C15", "call", chance, informant="seller")
    assert told.reading is None
    assert told.grade == 0


def test_faults_show_worse_numbers():
    built = build(lot("A"), kinds())
    truth = np.zeros(len(built.network.names), dtype=bool)
    wet = truth.copy()
    wet[built.faults["A", "F14"]] = True
    chance = np.random.Generator(np.random.Philox(4))

    def median(state: np.ndarray) -> float:
        read = [answer(built, state, "A", "C31", "apart", chance).reading for _ in range(200)]
        return float(np.median([r for r in read if r is not None]))

    assert median(wet) < median(truth) / 10
