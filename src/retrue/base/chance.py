"""Chance as an argument: named streams of uniform numbers, the same on every machine."""

from __future__ import annotations

import hashlib
import threading

import numpy as np
from numpy.typing import NDArray


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
    key = _Key(_digest(seed, names))
    return np.random.Generator(np.random.Philox(key))  # type: ignore[arg-type]  # stubs lag behind


def _digest(seed: int, names: tuple[str, ...]) -> bytes:
    """Sixteen bytes that stand for a seed and names: the key of their stream."""
    text = "\x1f".join((str(seed), *names)).encode()
    return hashlib.sha256(text).digest()[:16]


class _Source(threading.local):
    """One Philox a thread, set back to the beginning of a stream: quicker than a new one."""

    def __init__(self) -> None:
        self._philox = np.random.Philox(0)
        self._beginning = self._philox.state
        self._key = self._beginning["state"]

    def words(self, key: bytes, count: int) -> NDArray[np.uint64]:
        """The first words of 64 bits of the stream with this key."""
        self._key["key"] = np.frombuffer(key, dtype="<u8").astype(np.uint64)
        self._philox.state = self._beginning
        return np.asarray(self._philox.random_raw(count))


_source = _Source()


def _words(seed: int, names: tuple[str, ...], count: int) -> NDArray[np.uint64]:
    """The first words of 64 bits of a named stream, lowest byte first in memory."""
    return _source.words(_digest(seed, names), count).astype("<u8", copy=False)


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
        Each column from a stream of its own.

    Examples
    --------
    >>> few, many = uniforms(7, "x", worlds=10), uniforms(7, "x", worlds=5000)
    >>> bool((few[0] == many[0, :10]).all())
    True
    """
    table = np.empty((columns, worlds), dtype=np.float32)
    for column in range(columns):
        words = _words(seed, (*names, str(column)), -(-worlds // 2))  # one serves two worlds
        table[column] = words.view("<u4")[:worlds] >> np.uint32(8)  # 24 bits: all a float32 holds
    table *= np.float32(2**-24)
    return table


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
    return _words(seed, names, -(-worlds // 4)).view("<u2")[:worlds]  # one serves four worlds


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
    words = _words(seed, names, -(-worlds // 2))  # one serves two worlds
    return words.view("<u2").reshape(-1, 2)[:worlds]
