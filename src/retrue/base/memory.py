"""Memory that is free again goes back to the machine: large sums leave holes behind."""

from __future__ import annotations

import os
import sys
from functools import cache
from typing import Any

_MOST_ARENAS = -8  # mallopt's M_ARENA_MAX
ARENAS = 2
_TRIM_ABOVE, _MAP_ABOVE = -1, -3  # mallopt's M_TRIM_THRESHOLD and M_MMAP_THRESHOLD
_KEPT = 1 << 30  # bytes: more than the arrays of one lot take together
_LARGEST = 1 << 25  # bytes: the most that the library takes for one array


def resident_mb() -> float:
    """What this process holds of the machine's memory.

    Returns
    -------
    float
        In MB; 0 where this system does not tell.

    Examples
    --------
    >>> resident_mb() >= 0
    True
    """
    try:
        with open("/proc/self/statm", encoding="ascii") as told:
            pages = int(told.read().split()[1])
    except (OSError, ValueError, IndexError):
        return 0.0
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def share_arenas() -> None:
    """Let the threads share what is freed, as long as none has begun; only the GNU library can."""
    library = _library()
    if library is not None:
        library.mallopt(_MOST_ARENAS, ARENAS)


def keep_for_next() -> None:
    """Keep what is freed for the next sum of the same size; only the GNU library can.

    Else every large array of every lot is asked of the machine anew, page by page.

    Examples
    --------
    >>> keep_for_next()
    """
    library = _library()
    if library is not None:
        library.mallopt(_TRIM_ABOVE, _KEPT)
        library.mallopt(_MAP_ABOVE, _LARGEST)


def give_back() -> None:
    """Give free memory back to the machine; only the GNU library can be asked to.

    Examples
    --------
    >>> give_back()
    """
    library = _library()
    if library is not None:
        library.malloc_trim(0)


@cache
def _library() -> Any:
    """The C library, where it is the GNU one."""
    if sys.platform != "linux":
        return None
    import ctypes

    try:
        library = ctypes.CDLL("libc.so.6")
        return library if hasattr(library, "malloc_trim") else None
    except OSError:
        return None
