"""The cheapest set of ways within a sum, held against every set there is."""

import math
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from retrue.cases.fix.least import least_within

ROWS = st.lists(
    st.lists(
        st.tuples(st.integers(0, 30).map(lambda n: n / 2), st.integers(0, 40).map(float)),
        min_size=1,
        max_size=4,
    ),
    min_size=1,
    max_size=5,
)


@settings(max_examples=30)
@given(ROWS, st.integers(0, 60))
def test_no_other_set_within_the_sum_costs_less(
    rows: list[list[tuple[float, float]]], within: int
) -> None:
    found = least_within(rows, within)
    every = [
        (sum(cost for _, cost in picked), sum(math.ceil(money) for money, _ in picked))
        for picked in product(*rows)
    ]
    allowed = [pair for pair in every if pair[1] <= within]
    if found is None:
        assert not allowed
        return
    picked = [row[at] for row, at in zip(rows, found, strict=True)]
    money = sum(math.ceil(one) for one, _ in picked)
    assert money <= within
    assert (sum(cost for _, cost in picked), money) == min(allowed)
