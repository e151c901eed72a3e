"""What was kept, newest first: shown in plain words, taken back, brought back.

Every deed takes the shop first and the hand that writes last. What is taken back stays readable and
counts no more; what hangs on it falls with it, or holds it, by `retrue.cases.diary_rules`.
"""

from retrue.phases.diary.listing import (
    Kept,
    Page,
    about_of,
    device_names,
    kept,
    kept_of,
    said_by,
)
from retrue.phases.diary.one import KeptOne, one
from retrue.phases.diary.taking import TakeBack, bring_back, say_anew, take_back

__all__ = [
    "Kept",
    "KeptOne",
    "Page",
    "TakeBack",
    "about_of",
    "bring_back",
    "device_names",
    "kept",
    "kept_of",
    "one",
    "said_by",
    "say_anew",
    "take_back",
]
