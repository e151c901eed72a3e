"""What an evening is guessed by: each figure is judgement, common practice without a source."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Figures of the guess; each may be changed, none is measured.

    Attributes
    ----------
    gap : timedelta
        A longer silence begins a new evening: supper, or the shop was left.
    least_lead, most_lead : timedelta
        Before the first trace and after the last at least, at most.
    one_moment : timedelta
        What is kept within it counts as one trace when their distance is reckoned.
    least_span : timedelta
        Less between the first and the last trace is too little to guess from.
    most_span : timedelta
        More is no evening of one pair of hands: something kept by itself.
    step : timedelta
        Times are told to it.
    quarter_hours : float
        Hours are told to it.
    least_rest : timedelta
        Of an evening that was answered, a shorter rest is not asked about.
    batch, batch_apart : int, timedelta
        So many records in a row, each so soon after the one before, were not kept by hand.
    quiet : timedelta
        The front page asks when nothing has come for so long.
    most_clocked : timedelta
        A clock that ran longer counts nothing until it is said when it was stopped.
    asked_days : int
        Evenings are asked about for so many days.
    """

    gap: timedelta = timedelta(minutes=75)  # judgement
    least_lead: timedelta = timedelta(minutes=5)  # judgement
    most_lead: timedelta = timedelta(minutes=20)  # judgement
    one_moment: timedelta = timedelta(minutes=5)  # judgement
    least_span: timedelta = timedelta(minutes=10)  # judgement
    most_span: timedelta = timedelta(hours=16)  # judgement
    step: timedelta = timedelta(minutes=5)  # judgement
    quarter_hours: float = 0.25  # judgement
    least_rest: timedelta = timedelta(minutes=30)  # judgement
    batch: int = 20  # judgement: nobody taps twenty times in as many seconds
    batch_apart: timedelta = timedelta(seconds=1)  # judgement
    quiet: timedelta = timedelta(minutes=15)  # judgement
    most_clocked: timedelta = timedelta(hours=10)  # judgement
    asked_days: int = 28  # judgement


RULES = Rules()
MOST_A_DAY = 24.0
"""Hours of one pair of hands on one day, by definition."""
STEP_HOURS = 0.5
"""What less and more take off and put on; judgement."""
