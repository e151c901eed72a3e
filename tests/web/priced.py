"""What the page of a lot says of its price."""

from __future__ import annotations

import re

from tests.web.measuring import first
from tests.web.visitor import Visitor


def amount(owner: Visitor, lot: str) -> str:
    """The number, or that nothing is to be bid."""
    told = first(r'id="amount">(.+?)</(?:output|p)>', owner.get(lot).text)
    return re.sub(r"<[^>]+>", "", told)
