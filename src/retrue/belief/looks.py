"""What an answer says, as a signed sum of products: looks, degrees and readings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from retrue.belief.network import Leaning, Seen

Floats = NDArray[np.float64]
Answer = Literal["not_seen", "seen", "slight", "severe"]

NOT_CANDID = 0.3  # of links and leak, where the informant is not candid
PICTURE = 0.8  # of a link, where only a picture or a film was judged
SEVERE_LINK = 0.5  # share of a link that shows severely
SEVERE_LEAK = 0.25
CANDID_PRIOR = 0.7
ABSENT_RATIO = 1.3  # an answer asked for that did not come, against candid
LIKELY, MAYBE = 6.0, 2.0  # odds of a past life that a chip calls likely, or maybe
SHARP = 0.005  # of a reading: the least half width an interval has, so that it holds some chance
ATOM = 1e-9  # a reading no part could show is taken as off the scale


def look(
    key: str,
    answer: Answer,
    faults: Sequence[int],
    links: Sequence[float],
    leak: float,
    *,
    share: float | Sequence[float] = 1.0,
    gate: int | None = None,
) -> Seen:
    """Make evidence of a look: was it seen, and how badly.

    Parameters
    ----------
    key : str
        Id of the finding.
    answer : {"not_seen", "seen", "slight", "severe"}
        ``seen`` is at least slight; slight is seen and not severe.
    faults : sequence of int
        Variables of the network that show in this look.
    links : sequence of float
        Chance that each shows, if it is there, 0 to 1; the leak is outside.
    leak : float
        Chance of seeing it with none of them there, 0 to 1.
    share : float or sequence of float
        Of every link, for a judged picture; or of each, where a fault may since be cured
        (1 - cured). The leak stays.
    gate : int, optional
        The informant's candour. Not candid: links and leak times 0.3.

    Returns
    -------
    Seen
        One term for ``not_seen``, two of opposite sign for the others.

    Notes
    -----
    ``P(seen) = 1 - (1 - leak) * prod(1 - link)``. Severe takes half the link and a quarter of
    the leak (judgement). The answers not seen, slight and severe sum to one.

    References
    ----------
    Pearl, Probabilistic Reasoning in Intelligent Systems, 1988, section 4.3.2 (noisy-OR).
    Diez and Galan, Int. J. Intelligent Systems 18 (2003) 165-177 (the product form; from memory).

    Examples
    --------
    >>> no = look("a", "not_seen", [4, 5], [0.6, 0.5], 0.1)
    >>> no.coefficient.tolist(), no.ratio.round(3).tolist()
    ([[0.9]], [[[0.4, 0.5]]])
    >>> look("a", "seen", [4], [0.6], 0.1).coefficient.tolist()
    [[1.0, -0.9]]
    """
    rows = (1.0,) if gate is None else (NOT_CANDID, 1.0)
    link = np.asarray(links, dtype=np.float64).reshape(len(faults)) * np.asarray(share)
    unseen = [(1.0 - leak * row, 1.0 - link * row) for row in rows]
    mild = [(1.0 - leak * row * SEVERE_LEAK, 1.0 - link * row * SEVERE_LINK) for row in rows]
    sure = [(1.0, np.ones(len(faults)))] * len(rows)
    terms = {
        "not_seen": (unseen,),
        "seen": (sure, unseen),
        "slight": (mild, unseen),
        "severe": (sure, mild),
    }[answer]
    return _signed(key, faults, terms, gate)


def _signed(
    key: str,
    faults: Sequence[int],
    terms: Sequence[Sequence[tuple[float, Floats]]],
    gate: int | None,
) -> Seen:
    """First term minus the second, one row for each state of the gate."""
    level = np.array([[part[0] for part in term] for term in terms], dtype=np.float64)
    level[1:] *= -1.0
    ratio = np.array([[part[1] for part in term] for term in terms], dtype=np.float64)
    shape = (len(terms), len(terms[0]), len(faults))
    return Seen(
        key=key,
        faults=tuple(faults),
        coefficient=np.ascontiguousarray(level.T),
        ratio=np.ascontiguousarray(ratio.reshape(shape).transpose(1, 0, 2)),
        gate=gate,
    )


@dataclass(frozen=True, slots=True)
class Spread:
    """One part's share in a reading: log-normal, by its median and log standard deviation."""

    median: float
    log_sd: float

    def below(self, value: float) -> float:
        """Chance of a reading at or under ``value``.

        Examples
        --------
        >>> Spread(2.0, 0.5).below(2.0)
        0.5
        """
        if value <= 0.0:
            return 0.0
        if math.isinf(value):
            return 1.0
        return 0.5 * math.erfc(-math.log(value / self.median) / (self.log_sd * math.sqrt(2.0)))

    def above(self, value: float) -> float:
        """Chance of a reading over ``value``, exact far out in the tail.

        Examples
        --------
        >>> Spread(2.0, 0.5).above(0.0)
        1.0
        """
        if value <= 0.0:
            return 1.0
        if math.isinf(value):
            return 0.0
        return 0.5 * math.erfc(math.log(value / self.median) / (self.log_sd * math.sqrt(2.0)))


