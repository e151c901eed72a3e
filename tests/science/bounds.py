"""Bounds of many measurements, worked out side by side."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from retrue.science.bound import Bound

Floats = NDArray[np.float64]
TOGETHER = 50  # measurements whose repeats stand in memory at once


def of_each(
    bound: Callable[..., Bound],
    fitted: Floats,
    sd: Floats,
    seen: Floats,
    measure: Callable[[Floats], Floats],
    chance: np.random.Generator,
) -> list[Bound]:
    """The bound of every row (`bound` is `upper_bound_of_fit`), the same numbers sooner.

    It is run twice with the same chance: what it wants measured is noted first, measured all at
    once, and given to it when it asks again. So the rows of `measure` must not hang together.
    """
    bounds: list[Bound] = []
    for first in range(0, len(fitted), TOGETHER):
        part = slice(first, first + TOGETHER)
        bounds += _together(bound, fitted[part], sd[part], seen[part], measure, chance)
    return bounds


def _together(
    bound: Callable[..., Bound],
    fitted: Floats,
    sd: Floats,
    seen: Floats,
    measure: Callable[[Floats], Floats],
    chance: np.random.Generator,
) -> list[Bound]:
    wanted: list[Floats] = []

    def noted(rows: Floats) -> Floats:
        wanted.append(rows)
        return np.zeros(len(rows))

    def bounds(ask: Callable[[Floats], Floats]) -> list[Bound]:
        return [
            bound(model, float(s), float(value), ask, chance)
            for model, s, value in zip(fitted, sd, seen, strict=True)
        ]

    before = chance.bit_generator.state
    bounds(noted)
    chance.bit_generator.state = before
    ends = np.cumsum([len(rows) for rows in wanted])[:-1]
    answers = iter(zip(wanted, np.split(measure(np.concatenate(wanted)), ends), strict=True))

    def told(rows: Floats) -> Floats:
        asked, answer = next(answers)
        assert np.array_equal(rows, asked)
        return answer

    return bounds(told)
