"""Lines the book knows without typing: the hammer, what came back, deposits, hire days. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from retrue.cases.settle.entries import Around
from retrue.cases.settle.kept import BookKept
from retrue.cases.settle.lines import BookLine


def expected_lines(
    kept: BookKept, about: Around, posted: Sequence[BookLine], *, on: date | None
) -> list[BookLine]:
    """What is known and not yet posted."""
    return []
