"""What a deed must know of a file before it keeps it; the store proves it from its content."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol


class ProvedFile(Protocol):
    """What a file is, proved from its content, not from its name."""

    @property
    def media_type(self) -> str:
        """As proved, not as claimed."""
        ...

    @property
    def taken(self) -> str | None:
        """When, if the file says so."""
        ...


Prove = Callable[[bytes, str], ProvedFile]
