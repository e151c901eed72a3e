"""What the fields of one fact of fault-finding must be to each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.records.measuring_rules import HASH_IN_HEX
from retrue.records.seeking import Act, PartMoved, Trial

TREATS = frozenset({"clean", "adjust", "repair", "replace", "send_out"})
Rule = Callable[[Any], Iterator[Problem]]


def _trial(fact: Trial) -> Iterator[Problem]:
    if fact.trouble is None and fact.group is None:
        yield Problem(
            "trouble", say("is missing"), say("Say what was tried again: a trouble or a group.")
        )
    elif fact.trouble is not None and fact.group is not None:
        yield Problem("group", say("comes together with a trouble"), say("Keep them as two tries."))
    elif fact.group is not None and not fact.level:
        yield Problem(
            "level",
            say("is missing"),
            say("Say against which level the group was held: just_running, right or like_new."),
        )
    elif fact.trouble is not None and fact.level:
        yield Problem("level", say("does not belong to a trouble"), say("Leave it out."))


def _act(fact: Act) -> Iterator[Problem]:
    if fact.fault is not None and fact.job is not None:
        yield Problem("job", say("comes together with a fault"), say("Keep them as two acts."))
    elif fact.sort in TREATS and fact.fault is None and fact.job is None:
        yield Problem(
            "fault", say("is missing"), say("Say what it was to put right, or which job.")
        )
    if fact.way and fact.fault is None:
        yield Problem("way", say("has no fault"), say("Say which fault it was to put right."))
    if fact.cures is not None and fact.sort not in TREATS:
        yield Problem(
            "cures", say("does not belong to this sort of act"), say("Only what treats can cure.")
        )
    for place, picture in enumerate(fact.pictures, 1):
        if not HASH_IN_HEX.fullmatch(picture):
            yield Problem(
                "pictures",
                say("number {place} is not a SHA-256 in hex", place=place),
                say("Keep the file first."),
            )


def _part_moved(fact: PartMoved) -> Iterator[Problem]:
    if (fact.machine, fact.slot) == (fact.from_machine, fact.from_slot):
        yield Problem(
            "from_slot", say("is where the part already is"), say("Name the slot it came out of.")
        )
    if fact.other_serial and fact.other_serial == fact.serial:
        yield Problem(
            "other_serial",
            say("is the same as the serial number of the part"),
            say("Read both plates again."),
        )
    if fact.why == "swap" and not fact.other_serial:
        yield Problem(
            "other_serial",
            say("is missing"),
            say("In a swap a part goes each way: write both numbers down."),
        )
    if fact.why == "donor" and fact.other_serial:
        yield Problem(
            "other_serial",
            say("does not belong to a donor part"),
            say("Leave it out, or say that it was a swap."),
        )


SEEKING: Mapping[type[Any], tuple[Rule, ...]] = {
    Trial: (_trial,),
    Act: (_act,),
    PartMoved: (_part_moved,),
}
