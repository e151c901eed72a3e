"""Fault-finding: the deeds from symptom to cause. Doors call these and nothing below them.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` and ``machine`` are names or ids; a trouble is named by the id of any of its
records. ``kinds`` is the library before anything was learned: deeds that need learned shares lay
them over it themselves. What was done is kept whatever the advice was; a correction is a new
record that stands where the old one stood, and everything follows.
"""

from retrue.belief.scores import Bin
from retrue.cases.find.advice import (
    GOALS,
    Advice,
    Goal,
    GroupStands,
    Held,
    HunchCost,
    Separates,
    Step,
    Suspect,
)
from retrue.kinds.learned import Family
from retrue.phases.find.acting import STAGES, did, sign, swap
from retrue.phases.find.advising import SEED, WORLDS, advise, advise_case, remembered
from retrue.phases.find.amending import correct, newest_of, withdraw
from retrue.phases.find.asking import (
    guess_cause,
    prove_group,
    saw,
    symptoms,
    tell,
    troubles,
    try_again,
)
from retrue.phases.find.learning import Learned, LearnedRow, Scores, kinds_learned, learned
from retrue.phases.find.teardown import teardown
from retrue.phases.find.telling import not_needed, serials, tried, way_words
from retrue.phases.find.views import NotNeeded, SerialLine, TriedLine, TroubleLine

__all__ = [
    "GOALS",
    "SEED",
    "STAGES",
    "WORLDS",
    "Advice",
    "Bin",
    "Family",
    "Goal",
    "GroupStands",
    "Held",
    "HunchCost",
    "Learned",
    "LearnedRow",
    "NotNeeded",
    "Scores",
    "Separates",
    "SerialLine",
    "Step",
    "Suspect",
    "TriedLine",
    "TroubleLine",
    "advise",
    "advise_case",
    "correct",
    "did",
    "guess_cause",
    "kinds_learned",
    "learned",
    "newest_of",
    "not_needed",
    "prove_group",
    "remembered",
    "saw",
    "serials",
    "sign",
    "swap",
    "symptoms",
    "teardown",
    "tell",
    "tried",
    "troubles",
    "try_again",
    "way_words",
    "withdraw",
]
