"""The section of guards and interlocks."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.kinds import readers as read
from retrue.kinds.keys import NAME, NAMES, TEXT, YES, Key, Section

GUARDING: Mapping[str, Section] = {
    "guard": Section(
        ("id",),
        {
            "id": NAME,
            "name": TEXT,
            "place": Key(read.place),
            "faults": NAMES,
            "checks": NAMES,
            "how": TEXT,
            "optional": YES,
            "cautions": NAMES,
        },
    ),
}
