"""Memory goes back to the machine: as the machine itself counts it."""

from __future__ import annotations

import subprocess
import sys

import pytest

from retrue.base.memory import give_back, resident_mb

HOLES, SIZE = 60_000, 1_000


@pytest.mark.skipif(
    sys.platform != "linux", reason="NOT RUN: only the GNU library gives memory back when asked"
)
def test_what_is_freed_between_what_is_kept_goes_back() -> None:
    import ctypes

    library = ctypes.CDLL(None)
    if not hasattr(library, "malloc_trim"):
        pytest.skip("NOT RUN: this C library is not GNU and has no way to be asked")
    library.malloc.restype = ctypes.c_void_p
    library.free.argtypes = [ctypes.c_void_p]
    every = [library.malloc(SIZE) for _ in range(HOLES)]
    for one in every:
        ctypes.memset(one, 1, SIZE)
    for n, one in enumerate(every):
        if n % 100:  # the hundredth stays: the end of the heap does not fall
            library.free(one)
    before = resident_mb()
    give_back()
    assert resident_mb() < before - HOLES * SIZE / 1e6 / 2
    for one in every[::100]:
        library.free(one)


@pytest.mark.skipif(
    sys.platform != "linux", reason="NOT RUN: only the GNU library can be asked to keep memory"
)
def test_what_is_freed_serves_the_next_sum() -> None:
    """In a process of its own: a large array asked for again takes no new page of the machine."""
    import ctypes

    if not hasattr(ctypes.CDLL(None), "malloc_trim"):
        pytest.skip("NOT RUN: this C library is not GNU and has no way to be asked")
    code = (
        "import resource\n"
        "from retrue.base.memory import keep_for_next\n"
        "def faults():\n"
        "    before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt\n"
        "    for _ in range(20): bytes(bytearray(b'x') * 3_000_000)\n"
        "    return resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before\n"
        "first = faults()\n"
        "keep_for_next()\n"
        "faults()\n"
        "print(first, faults())\n"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    before, after = map(int, told.stdout.split())
    assert after < before / 20
