"""Chance as an argument: named streams of uniform numbers, the same on every machine."""

from __future__ import annotations

import hashlib

import numpy as np
from numpy.typing import NDArray

CHUNK = 1000  # worlds to a block: a block's numbers do not depend on how many blocks are drawn


class _Key(np.random.bit_generator.ISeedSequence):
    """Hands Philox its key as it is; asking the system for entropy first takes twice as long."""

    __slots__ = ("_key",)

    def __init__(self, key: bytes) -> None:
        self._key = np.frombuffer(key, dtype="<u8").astype(np.uint64)

    def generate_state(self, n_words: int, dtype: object = np.uint32) -> NDArray[np.uint64]:
        """The key, two words of 64 bits."""
        return self._key


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
    key = _Key(hashlib.sha256(text).digest()[:16])
    return np.random.Generator(np.random.Philox(key))  # type: ignore[arg-type]  # stubs lag behind


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


def sixteen_bits(seed: int, *names: str, worlds: int) -> NDArray[np.uint16]:
    """Uniform whole numbers from 0 to 65535 for one quantity, one a world.

    Parameters
    ----------
    seed : int
        The seed printed on the sheet.
    *names : str
        Lot, machine, quantity.
    worlds : int
        How many; more worlds leave the first ones as they were.

    Returns
    -------
    numpy.ndarray of uint16, shape (worlds,)

    Examples
    --------
    >>> few, many = sixteen_bits(7, "x", worlds=9), sixteen_bits(7, "x", worlds=3000)
    >>> bool((few == many[:9]).all())
    True
    """
    return stream(seed, *names).integers(0, 65536, dtype=np.uint16, size=worlds + worlds % 2)[
        :worlds
    ]


def two_sixteens(seed: int, *names: str, worlds: int) -> NDArray[np.uint16]:
    """Two uniform whole numbers from 0 to 65535 a world, from one stream.

    Parameters
    ----------
    seed : int
        The seed printed on the sheet.
    *names : str
        Lot, machine, quantity.
    worlds : int
        How many; more worlds leave the first ones as they were.

    Returns
    -------
    numpy.ndarray of uint16, shape (worlds, 2)

    Examples
    --------
    >>> few, many = two_sixteens(7, "x", worlds=9), two_sixteens(7, "x", worlds=3000)
    >>> bool((few == many[:9]).all())
    True
    """
    draws = -(-worlds // 2)  # one draw of 64 bits serves two worlds
    whole = stream(seed, *names).integers(0, 2**64 - 1, dtype=np.uint64, endpoint=True, size=draws)
    return whole.astype("<u8", copy=False).view("<u2").reshape(-1, 2)[:worlds]
