"""Who works on the parts of a catalogue: whoever can, and this process alone.

Apart from the parts themselves: a server knows it from its start, and prices nothing yet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from retrue.cases.screen.parts import Part, PartDone, Work
    from retrue.kinds.library import Kind


class Spread(Protocol):
    """Hands parts to whoever works on them; the answers come as they are ready."""

    def run(
        self, work: Work, parts: Sequence[Part], kinds: Mapping[str, Kind]
    ) -> Iterator[PartDone]:
        """Every part once, in any order; a lost worker's part is given to another."""
        ...


class Here:
    """One part after the other, in this process."""

    def run(
        self, work: Work, parts: Sequence[Part], kinds: Mapping[str, Kind]
    ) -> Iterator[PartDone]:
        """Every part once, in order."""
        for part in parts:
            yield work(part, kinds)
