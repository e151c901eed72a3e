"""The numbers of one channel of a watch, each with its give or take, or why there is none."""

from __future__ import annotations

import math
from collections.abc import Iterator

from retrue.base.say import say
from retrue.cases.wake.watch_view import Number
from retrue.cases.wake.watch_words import part
from retrue.science.watch_state import ChannelState


def numbers_of(state: ChannelState) -> Iterator[Number]:
    """What one channel says in numbers.

    Parameters
    ----------
    state : ChannelState

    Yields
    ------
    Number
        Nothing of a channel that was never read.

    Examples
    --------
    >>> [one.key for one in numbers_of(ChannelState(name="amps", unit="A", level=6.0, read_s=0.0))]
    ['amps', 'amps_per_min', 'amps_drift']
    """
    if math.isnan(state.level) and math.isnan(state.newest):
        return
    name, key = part(state.name), state.name.replace(":", "_").replace(" ", "_")
    key = key if not state.warms else f"{key}_c"
    few = say("too few readings yet")
    digits = 2 if state.unit == "mm/s" else 1
    newest = state.level if math.isnan(state.newest) else state.newest  # what the display shows
    yield Number(key=key, name=name, value=newest, unit=state.unit, digits=digits)
    yield _number(f"{key}_per_min", say("{part}, a minute", part=name), state.rate.per_min,
                  f"{'K' if state.warms else state.unit}/min", 2, state.rate.give_or_take,
                  few)  # fmt: skip
    if state.warms and state.name != "room":
        yield _number(f"{key}_rise_kelvin", say("{part} over the room", part=name),
                      state.rise_kelvin, "K", 1, None, say("the room was not read"))  # fmt: skip
        yield _number(f"{key}_step_rise_kelvin", say("{part} over its start", part=name),
                      state.step_rise, "K", 1, None, few)  # fmt: skip
    if not state.warms:
        yield _number(f"{key}_drift", say("{part} against its own level", part=name),
                      state.drift, state.unit, digits, None, few)  # fmt: skip
    if not math.isnan(state.points):
        yield Number(key=f"{key}_points", name=say("{part}, points of the rated up", part=name),
                     value=state.points, unit="%", digits=0)  # fmt: skip
    if not math.isnan(state.cap) and state.warms:
        never = say("it does not get there")
        until = say("minutes until {part} is over its limit", part=name)
        yield _number(f"{key}_cap_minutes", until, state.cap_minutes, "min", 0, None, never)
        yield _number(f"{key}_cap_earliest_minutes", say("and at the earliest"),
                      state.cap_earliest_minutes, "min", 0, None, never)  # fmt: skip


def _number(
    key: str, name: str, value: float, unit: str, digits: int, doubt: float | None, why: str
) -> Number:
    known = math.isfinite(value)
    return Number(key=key, name=name, value=value if known else None, unit=unit, digits=digits,
                  give_or_take=doubt if known and doubt is not None and math.isfinite(doubt)
                  else None, why="" if known else why)  # fmt: skip
