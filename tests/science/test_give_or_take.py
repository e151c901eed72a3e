"""How few readings widen a doubt, and which of two doubts counts."""

from __future__ import annotations

import math

import pytest

from retrue.science.give_or_take import doubt_of, expanded


@pytest.mark.parametrize(("freedom", "printed"), [(1, 13.97), (2, 4.53), (5, 2.65), (50, 2.05)])
def test_few_readings_widen_the_doubt_as_the_table_says(freedom, printed):
    """NIST Technical Note 1297 (1994), table B.1, column 95.45 %."""
    assert expanded(1.0, freedom) == pytest.approx(printed, abs=0.005)
    assert expanded(3.0, freedom) == pytest.approx(3 * expanded(1.0, freedom))
    assert expanded(1.0, math.inf) == pytest.approx(2.0, abs=1e-12)


def test_without_a_degree_of_freedom_nothing_is_told():
    with pytest.raises(ValueError, match="freedom"):
        expanded(1.0, 0)
    assert doubt_of(1.0, 0.0, 0, None) == math.inf


def test_the_larger_of_scatter_and_statement_counts():
    assert doubt_of(1.0, 5.0, 30, 2.0) == pytest.approx(expanded(5.0, 30))
    assert doubt_of(1.0, 0.5, 30, 2.0) == 2.0
    assert doubt_of(1.0, 5.0, 2, 2.0) == 2.0  # too few to speak against a statement
