"""Looks that clear what must not be there: those made dead before power, the others after it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from retrue.base.say import say
from retrue.cases.find.dead import is_dead
from retrue.cases.fix.lines import Card, Step
from retrue.kinds.judged import Three
from retrue.kinds.library import Check

if TYPE_CHECKING:
    from retrue.cases.fix.kept import FixKept
    from retrue.cases.fix.needed import Needed

CLEAR, CLEAR_RUNNING = "measure:clear", "measure:clear_running"
ALWAYS, SECOND_PERSON, LIVE = "X01", "X32", "X05"


def clearing_hours(need: Needed) -> dict[str, float]:
    """Hours of these looks, by the card they stand on.

    Parameters
    ----------
    need : Needed

    Returns
    -------
    dict of str to float
        Only cards on which there is anything.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> look = SimpleNamespace(stages=("apart",), minutes=90.0)
    >>> clearing_hours(SimpleNamespace(clearing=(look,)))
    {'measure:clear': 1.5}
    """
    return {
        key: sum(one.minutes for one in looks) / 60
        for key, looks in _parted(need.clearing).items()
        if looks
    }


def clearing_cards(kept: FixKept, need: Needed) -> Iterator[Card]:
    """One card of the looks made dead, one of those that need something to move or run.

    Parameters
    ----------
    kept : FixKept
    need : Needed

    Yields
    ------
    Card
        What is live in them is for a licensed electrician: he hands back numbers and a signature.
    """
    hours = clearing_hours(need)
    for key, looks in _parted(need.clearing).items():
        if not looks:
            continue
        running = key == CLEAR_RUNNING
        said = {one.caution for one in looks} | {ALWAYS} | ({SECOND_PERSON} if running else set())
        said |= {LIVE} if any(one.who == "electrician" for one in looks) else set()
        title = say("Looks that clear what must not be there, by hand and under power") if (
            running) else say("Looks that clear what must not be there, all dead")  # fmt: skip
        yield Card(
            key=key,
            lot=kept.lot,
            machine=need.machine.key,
            machine_name=need.machine.name,
            sort="measure",
            title=title,
            place="",
            place_name="",
            steps=tuple(_steps(looks)),
            hours=Three(hours[key], hours[key], hours[key]),
            alone=not running,
            who="competent",
            cautions=tuple(id for id in need.kind.cautions if id in said),
            tools=tuple(dict.fromkeys(tool for one in looks for tool in one.tools)),
        )


def _parted(looks: Iterable[Check]) -> dict[str, list[Check]]:
    parted: dict[str, list[Check]] = {CLEAR: [], CLEAR_RUNNING: []}
    for one in looks:
        parted[CLEAR if is_dead(one) else CLEAR_RUNNING].append(one)
    return parted


def _steps(looks: Iterable[Check]) -> Iterator[Step]:
    for one in looks:
        text = one.text
        if one.who == "electrician":
            text = say("{look} (licensed: his numbers and signature)", look=one.text)
        yield Step(sort="measure", text=text)
