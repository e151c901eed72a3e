"""A machine of the priced lot, held against the other ways to have its work done."""

from __future__ import annotations

from retrue.cases.settle.hour_rate_figures import Figures
from retrue.cases.settle.hour_rate_inputs import inputs_of
from retrue.cases.settle.hour_rate_whole import Spent, Whole
from retrue.cases.settle.versus import blank_versus, versus_of
from retrue.cases.settle.versus_flows import Gap, gaps_of
from retrue.cases.settle.versus_lines import VersusView, Way

WORLDS = 400
NONE = Figures({})
IDS = ("l", "school", "m", "mill")
PAID = Spent(money=8_000.0, buckets={"price": 8_000.0})


def told(whole: Whole, figures: Figures = NONE) -> VersusView:
    return versus_of(whole, figures, blank_versus(IDS, whole))


def gaps_with(
    whole: Whole, figures: Figures = NONE, *, floor: tuple[bool | None, float | None] = (None, None)
) -> list[tuple[str, Way, Gap]]:
    return gaps_of(whole, figures, inputs_of(whole, figures, floor))
