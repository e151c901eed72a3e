"""What the fields of the fact of a backup must be to each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.records.keeping import BackedUp
from retrue.records.measuring_rules import HASH_IN_HEX

Rule = Callable[[Any], Iterator[Problem]]


def _backed_up(fact: BackedUp) -> Iterator[Problem]:
    if not HASH_IN_HEX.fullmatch(fact.last_sha256):
        yield Problem("last_sha256", say("is not a SHA-256 in hex"), say("Make the backup again."))


KEEPING: Mapping[type[Any], tuple[Rule, ...]] = {BackedUp: (_backed_up,)}
