"""From millimetres of a floor to units of a drawing."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class View:
    """From millimetres of the floor to drawing units; the rear is up."""

    left: float
    top: float
    low_x: float
    high_y: float
    scale: float

    def at(self, point: Point) -> Point:
        """A place of the floor on the drawing."""
        return (
            self.left + (point[0] - self.low_x) * self.scale,
            self.top + (self.high_y - point[1]) * self.scale,
        )

    def all(self, points: tuple[Point, ...]) -> list[Point]:
        """An outline of the floor on the drawing."""
        return [self.at(point) for point in points]
