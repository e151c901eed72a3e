"""What the fields of a device that joins must be to each other."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.records.joining import DeviceJoined

Rule = Callable[[Any], Iterator[Problem]]
DEVICE = re.compile(r"[a-z0-9-]{1,40}")
LONGEST_NAME = 80  # characters


def _device_joined(fact: DeviceJoined) -> Iterator[Problem]:
    if not DEVICE.fullmatch(fact.device):
        yield Problem(
            "device", say("is no name of a device"), say("Let the device scan a new code.")
        )
    for name, value in (("name", fact.name), ("person", fact.person)):
        if len(value) > LONGEST_NAME:
            yield Problem(
                name,
                say("has {count} characters", count=len(value)),
                say("{most} at most.", most=LONGEST_NAME),
            )
    yield from _buyer(fact)


def _buyer(fact: DeviceJoined) -> Iterator[Problem]:
    """A buyer reads one record until a day; nobody else has either."""
    said = {"given": fact.given, "until_on": fact.until_on}
    for name, value in said.items():
        if fact.role == "buyer" and not value:
            yield Problem(
                name,
                say("is missing"),
                say("Say which condition record a buyer reads, and until which day."),
            )
        if fact.role != "buyer" and value is not None:
            yield Problem(name, say("belongs to a buyer only"), say("Leave it out."))


JOINING: Mapping[type[Any], tuple[Rule, ...]] = {DeviceJoined: (_device_joined,)}
