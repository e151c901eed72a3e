"""Run-out vectors: spindle and bar told apart, by closed forms and by simulated measurements."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrue.base.chance import stream
from retrue.science.give_or_take import doubt_of
from retrue.science.run_out import (
    high_spot_deg,
    lean_um_per_m,
    run_out_um,
    separate,
    together_um,
    vector_of_readings,
    vector_of_run_out,
)

QUARTERS = np.array([0.0, 90.0, 180.0, 270.0])
PART = st.floats(-30, 30)


def read(spindle, bar, insertions=QUARTERS):
    return spindle + bar * np.exp(1j * np.radians(insertions))


def test_the_spindle_is_the_mean_of_the_vectors_not_of_the_run_outs():
    """Closed form: spindle (2, 1), bar (3, -1.5) at four insertions; rotations cancel."""
    vectors = read(2 + 1j, 3 - 1.5j)
    assert vectors == pytest.approx(np.array([5 - 0.5j, 3.5 + 4j, -1 + 2.5j, 0.5 - 2j]))
    run_outs = [run_out_um(complex(one)) for one in vectors]
    assert run_outs == pytest.approx([10.05, 10.63, 5.385, 4.123], abs=5e-3)
    made = separate(QUARTERS, vectors)
    assert run_out_um(made.spindle) == pytest.approx(4.472, abs=5e-4)
    assert np.mean(run_outs) == pytest.approx(7.547, abs=5e-4)
    assert [together_um(made, turn) for turn in QUARTERS] == pytest.approx(run_outs)


@given(PART, PART, PART, PART, st.floats(1, 359))
@settings(max_examples=30, deadline=None)
def test_two_insertions_are_enough_whatever_their_angle(x, y, u, v, turn):
    insertions = np.array([0.0, turn])
    made = separate(insertions, read(complex(x, y), complex(u, v), insertions))
    assert abs(made.spindle - complex(x, y)) < 1e-6 / np.sin(np.radians(min(turn, 360 - turn)) / 2)


@given(PART, PART, PART, PART, st.floats(0, 360))
@settings(max_examples=30, deadline=None)
def test_another_mark_for_zero_leaves_every_run_out(x, y, u, v, turned):
    turn = np.exp(1j * np.radians(turned))
    vectors = read(complex(x, y), complex(u, v))
    here, there = separate(QUARTERS, vectors), separate(QUARTERS, vectors * turn)
    assert run_out_um(there.spindle) == pytest.approx(run_out_um(here.spindle), abs=1e-9)
    assert run_out_um(there.bar) == pytest.approx(run_out_um(here.bar), abs=1e-9)


def test_the_high_spot_is_where_the_indicator_reads_most():
    marks = np.arange(0, 360, 30.0)
    made = vector_of_readings(marks, 7 + 4 * np.cos(np.radians(marks - 60)))
    assert high_spot_deg(made) == pytest.approx(60.0)
    assert run_out_um(made) == pytest.approx(8.0)
    assert abs(vector_of_run_out(8.0, 60.0) - made) < 1e-9
    assert abs(vector_of_run_out(8.0, 240.0) + made) < 1e-9
    assert high_spot_deg(vector_of_run_out(8.0, 300.0)) == pytest.approx(300.0)


def test_a_bar_turned_the_other_way_is_another_bar():
    """Insertions counted backwards give a wrong bar and a scatter that shows it."""
    vectors = read(2 + 1j, 3 - 1.5j)
    assert separate(QUARTERS, vectors).scatter == pytest.approx(0, abs=1e-9)
    assert separate(-QUARTERS, vectors).scatter > 2


def test_what_cannot_be_told_apart_is_refused():
    with pytest.raises(ValueError, match="one way"):
        separate([0, 360, 0], [1, 1, 1])
    with pytest.raises(ValueError, match="three"):
        vector_of_readings([0, 180, 360], [1, 2, 3])


def test_the_lean_is_the_change_of_the_vector_over_the_length():
    assert lean_um_per_m(2 + 1j, 5 + 5j, 300) == pytest.approx(5 / 0.3)
    assert lean_um_per_m(2 + 1j, 2 + 1j, 300) == 0


def test_two_thousand_measurements_are_as_far_off_as_they_say():
    """Coverage of the components of the spindle's vector; noise of one µm on each component."""
    chance = stream(7, "run-out", "coverage")
    true = read(2 + 1j, 3 - 1.5j)
    noise = chance.normal(size=(2000, 2, 4))
    hits = np.zeros(2)
    for one in noise:
        made = separate(QUARTERS, true + one[0] + 1j * one[1])
        near = doubt_of(made.unit_uncertainty, made.scatter, made.freedom, None)
        hits += [abs(made.spindle.real - 2) <= near, abs(made.spindle.imag - 1) <= near]
    assert ((hits / 2000 >= 0.93) & (hits / 2000 <= 0.97)).all()


@pytest.mark.parametrize("size", [0.0, 1.0, 4.0])
def test_a_run_out_reads_too_large_never_too_small(size):
    """A size is biased upward; what it may be at most holds in 93 cases of 100 and more."""
    chance = stream(7, "run-out", "size", str(size))
    above, found = 0, []
    for one in chance.normal(size=(2000, 2, 4)):
        made = separate(QUARTERS, read(size / 2, 3j) + one[0] + 1j * one[1])
        near = 2 * doubt_of(made.unit_uncertainty, made.scatter, made.freedom, None)
        found.append(run_out_um(made.spindle))
        above += size <= found[-1] + near
    assert np.mean(found) > size
    assert above / 2000 >= 0.93
