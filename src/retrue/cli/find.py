"""Fault-finding at the keyboard: what it does, the next step, what was done, what it taught."""

from __future__ import annotations

from typing import Any

import click

from retrue.cli.deeds import ByDeed

# The words stand here so that help loads nothing: name, where it lives, what it does.
DEEDS: dict[str, tuple[str, str]] = {
    "symptoms": ("find_next:symptoms", "What machines of a type do, in owners' words."),
    "tell": ("find_tell:tell", "Keep what a machine does; say the next step."),
    "next": ("find_next:next_", "The next step, why, and what else could be done."),
    "saw": ("find_tell:saw", "Keep what a look showed; say the next step."),
    "guess": ("find_tell:guess", "Keep 'I think it is ...' and what following it costs."),
    "did": ("find_acts:did", "Keep what was done: expected, seen, decided, paid."),
    "again": ("find_tell:again", "Keep whether it still does it, or a group is right."),
    "swap": ("find_acts:swap", "Keep that a part changed places, with its serial number."),
    "sign": ("find_acts:sign", "Sign a stop point by name; its steps are open then."),
    "teardown": ("find_acts:teardown", "Keep what was really there, beside what was guessed."),
    "tried": ("find_shop:tried", "What was tried so far, and what was not needed."),
    "take-back": ("find_shop:take_back", "Take back something said by mistake."),
    "serials": ("find_shop:serials", "Where each serial number is now."),
    "learned": ("find_shop:learned", "Guessed, was, next time: what teardowns taught."),
    "rehearse": ("find_rehearse:rehearse", "Practise on a machine whose faults are hidden."),
}


@click.group(cls=ByDeed, deeds=DEEDS)
def find(**_: Any) -> None:
    """From what a machine does to its cause, at the least cost.

    CASE is a lot file or a lot in the shop. Costs are estimates for planning. Local codes and
    licensed trades go first.
    """
