"""Drawing from a signed sum: down the tree of its buckets, every world with its own column.

Where whole tables would be wide, findings are summed through signed auxiliaries. An auxiliary is
no part of the truth and is never drawn: each world carries, beside the states drawn so far, what
they say of the auxiliaries still open. What was drawn below is told upwards before the next
branch is gone down, so that every world is one draw of the whole.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from retrue.belief.elimination import Bucket, Summed
from retrue.belief.frame import bits

Floats = NDArray[np.float64]
Index = NDArray[np.intp]
Singles = NDArray[np.float32]

MOST_AT_ONCE = 1 << 21  # cells of one bucket over all worlds gone down together


@dataclass(frozen=True, slots=True, eq=False)
class Descent:
    """Worlds on their way down.

    Attributes
    ----------
    buckets : list of Bucket
        After the way in, none finished.
    auxiliaries : int
        Bit mask of the variables that are not drawn.
    uniforms : mapping of int to ndarray, shape (worlds,)
        By number of the variable in the sum.
    drawn : dict of int to ndarray of int, shape (worlds,)
        States, likewise; filled on the way.
    """

    buckets: list[Bucket]
    auxiliaries: int
    uniforms: dict[int, Singles]
    drawn: dict[int, Index] = field(default_factory=dict)

    def run(self) -> None:
        """Draw every variable, tree by tree."""
        for place, bucket in enumerate(self.buckets):
            if bucket.mask == 1 << bucket.variable:
                self._down(place, np.ones((1, 1) if bucket.mask & self.auxiliaries else (1,)))

    def _down(self, place: int, outside: Floats) -> Floats:
        """Draw a bucket and all below it; say what its neighbours' auxiliaries make of it.

        ``outside`` has a first axis for the worlds, one axis for each auxiliary of the bucket's
        mask, highest number first, and the bucket's own axis of length one.
        """
        bucket = self.buckets[place]
        own = 1 << bucket.variable
        if not own & self.auxiliaries:
            self._draw(bucket, outside)
        parts = [self._at(table, bucket.mask) for _, _, table in bucket.messages]
        product = None if bucket.given is None else self._at(bucket.given, bucket.mask)
        for number, (source, _, _) in enumerate(bucket.messages):
            rest = outside if product is None else outside * product
            for other in parts[number + 1 :]:
                rest = rest * other
            told = self._down(source, self._for(source, rest, bucket.mask))
            parts[number] = self._widened(told, source, bucket.mask)
            product = parts[number] if product is None else product * parts[number]
        assert product is not None
        if own & self.auxiliaries:
            product = product.sum(axis=self._axis(bucket.mask, bucket.variable), keepdims=True)
        return _levelled(product)

    def _draw(self, bucket: Bucket, outside: Floats) -> None:
        """Draw a bucket's own variable, given all that was drawn."""
        table = bucket.table.reshape((2,) * bucket.mask.bit_count())
        sides = []
        for state in (0, 1):
            weighed = self._at(table, bucket.mask, own=(bucket.variable, state)) * outside
            sides.append(weighed.reshape(len(weighed), -1).sum(axis=1).clip(min=0.0))
        absent, present = sides
        both = absent + present
        chance = np.divide(present, both, out=np.zeros(both.shape), where=both > 0.0)
        uniforms = self.uniforms[bucket.variable]
        self.drawn[bucket.variable] = (uniforms < chance.astype(np.float32)).astype(np.intp)

    def _at(self, table: Floats, mask: int, own: tuple[int, int] | None = None) -> Floats:
        """A table at what was drawn: worlds first, then the auxiliaries of the mask."""
        index: list[Index | int] = []
        real, open_axes = [], []
        for axis, bit in enumerate(bits(mask)):
            if self.auxiliaries >> bit & 1:
                open_axes.append(axis)
                continue
            real.append(axis)
            if table.shape[axis] == 1:
                index.append(0)
            else:
                index.append(own[1] if own is not None and own[0] == bit else self.drawn[bit])
        picked: Floats = table.transpose(real + open_axes)[tuple(index)]
        some = any(isinstance(one, np.ndarray) for one in index)
        return picked if some else picked[np.newaxis]

    def _axis(self, mask: int, bit: int) -> int:
        """Axis of an auxiliary among those of a mask, after that of the worlds."""
        return 1 + ((mask & self.auxiliaries) >> bit + 1).bit_count()

    def _for(self, source: int, rest: Floats, mask: int) -> Floats:
        """What lies outside an earlier bucket: summed over the auxiliaries it does not know."""
        below = self.buckets[source]
        gone = mask & self.auxiliaries & ~below.mask
        for bit in bits(gone):
            rest = rest.sum(axis=self._axis(mask, bit), keepdims=True)
        kept = mask & self.auxiliaries & below.mask
        shape = [rest.shape[0]]
        for bit in bits(below.mask & self.auxiliaries):
            shape.append(rest.shape[self._axis(mask, bit)] if kept >> bit & 1 else 1)
        return _levelled(rest.reshape(shape))

    def _widened(self, told: Floats, source: int, mask: int) -> Floats:
        """What an earlier bucket told, with an axis for each auxiliary of the later one's mask."""
        below = self.buckets[source].mask
        shape = [told.shape[0]]
        for bit in bits(mask & self.auxiliaries):
            shape.append(told.shape[self._axis(below, bit)] if below >> bit & 1 else 1)
        return told.reshape(shape)


