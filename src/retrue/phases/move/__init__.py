"""Move and place: calculators, data rescue, steps, arrival, lay-up."""

from retrue.phases.move.ahead import ahead
from retrue.phases.move.amending import withdraw
from retrue.phases.move.arrival import arrival, arrived, damage_pictures, keep_side
from retrue.phases.move.planning import plan
from retrue.phases.move.rescue import do_step, keep_copy, keep_data_file, read_back
from retrue.phases.move.resting import LOG, go_round, lay_up, rest
from retrue.phases.move.views import (
    Arrival,
    DataLine,
    Plan,
    Rest,
    RoundLine,
    SideShots,
    StepLine,
)

__all__ = [
    "LOG",
    "Arrival",
    "DataLine",
    "Plan",
    "Rest",
    "RoundLine",
    "SideShots",
    "StepLine",
    "ahead",
    "arrival",
    "arrived",
    "damage_pictures",
    "do_step",
    "go_round",
    "keep_copy",
    "keep_data_file",
    "keep_side",
    "lay_up",
    "plan",
    "read_back",
    "rest",
    "withdraw",
]
