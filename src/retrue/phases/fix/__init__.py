"""What to do: tonight, who owes what, what to choose and buy, and when it will cut.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` and ``machine`` are names or ids.
"""

from retrue.phases.fix.cards import cards
from retrue.phases.fix.marking import correct_mark, mark, take_back_mark, what_next
from retrue.phases.fix.tonight import tonight

__all__ = [
    "cards",
    "correct_mark",
    "mark",
    "take_back_mark",
    "tonight",
    "what_next",
]
