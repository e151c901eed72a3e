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
    "call": "told by phone",
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
CARD_STATES = {
    "open": "can be done",
    "waiting": "waits",
    "out": "sent out",
    "stuck": "stuck",
    "begun": "begun",
    "not_now": "put off",
    "done": "done",
    "not_yet": "not yet",
}
STEPS = {
    "open": "open",
    "before": "read before it comes apart",
    "work": "do",
    "clean": "clean",
    "measure": "measure",
    "close": "close",
}
OUT_SORTS = {
    "ordered": "ordered",
    "sent_out": "sent out",
    "asked": "asked for a price",
    "borrowed": "borrowed",
    "hired": "hired",
}
OUT_STATES = {
    "out": "out",
    "late": "late",
    "ring": "ring today",
    "back_not_judged": "back, not judged",
    "ended": "ended",
}
ENDS = {"back": "it came back", "wrong": "the wrong thing came", "called_off": "called off"}
PART_STATES = {
    "to_buy": "to buy",
    "asked": "asked",
    "ordered": "ordered",
    "sent_out": "sent out",
    "here": "here",
    "no_vendor": "nobody is named for it",
}
WHO = {
    "anyone": "anyone",
    "competent": "somebody trained for it",
    "electrician": "a licensed electrician",
}
HAVE = {"owned": "owned", "borrowed": "borrowed", "hired": "hired", "none": "none"}
GEAR = {"hoist": "hoist", "floor_place": "floor place"}
MARKS = {
    "begun": "begun",
    "done": "done",
    "stuck": "stuck",
    "found": "something found",
    "not_now": "put off",
    "open_again": "open again",
}
STOPS = {
    "go_on": "go on",
    "sell_as_it_stands": "sell it as it stands",
    "part_out": "sell it in parts",
}
INSTRUMENTS = {
    "accelerometer": "accelerometer",
    "ball_bar": "ball bar",
    "grid_plate": "grid plate",
    "indicator": "indicator",
    "laser": "laser",
    "level": "level",
    "lux_meter": "lux meter",
    "micrometer": "micrometer",
    "sound_meter": "sound meter",
    "square": "square",
    "step_gauge": "step gauge",
    "straightedge": "straightedge",
    "test_bar": "test bar",
    "thermometer": "thermometer",
}
TABLES: dict[str, Mapping[str, str]] = {
    "level": LEVELS,
    "plan": PLANS,
    "stage": STAGES,
    "urgency": URGENCY,
    "answer": ANSWERS,
    "sale": SALES,
    "ruling": RULINGS,
    "way": WAYS,
    "instrument": INSTRUMENTS,
    "card": CARD_STATES,
    "step": STEPS,
    "out sort": OUT_SORTS,
    "out": OUT_STATES,
    "end": ENDS,
    "part": PART_STATES,
    "who": WHO,
    "have": HAVE,
    "gear": GEAR,
    "mark": MARKS,
    "stop": STOPS,
}