def _levelled(table: Floats) -> Floats:
    """Each world's cells brought to a largest of one."""
    largest = np.abs(table).reshape(len(table), -1).max(axis=1)
    largest[largest == 0.0] = 1.0
    levelled: Floats = table / largest.reshape((-1,) + (1,) * (table.ndim - 1))
    return levelled


def descend(summed: Summed, auxiliaries: int, uniforms: dict[int, Singles]) -> dict[int, Index]:
    """Draw worlds from a sum through signed auxiliaries.

    Parameters
    ----------
    summed : Summed
        After the way in; its buckets hold their tables.
    auxiliaries : int
        Bit mask of the variables that are summed, not drawn.
    uniforms : dict of int to ndarray of float32, shape (worlds,)
        Uniform numbers in [0, 1) for every other variable of the sum.

    Returns
    -------
    dict of int to ndarray of int, shape (worlds,)
        State of each variable that is drawn.

    References
    ----------
    Koller and Friedman, Probabilistic Graphical Models, 2009, exercise 12.1 (sampling from a
    calibrated tree; from memory). That auxiliaries stay summed on the way down is our own.

    Examples
    --------
    >>> from retrue.belief.elimination import sum_product
    >>> from retrue.belief.frame import Factor
    >>> from retrue.belief.ordering import order
    >>> sign = Factor(0b01, np.array([1.0, -1.0]))  # 1 - [f absent]: f is there
    >>> fault = Factor(0b11, np.array([[0.5, 0.5], [0.5, 0.0]]))
    >>> summed = sum_product([sign, fault], order([0b01, 0b11]), scaled=False)
    >>> descend(summed, 0b01, {1: np.array([0.1, 0.9], dtype=np.float32)})[1].tolist()
    [1, 1]
    """
    widest = max(2 << (b.mask & auxiliaries).bit_count() for b in summed.buckets)
    worlds = len(next(iter(uniforms.values())))
    step = max(1, MOST_AT_ONCE // widest)
    drawn: dict[int, list[Index]] = {variable: [] for variable in uniforms}
    for start in range(0, worlds, step):
        some = {variable: row[start : start + step] for variable, row in uniforms.items()}
        descent = Descent(summed.buckets, auxiliaries, some)
        descent.run()
        for variable, states in descent.drawn.items():
            drawn[variable].append(np.broadcast_to(states, some[variable].shape))
    return {variable: np.concatenate(rows) for variable, rows in drawn.items()}
