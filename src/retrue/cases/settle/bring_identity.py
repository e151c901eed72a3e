"""What a row is known by in every file that holds it, so that nothing is entered twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from hashlib import sha256

from retrue.cases.settle.bring_columns import FileKind
from retrue.cases.settle.bring_moves import Move

SHORT_HASH = 40  # hex digits: 160 bits of SHA-256


def identities(moves: Sequence[Move], kind: FileKind) -> Iterator[str]:
    """An id for each movement, made of what it says: the same in every file that holds it.

    Parameters
    ----------
    moves : sequence of Move
        In the order of the file.
    kind : str
        bank, or parts.

    Yields
    ------
    str
        bank:HASH or parts:HASH; equal rows are numbered in their order, so that two of them are
        two. Empty for a row that says nothing.

    References
    ----------
    FIPS 180-4 (SHA-256), its first 160 bits.

    Examples
    --------
    >>> one = Move(number=2, key="bank\\n2026-11-03")
    >>> first, second = identities([one, one], "bank")
    >>> first == second, first[:5]
    (False, 'bank:')
    """
    seen: Counter[str] = Counter()
    for move in moves:
        if not move.key:
            yield ""
            continue
        seen[move.key] += 1
        text = f"{move.key}\n{seen[move.key]}"
        yield f"{kind}:{sha256(text.encode()).hexdigest()[:SHORT_HASH]}"
