"""Drift: what it does to a workpiece, and what is said where it has not come to rest."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.cases.prove.deed import deed, options_of, table_from
from retrue.cases.prove.proof import Conditions, flat
from retrue.cases.prove.table import read_table

HOME = Path(__file__).resolve().parents[3]


def proof_of(text, **typed):
    one = deed("drift")
    content = text if isinstance(text, bytes) else text.encode()
    conditions = Conditions(reading_uncertainty=1.0)
    return one.prove(read_table(content, "readings.csv"), options_of(one, typed), conditions)


def warming(rise, minutes, constant=30.0):
    times = np.arange(0, minutes + 1, 5)
    rows = [f"{t * 60},{rise * (1 - np.exp(-t / constant)):.6f}" for t in times]
    return "time_s,value_um\n" + "\n".join(rows)


def value(proof, key):
    return next(q.value for q in proof.quantities if q.key == key)


def test_the_example_tells_of_both_sensors():
    proof = proof_of((HOME / "examples/prove/drift.csv").read_bytes(), distance_mm="200")
    sensors = proof.more["sensors"]
    assert [one["sensor"] for one in sensors] == ["Z", "X"]
    near = {q.key: q.uncertainty for q in proof.quantities}
    assert value(proof, "settled_um") == pytest.approx(24, abs=near["settled_um"])
    assert value(proof, "time_constant_minutes") == pytest.approx(
        35, abs=near["time_constant_minutes"]
    )
    assert proof.more["tilt_range_um_per_m"] > 0


@pytest.mark.parametrize("rise", [20.0, -20.0])
def test_warm_enough_keeps_a_workpiece_within_the_rest(rise):
    proof = proof_of(warming(rise, 240))
    assert value(proof, "settled_um") == pytest.approx(rise, rel=1e-4)
    assert value(proof, "warm_up_minutes") == pytest.approx(30 * np.log(10), rel=1e-4)
    assert abs(proof.then_read[0].value) <= 2.0
    assert np.sign(proof.then_read[0].value) == np.sign(rise)
    assert value(proof, "part_cold_um") == pytest.approx(20 * (1 - np.exp(-20 / 30)), rel=1e-4)


def test_what_has_not_come_to_rest_is_null_with_the_reason():
    proof = proof_of(warming(20.0, 60, constant=600.0))
    told = flat(proof)
    assert told["settled_um"] is None
    assert "rest" in told["why"]["settled_um"]
    assert proof.remedy == ()
    assert proof.warnings


def test_one_reading_does_not_drift():
    with pytest.raises(Unusable, match="one reading"):
        proof_of("time_s,value_um\n0,1\n")


def test_each_degree_is_told_where_it_was_read():
    rows = [f"{t * 60},{1.5 * t:.2f},{20 + t}" for t in range(8)]
    proof = proof_of("time_s,value_um,temperature_c\n" + "\n".join(rows))
    assert value(proof, "um_per_k") == pytest.approx(1.5)
    down = [f"{t * 60},{-1.5 * t:.2f},{20 + t}" for t in range(8)]
    other = proof_of("time_s,value_um,temperature_c\n" + "\n".join(down))
    assert value(other, "um_per_k") == pytest.approx(-1.5)


def test_the_form_goes_on_after_each_reading():
    one = deed("drift")
    options = options_of(one, {"every_minutes": "10", "last_minutes": "120"})
    cells = one.cells(options)
    assert len(cells) == 13
    values = {}
    for index, cell in enumerate(cells):
        values[cell.id] = f"{12 * (1 - np.exp(-index / 3)):.2f}"
        if index:
            proof = one.prove(table_from(one, cells, values), options, Conditions())
            assert proof.headline
    assert value(proof, "settled_um") == pytest.approx(12, rel=0.02)