def reading(
    key: str,
    low: float,
    high: float,
    healthy: Spread,
    parts: Mapping[int, Spread],
    bad_side: Literal["high", "low"],
    *,
    share: float = 1.0,
) -> Seen:
    """Make evidence of a number read from an instrument: it lay between ``low`` and ``high``.

    Parameters
    ----------
    key : str
        Id of the finding.
    low, high : float
        The reading less and plus its expanded uncertainty, in the measure's unit;
        0 and infinity stand for an open end.
    healthy : Spread
        What a sound machine shows.
    parts : mapping of int to Spread
        What each fault shows by itself; keys are variables of the network.
    bad_side : {"high", "low"}
        The reading is the largest of the parts present, or the smallest.
    share : float
        Chance that a fault that was there still is (after a repair, what was not cured).

    Returns
    -------
    Seen
        Two terms: ``G(high) - G(low)``, G a product over the parts present.

    Notes
    -----
    An interval is at least 1 % wide. A reading so far out that no part shows it with a chance
    of 1e-9 is taken as "off the scale": the interval is opened on its far side from where some
    part still reaches.

    References
    ----------
    Coles, An Introduction to Statistical Modeling of Extreme Values, 2001, section 3.1.1
    (the largest of independent parts has the product of their distribution functions).

    Examples
    --------
    >>> seen = reading("r", 0.0, 1.0, Spread(1.0, 0.5), {3: Spread(4.0, 0.5)}, "high")
    >>> seen.coefficient.tolist()
    [[0.5, -0.0]]
    """
    order = sorted(parts)
    if high < math.inf:
        blunt = SHARP * high - 0.5 * (high - low)
        low, high = low - max(blunt, 0.0), high + max(blunt, 0.0)
    low, high = _reached(low, high, (healthy, *(parts[j] for j in order)))
    near, far = (high, low) if bad_side == "high" else (low, high)

    def term(value: float) -> list[tuple[float, Floats]]:
        def part(spread: Spread) -> float:
            return spread.below(value) if bad_side == "high" else spread.above(value)

        ratio = np.array([1.0 - share * (1.0 - part(parts[j])) for j in order])
        return [(part(healthy), ratio)]

    return _signed(key, order, (term(near), term(far)), None)


def _reached(low: float, high: float, spreads: Sequence[Spread]) -> tuple[float, float]:
    """The interval, opened outward and moved in to where some part still reaches."""

    def mass(s: Spread) -> float:
        if low < s.median:
            return s.below(high) - s.below(low)
        return s.above(low) - s.above(high)

    if max(mass(s) for s in spreads) > ATOM:
        return low, high
    edge = 4.0  # log standard deviations: about 3 in 100,000
    if all(low > s.median for s in spreads):
        return min(low, max(s.median * math.exp(edge * s.log_sd) for s in spreads)), math.inf
    if all(high < s.median for s in spreads):
        return 0.0, max(high, min(s.median * math.exp(-edge * s.log_sd) for s in spreads))
    spare = 0.05  # between the parts: a finer reading than any part is sharp
    return low * (1.0 - spare), high * (1.0 + spare)


def found(key: str, fault: int, present: bool) -> Leaning:
    """Make hard evidence: the fault was seen at teardown, or seen not to be there.

    Parameters
    ----------
    key : str
        Id of the finding.
    fault : int
        Variable of the network.
    present : bool

    Returns
    -------
    Leaning

    Examples
    --------
    >>> found("t", 7, False).likelihood
    (1.0, 0.0)
    """
    return Leaning(key, fault, (0.0, 1.0) if present else (1.0, 0.0))


def leaning(key: str, variable: int, odds: float) -> Leaning:
    """Make evidence on one variable alone, as odds for it.

    Parameters
    ----------
    key : str
        Id of the finding.
    variable : int
        Root or fault of the network.
    odds : float
        What the finding multiplies its odds by, positive.

    Returns
    -------
    Leaning

    Raises
    ------
    ValueError
        The odds are not positive.

    Examples
    --------
    >>> leaning("h", 2, 6.0).likelihood
    (1.0, 6.0)
    """
    if not odds > 0.0:
        raise ValueError("odds must be positive; hard evidence has its own function")
    return Leaning(key, variable, (1.0, float(odds)))
