"""Chance as an argument: named streams of uniform numbers, the same on every machine."""

from __future__ import annotations

import hashlib

import numpy as np
from numpy.typing import NDArray

CHUNK = 1000  # worlds to a block: a block's numbers do not depend on how many blocks are drawn

Floats = NDArray[np.float64]


def stream(seed: int, *names: str) -> np.random.Generator:
    """One Philox stream for one named quantity.

    Parameters
    ----------
    seed : int
        The seed printed on the sheet.
    *names : str
        Lot, machine, quantity: what the numbers are for.

    Returns
    -------
    numpy.random.Generator
        Counter-based; the same names give the same numbers anywhere.

    Examples
    --------
    >>> a, b = stream(7, "lot", "A", "pace"), stream(7, "lot", "A", "pace")
    >>> float(a.random()) == float(b.random())
    True
    """
    text = "\x1f".join((str(seed), *names)).encode()
    key = int.from_bytes(hashlib.sha256(text).digest()[:16], "little")
    return np.random.Generator(np.random.Philox(key=key))


def uniforms(seed: int, *names: str, worlds: int, columns: int = 1) -> NDArray[np.float32]:
    """Uniform numbers in [0, 1), one row a column, one entry a world.

    Parameters
    ----------
    seed : int
        The seed printed on the sheet.
    *names : str
        Lot, machine, quantity.
    worlds, columns : int
        How many; more worlds leave the first ones as they were, more columns too.

    Returns
    -------
    numpy.ndarray, shape (columns, worlds), float32
        Drawn block by block of a thousand worlds.

    Examples
    --------
    >>> few, many = uniforms(7, "x", worlds=10), uniforms(7, "x", worlds=5000)
    >>> bool((few[0] == many[0, :10]).all())
    True
    """
    blocks = -(-worlds // CHUNK)
    table = np.empty((columns, blocks * CHUNK), dtype=np.float32)
    for column in range(columns):
        source = stream(seed, *names, str(column))
        source.random(out=table[column], dtype=np.float32)
    return table[:, :worlds]


_CENTRE = (
    (
        3.3871328727963666080e0,
        1.3314166789178437745e2,
        1.9715909503065514427e3,
        1.3731693765509461125e4,
        4.5921953931549871457e4,
        6.7265770927008700853e4,
        3.3430575583588128105e4,
        2.5090809287301226727e3,
    ),
    (
        1.0,
        4.2313330701600911252e1,
        6.8718700749205790830e2,
        5.3941960214247511077e3,
        2.1213794301586595867e4,
        3.9307895800092710610e4,
        2.8729085735721942674e4,
        5.2264952788528545610e3,
    ),
)
_MIDDLE = (
    (
        1.42343711074968357734e0,
        4.63033784615654529590e0,
        5.76949722146069140550e0,
        3.64784832476320460504e0,
        1.27045825245236838258e0,
        2.41780725177450611770e-1,
        2.27238449892691845833e-2,
        7.74545014278341407640e-4,
    ),
    (
        1.0,
        2.05319162663775882187e0,
        1.67638483018380384940e0,
        6.89767334985100004550e-1,
        1.48103976427480074590e-1,
        1.51986665636164571966e-2,
        5.47593808499534494600e-4,
        1.05075007164441684324e-9,
    ),
)
_TAIL = (
    (
        6.65790464350110377720e0,
        5.46378491116411436990e0,
        1.78482653991729133580e0,
        2.96560571828504891230e-1,
        2.65321895265761230930e-2,
        1.24266094738807843860e-3,
        2.71155556874348757815e-5,
        2.01033439929228813265e-7,
    ),
    (
        1.0,
        5.99832206555887937690e-1,
        1.36929880922735805310e-1,
        1.48753612908506148525e-2,
        7.86869131145613259100e-4,
        1.84631831751005468180e-5,
        1.42151175831644588870e-7,
        2.04426310338993978564e-15,
    ),
)


def normal_quantile(share: NDArray[np.floating] | float) -> Floats:
    """The standard normal deviate below which a share of the draws lies.

    Parameters
    ----------
    share : array_like, any shape
        Probabilities; 0 and 1 are drawn in to the nearest half of 2**-33.

    Returns
    -------
    numpy.ndarray, same shape
        Deviates, relative accuracy about 1e-16.

    References
    ----------
    Wichura, M. J. (1988), Algorithm AS 241: The percentage points of the normal distribution,
    Applied Statistics 37(3), routine PPND16.

    Examples
    --------
    >>> round(float(normal_quantile(0.975)), 9)
    1.959963985
    """
    shape = np.shape(share)
    p = np.clip(np.asarray(share, dtype=np.float64).reshape(-1), 2.0**-34, 1 - 2.0**-34)
    q = p - 0.5
    deviate = _ratio(_CENTRE, 0.180625 - q * q) * q
    outer = np.abs(q) > 0.425
    if outer.any():
        r = np.sqrt(-np.log(np.where(q < 0, p, 1 - p)[outer]))
        far = np.where(r <= 5, _ratio(_MIDDLE, r - 1.6), _ratio(_TAIL, r - 5))
        deviate[outer] = np.copysign(far, q[outer])
    return deviate.reshape(shape)


def _ratio(coefficients: tuple[tuple[float, ...], tuple[float, ...]], x: Floats) -> Floats:
    top, bottom = (np.polynomial.polynomial.polyval(x, row) for row in coefficients)
    return np.asarray(top / bottom)
