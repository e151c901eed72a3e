"""Limits as lines across a picture, each with its words, none over another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from retrue.figures.axes import SHEET, caption

if TYPE_CHECKING:
    from matplotlib.axes import Axes


@dataclass(frozen=True, slots=True)
class NamedLine:
    """A line across the picture: at which value, in which words, in which colour and dash."""

    value: float
    text: str = ""  # empty: the line alone
    colour: str = ""
    dash: str = "-"
    above: bool = True  # the words stand over the line; else under it
    right: bool = False  # at its right end; else at its left one


def draw_named(axes: Axes, lines: Sequence[NamedLine]) -> None:
    """Draw lines across the picture, and their words at an end of each.

    Parameters
    ----------
    axes : Axes
        With its limits set; they do not change any more.
    lines : sequence of NamedLine
        Two that may lie close together stand over and under, or at different ends.
    """
    for one in lines:
        axes.axhline(one.value, color=one.colour, linewidth=1.3, linestyle=one.dash, zorder=1.5)
        if one.text:
            axes.annotate(
                caption(one.text), (1.0 if one.right else 0.0, one.value),
                xycoords=axes.get_yaxis_transform(),
                xytext=(-4 if one.right else 5, 3 if one.above else -4),
                textcoords="offset points", color=one.colour,
                ha="right" if one.right else "left", va="bottom" if one.above else "top",
                bbox={"facecolor": SHEET, "edgecolor": "none", "pad": 0.4}, zorder=2.4,
            )  # fmt: skip
