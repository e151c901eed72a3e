"""Labels beside their marks without one touching another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

GAP = 10.0


@dataclass(frozen=True, slots=True)
class Label:
    """A label that wants to stand at ``x``; the least important one gives way first."""

    x: float
    wide: float
    rank: int  # 0 is the most important


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a label's middle comes to stand, and in which row (0 is nearest the mark)."""

    x: float
    row: int


def place(labels: Sequence[Label], left: float, right: float) -> tuple[Spot, ...]:
    """Find a spot for every label.

    Parameters
    ----------
    labels : sequence of Label
        In any order; their wishes may coincide.
    left, right : float
        The room they share, drawing units.

    Returns
    -------
    tuple of Spot
        In the order given. Labels of one row keep the order of their marks and ``GAP`` apart,
        each as near its mark as the others allow (least squares); a row that cannot hold all
        hands the least important one up.

    Examples
    --------
    >>> spots = place([Label(20, 60, 0), Label(30, 60, 1)], 0, 200)
    >>> [round(spot.x) for spot in spots], [spot.row for spot in spots]
    ([30, 100], [0, 0])
    """
    spots: dict[int, Spot] = {}
    waiting = list(range(len(labels)))
    row = 0
    while waiting:
        here = sorted(waiting, key=lambda index: (labels[index].rank, index))
        while len(here) > 1 and _needed([labels[index] for index in here]) > right - left:
            here.pop()
        here.sort(key=lambda index: (labels[index].x, index))
        middles = _spread([labels[index] for index in here], left, right)
        spots |= {index: Spot(x, row) for index, x in zip(here, middles, strict=True)}
        waiting = [index for index in waiting if index not in spots]
        row += 1
    return tuple(spots[index] for index in range(len(labels)))


def _needed(row: Sequence[Label]) -> float:
    return sum(label.wide for label in row) + GAP * (len(row) - 1)


def _spread(row: Sequence[Label], left: float, right: float) -> list[float]:
    """Pool neighbours that would touch (isotonic regression on shifted wishes)."""
    offsets = []
    reach = 0.0
    for label in row:
        offsets.append(reach + label.wide / 2)
        reach += label.wide + GAP
    pools: list[tuple[float, int]] = []
    for label, offset in zip(row, offsets, strict=True):
        wish, size = label.x - offset, 1
        while pools and pools[-1][0] >= wish:
            before, count = pools.pop()
            wish, size = (before * count + wish * size) / (count + size), size + count
        pools.append((wish, size))
    most = right - (reach - GAP)
    starts = [min(max(wish, left), max(left, most)) for wish, size in pools for _ in range(size)]
    return [start + offset for start, offset in zip(starts, offsets, strict=True)]
