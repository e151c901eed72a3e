"""Read a drawing back: its texts with the room they take, and its numbers."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from itertools import combinations

from retrue.figures.ink import Box, words_box

NUMBER = re.compile(r"[−+]?[\d][\d\u202f.]*")


@dataclass(frozen=True)
class Written:
    """One line of text on a drawing."""

    text: str
    box: Box
    graduation: bool


def written(svg: str) -> list[Written]:
    """All lines of text of a drawing."""
    root = ET.fromstring(svg)
    return [
        Written(
            text=element.text or "",
            box=words_box(
                float(element.attrib["x"]),
                float(element.attrib["y"]),
                element.text or "",
                size=float(element.attrib["font-size"]),
                anchor=element.attrib["text-anchor"],
            ),
            graduation=element.attrib.get("class") == "scale",
        )
        for element in root.iter("{http://www.w3.org/2000/svg}text")
    ]


def touching(svg: str) -> list[tuple[str, str]]:
    """Pairs of texts that overlap."""
    return [
        (one.text, other.text)
        for one, other in combinations(written(svg), 2)
        if one.box.left < other.box.right - 0.05
        and other.box.left < one.box.right - 0.05
        and one.box.top < other.box.bottom - 0.05
        and other.box.top < one.box.bottom - 0.05
    ]


def cut_off(svg: str) -> list[str]:
    """Texts that reach over the edge of their drawing."""
    root = ET.fromstring(svg)
    _, _, wide, high = (float(part) for part in root.attrib["viewBox"].split())
    return [
        one.text
        for one in written(svg)
        if one.box.left < -0.5
        or one.box.right > wide + 0.5
        or one.box.top < -0.5
        or one.box.bottom > high + 0.5
    ]


def numbers(texts: list[str]) -> set[str]:
    """The numbers in some texts, as printed."""
    return {found for text in texts for found in NUMBER.findall(text)}


def numbers_drawn(svg: str) -> set[str]:
    """The numbers on a drawing that are not graduations of its rule."""
    return numbers([one.text for one in written(svg) if not one.graduation])
