"""Past its limit the sum sets findings aside, says which, and is exact in the others."""

import numpy as np
import pytest
from tests.belief import brute, invented

from retrue.base.chance import uniforms
from retrue.belief.gather import gather
from retrue.belief.looks import look
from retrue.belief.narrow import move
from retrue.belief.network import Network
from retrue.belief.ordering import order
from retrue.belief.posterior import update
from retrue.belief.worlds import draw


def net_of(faults: int) -> Network:
    tables = tuple(np.array(0.1 + 0.02 * i) for i in range(faults))
    return Network(tuple(f"f{i}" for i in range(faults)), np.empty(0), ((),) * faults, tables)


@pytest.mark.parametrize("seed", range(10))
def test_what_is_left_is_believed_exactly(seed: int):
    net, evidence = invented.case(seed, findings=12)
    seen = update(net, evidence, most_cells=150)
    used = [e for e in evidence if e.key not in seen.set_aside]
    marginal, log_evidence = brute.belief(net, used)
    assert seen.marginal == pytest.approx(marginal, abs=1e-11)
    assert seen.log_evidence == pytest.approx(log_evidence, abs=1e-11)
    assert seen.set_aside


def test_single_term_findings_are_never_set_aside():
    net, evidence = invented.case(2, findings=12)
    aside = set(update(net, evidence, most_cells=1).set_aside)
    kept = {e.key for e in evidence if hasattr(e, "coefficient") and e.coefficient.shape[1] == 1}
    assert kept
    assert not aside & kept


def test_the_finding_that_moves_least_goes_first():
    net = net_of(4)
    loud = look("loud", "seen", [0, 1, 2, 3], [0.95, 0.9, 0.9, 0.9], 0.001)
    faint = look("faint", "seen", [0, 1, 2, 3], [0.1, 0.1, 0.1, 0.1], 0.5)
    state = gather(net, [loud, faint])
    assert move(state, loud) > move(state, faint) > 0.0
    assert update(net, [loud, faint], most_cells=26).set_aside == ("faint",)


def test_how_far_a_finding_moves_is_what_it_does_alone():
    net = net_of(3)
    seen = look("k", "seen", [0, 1, 2], [0.9, 0.5, 0.2], 0.1)
    before, after = update(net, []).marginal, update(net, [seen]).marginal
    assert move(gather(net, [seen]), seen) == pytest.approx(np.abs(after - before).sum(), abs=1e-13)


def test_worlds_say_too_what_they_left_out():
    net, evidence = invented.case(4, findings=12)
    table = uniforms(1, "w", worlds=50, columns=len(net.names))
    assert draw(net, evidence, table, leaf_cells=1, signed_cells=200).set_aside
    assert draw(net, evidence, table).set_aside == ()


def test_a_chain_is_eliminated_from_its_ends():
    turn = order([0b00011, 0b00110, 0b01100, 0b11000])
    assert turn.widest == 4
    assert turn.cells == 4 * 4 + 2
