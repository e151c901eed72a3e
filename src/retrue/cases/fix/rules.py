"""How a card is done: the rules of its place, job, subsystem, fault and way, added up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from retrue.cases.strip.cautions import ids_named, ids_of_place
from retrue.kinds.fixing import CardRule
from retrue.kinds.library import Kind
from retrue.kinds.once import once_a_kind

Who = Literal["anyone", "competent", "electrician"]
WHO: tuple[Who, ...] = ("anyone", "competent", "electrician")
ALWAYS = "X01"
SECOND_PERSON, LIFTING, LIVE, STUCK, HANDS = "X32", "X20", "X05", "X46", "X02"
DOORS = ("open", "close")  # cards that move covers and loads


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """All rules of one card together."""

    hoist: bool = False
    unbroken: bool = False
    alone: bool = True
    people: int = 1
    least_hours: float = 0.0
    dries_days: float = 0.0
    who: Who = "anyone"
    before: tuple[str, ...] = ()
    work: tuple[str, ...] = ()
    clean: tuple[str, ...] = ()
    measure: tuple[str, ...] = ()
    close: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()


@once_a_kind
def manner_of(
    kind: Kind,
    *,
    sort: str,
    place: str = "",
    job: str = "",
    fault: str = "",
    way: str = "",
    live: bool = False,
) -> Manner:
    """Add up the rules of one card.

    Parameters
    ----------
    kind : Kind
    sort : str
        Of the card. What a place says of hoist, hands and one evening holds for its opening and
        closing; its words, cautions and tools for every card there. Nobody lifts alone.
    place, job, fault, way : str
    live : bool
        Whether something is switched on in it.

    Returns
    -------
    Manner

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> out = manner_of(mill, sort="open", place="spindle_motor")
    >>> out.hoist, out.people, out.alone, "X32" in out.cautions
    (True, 2, False, True)
    >>> manner_of(mill, sort="work", place="spindle_motor", fault="F16", way="replace").hoist
    False
    """
    rules = [(one, one.of == f"place:{place}") for one in _rules(kind, place, job, fault, way)]
    doing = [one for one, of_place in rules if not of_place or sort in DOORS]
    needs = kind.places[place].needs.casefold() if place in kind.places else ""
    moves = needs if sort in DOORS else ""
    who = max([WHO.index(_who(needs)), *(WHO.index(one.who or "anyone") for one, _ in rules)])
    people = max([2 if "second person" in moves else 1, *(one.people or 1 for one in doing)])
    hoist = "hoist" in moves or any(one.hoist for one in doing)
    alone = people == 1 and not hoist and not any(one.alone is False for one in doing)
    said = {id for one, _ in rules for id in one.cautions}
    if place in kind.places:
        said |= ids_of_place(kind, place) - (frozenset() if hoist else {LIFTING})
    said |= ids_named(kind, "fix", fault) if fault else frozenset()
    said |= {ALWAYS} | ({LIFTING} if hoist else set()) | ({LIVE} if WHO[who] == WHO[2] else set())
    said = said | {SECOND_PERSON} if not alone or live else said - {SECOND_PERSON}
    said |= {STUCK} if sort == "open" and kind.places[place].stuck_chance > 0 else set()
    lines = [one for one, _ in rules]
    return Manner(
        hoist=hoist,
        unbroken=any(one.unbroken for one in doing),
        alone=alone and not live,
        people=people,
        least_hours=max((one.least_hours for one in doing), default=0.0),
        dries_days=max((one.dries_days for one in doing), default=0.0),
        who=WHO[who],
        before=_lines(one.before for one in lines),
        work=_lines(one.work for one in lines),
        clean=_lines(one.clean for one in lines),
        measure=_lines(one.measure for one in lines),
        close=_lines(one.close for one in lines),
        cautions=tuple(id for id in kind.cautions if id in said),
        tools=_lines(one.tools for one in lines),
    )


def _rules(kind: Kind, place: str, job: str, fault: str, way: str) -> list[CardRule]:
    """In the order place, job, subsystem, way, fault."""
    subsystem = kind.faults[fault].subsystem if fault in kind.faults else ""
    wanted = [f"place:{place}", f"job:{job}", f"subsystem:{subsystem}", f"way:{way}",
              f"fault:{fault}"]  # fmt: skip
    by_of = _by_of(kind)
    return [one for of in wanted if not of.endswith(":") for one in by_of.get(of, ())]


@once_a_kind
def _by_of(kind: Kind) -> dict[str, list[CardRule]]:
    found: dict[str, list[CardRule]] = {}
    for one in kind.card_rules:
        found.setdefault(one.of, []).append(one)
    return found


def _who(needs: str) -> Who:
    return "electrician" if "electrician" in needs else "anyone"


def _lines(groups: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(line for group in groups for line in group))
