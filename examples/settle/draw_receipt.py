"""Draw the receipt of the example's book: python examples/settle/draw_receipt.py.

The shop, the sums and the paper are invented. The same program draws the same picture again.
"""

from __future__ import annotations

from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

LINES = (
    "hardware trade, Ghent",
    "26/01/2027   09:42",
    "",
    "brushes, brass      4 x  6,50    26,00",
    "filters            12 x 11,00   132,00",
    "rags, 10 kg         3 x 24,00    72,00",
    "degreaser, 20 l     2 x 65,00   130,00",
    "",
    "without tax                     360,00",
    "tax 21 %                         75,60",
    "to pay EUR                      435,60",
    "card",
)
SIZE, LEFT, TOP, STEP = (420, 330), 24, 22, 24


def main() -> None:
    """Write receipt.png beside this file."""
    paper = Image.new("L", SIZE, 244)
    pen = ImageDraw.Draw(paper)
    font = ImageFont.load_default(size=15)
    for row, words in enumerate(LINES):
        pen.text((LEFT, TOP + row * STEP), words, fill=40, font=font)
    paper.rotate(1.5, fillcolor=150).save(Path(__file__).with_name("receipt.png"), optimize=True)


if __name__ == "__main__":
    main()
