"""Twelve photographs of a listing: the example's drawn ones, made up to twelve by plain ones."""

from __future__ import annotations

from pathlib import Path

from PIL import Image, ImageDraw

DRAWN = Path(__file__).parents[2] / "examples" / "photographs"


def twelve(folder: Path) -> list[str]:
    """Twelve paths; the first six show the machining centre, the others the turning centre."""
    mill = sorted(DRAWN.glob("a-*.jpg"))
    lathe = sorted(DRAWN.glob("b-*.jpg"))
    return _six(mill, folder, "a") + _six(lathe, folder, "b")


def _six(drawn: list[Path], folder: Path, letter: str) -> list[str]:
    taken = [str(path) for path in drawn[:6]]
    return taken + [str(plain(folder, f"{letter}{n}", n)) for n in range(len(taken), 6)]


def plain(folder: Path, name: str, grey: int = 0, size: tuple[int, int] = (1600, 1200)) -> Path:
    """A photograph that shows nothing much."""
    path = folder / f"{name}.jpg"
    picture = Image.new("RGB", size, (70 + 12 * grey, 80, 90))
    ImageDraw.Draw(picture).rectangle((300, 200, 1300, 1000), fill=(190, 188, 180))
    picture.save(path, "JPEG", quality=85)
    return path
