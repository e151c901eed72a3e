"""Words in a plan: each line is put where it touches no other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from retrue.figures.ink import Anchor, Box, Theme, words, words_box


@dataclass(slots=True)
class Labels:
    """The words that a drawing of that size holds so far, and the room that is taken."""

    wide: float
    high: float
    size: float
    theme: Theme
    taken: list[Box] = field(default_factory=list)
    parts: list[str] = field(default_factory=list)

    def keep_free(self, x: float, y: float, radius: float) -> None:
        """Keep words away from a mark."""
        self.taken.append(Box(x - radius, y - radius, x + radius, y + radius))

    def put(
        self,
        lines: tuple[str, ...],
        places: Iterable[tuple[float, float, Anchor]],
        *,
        colour: str = "",
        bold: bool = False,
    ) -> bool:
        """Put lines at the first place (baseline of the first line) where they fit.

        False where there is none; then nothing is drawn.
        """
        for x, y, anchor in places:
            boxes = [
                words_box(x, y + 1.25 * self.size * row, text, size=self.size, anchor=anchor)
                for row, text in enumerate(lines)
            ]
            if all(self._free(box) for box in boxes):
                self.taken += boxes
                self.parts += [
                    words(
                        x,
                        y + 1.25 * self.size * row,
                        text,
                        self.theme,
                        size=self.size,
                        anchor=anchor,
                        colour=colour,
                        bold=bold and row == 0,
                    )
                    for row, text in enumerate(lines)
                ]
                return True
        return False

    def _free(self, box: Box) -> bool:
        if box.left < 1 or box.top < 1 or box.right > self.wide - 1 or box.bottom > self.high - 1:
            return False
        return all(
            box.right < other.left
            or other.right < box.left
            or box.bottom < other.top
            or other.bottom < box.top
            for other in self.taken
        )
