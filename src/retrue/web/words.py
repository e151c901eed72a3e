"""The pages' words for the code words of sheets and libraries."""

from __future__ import annotations

from collections.abc import Mapping

LEVELS = {"just_running": "just running", "right": "right", "like_new": "like new", "": "as it is"}
PLANS = {
    "keep": "keep it",
    "sell_as_found": "sell it as found",
    "sell_running": "sell it running",
    "sell_proven": "sell it proven",
    "part_out": "sell it in parts",
    "donor": "take parts from it",
    "new_control": "keep it, with a new control",
}
STAGES = {
    "photo": "on a photograph",
    "call": "told by telephone",
    "visit_dead": "at the visit, power off",
    "visit_live": "at the visit, under power",
    "apart": "taken apart",
    "power_up": "at first power",
    "running": "running",
}
URGENCY = {"STOP": "stop", "MUST": "must", "SHOULD": "should", "MAY": "can wait"}
ANSWERS = {
    "not_seen": "not seen",
    "seen": "seen",
    "slight": "slight",
    "severe": "severe",
    "cant_tell": "can’t tell",
}
SALES = {
    "ascending": "bids go up until nobody bids more",
    "fixed_price": "fixed price",
    "offer": "make an offer",
    "sealed": "one sealed bid",
}
RULINGS = {"proved_good": "in", "not_proved": "too close to call", "proved_bad": "out"}
WAYS = {"owned": "owned", "borrow": "to borrow", "hire": "to hire"}
TABLES: dict[str, Mapping[str, str]] = {
    "level": LEVELS,
    "plan": PLANS,
    "stage": STAGES,
    "urgency": URGENCY,
    "answer": ANSWERS,
    "sale": SALES,
    "ruling": RULINGS,
    "way": WAYS,
}
