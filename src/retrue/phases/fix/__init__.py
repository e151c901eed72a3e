"""What to do: tonight, who owes what, what to choose and buy, and when it will cut.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` and ``machine`` are names or ids.
"""

from retrue.phases.fix.buying import (
    buying,
    buying_file,
    buying_table,
    keep_buying,
    read_buying,
)
from retrue.phases.fix.cards import cards, cards_file
from retrue.phases.fix.choosing import choose
from retrue.phases.fix.first import first_cards
from retrue.phases.fix.hands import gear, set_gear, set_worker, staffed, workers
from retrue.phases.fix.marking import correct_mark, mark, take_back_mark, what_next
from retrue.phases.fix.options import options, stop_loss
from retrue.phases.fix.out_amending import correct_out, withdraw_out
from retrue.phases.fix.owned import bid_for, in_hand
from retrue.phases.fix.papers import calendar, card_sheets, week
from retrue.phases.fix.planning import keep_plan, kept_plan, plan, plan_file
from retrue.phases.fix.quoting import quote, quote_said, read_quote, take, tax_rate
from retrue.phases.fix.sheets import card_by_code
from retrue.phases.fix.stocking import set_stock
from retrue.phases.fix.together import together
from retrue.phases.fix.tonight import tonight, tonight_file
from retrue.phases.fix.upgrades import upgrades
from retrue.phases.fix.waiting import back, judge, one_out, ring, send, waiting

__all__ = [
    "back",
    "bid_for",
    "buying",
    "buying_file",
    "buying_table",
    "calendar",
    "card_by_code",
    "card_sheets",
    "cards",
    "cards_file",
    "choose",
    "correct_mark",
    "correct_out",
    "first_cards",
    "gear",
    "in_hand",
    "judge",
    "keep_buying",
    "keep_plan",
    "kept_plan",
    "mark",
    "one_out",
    "options",
    "plan",
    "plan_file",
    "quote",
    "quote_said",
    "read_buying",
    "read_quote",
    "ring",
    "send",
    "set_gear",
    "set_stock",
    "set_worker",
    "staffed",
    "stop_loss",
    "take",
    "take_back_mark",
    "tax_rate",
    "together",
    "tonight",
    "tonight_file",
    "upgrades",
    "waiting",
    "week",
    "what_next",
    "withdraw_out",
    "workers",
]
