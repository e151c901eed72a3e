"""Every calculator by its book: move, first power, measure, what to do."""

from __future__ import annotations

from collections.abc import Mapping

# book -> calculators in their order -> module of that book's cases
BOOKS: Mapping[str, Mapping[str, str]] = {
    "move": {
        "lift": "lift",
        "forklift": "forklift",
        "skates": "skates",
        "ramp": "ramp",
        "door": "door",
        "tie": "tie",
        "floor": "floor",
        "supply": "supply",
        "conductor": "conductor",
        "air": "air",
        "layup": "layup",
    },
    "wake": {
        "insulation": "insulation",
        "winding": "winding",
        "earth": "earth",
        "bus": "bus",
        "overload": "overload",
        "matching": "matching",
        "brake": "brake",
        "warmup": "warmup",
    },
    "prove": {
        "exposure": "exposure",
        "soundpower": "soundpower",
        "treatment": "treatment",
        "bearing": "bearing",
        "balance": "balance",
        "belt": "belt",
        "lamps": "lamps",
    },
    "fix": {
        "motor": "match_motor",
        "drive": "match_drive",
        "contactor": "match_contactor",
        "relay": "match_relay",
        "match_overload": "match_overload",
        "match_belt": "match_belt",
        "match_bearing": "match_bearing",
        "hose": "match_hose",
        "cell": "match_cell",
        "lamp": "match_lamp",
        "display": "match_display",
    },
}
WHERE = {"fix": "fix match"}  # a book whose commands stand one group deeper
AGAIN = "match_"  # before an id that another book has taken; nobody types it
