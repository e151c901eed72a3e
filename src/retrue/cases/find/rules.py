"""What may be done now and what has to wait: the rules that stand above every price.

Each rule looks at one step and either lets it pass or says why not, what helps, and which step
opens it. They are common practice of the trade, without one source: first what killed it; no
dead drive replaced before its motor and cable pass; what is rare and severe is cleared by a
look, whatever its odds; level before wear; nothing that nobody signed for; an open stop item
lets nothing turn.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from retrue.base.say import say
from retrue.cases.find.candidates import Way
from retrue.cases.find.clearing import (
    cleared,
    clearing_look,
    danger_of,
    dead_looks,
    first_way,
    is_off,
    moment,
    open_stops,
    opener,
    uncleared,
)
from retrue.cases.find.options import RANK, Option, stage_of, stage_words
from retrue.cases.find.seek import Sought

DRIVES = ("axis drive", "spindle drive")  # subsystems
RUNS_FROM = 2  # rank from which something is fed or turns
LAST = {"apart": 9, "power_up": 15, "running": 30}  # latest moment of a stage, in their order


@dataclass(frozen=True, slots=True)
class Block:
    """Why a step has to wait."""

    rule: str
    reason: str
    remedy: str
    opens_with: str = ""
    fault: str = ""  # that the opening step treats or looks for


Rule = Callable[[Sought, Option], Block | None]


def blocked(sought: Sought, option: Option) -> Block | None:
    """The first rule that a step runs into.

    Parameters
    ----------
    sought : Sought
    option : Option

    Returns
    -------
    Block or None

    Examples
    --------
    >>> from retrue.cases.case import Happened, LotCase
    >>> from retrue.cases.find.options import option_of
    >>> from retrue.cases.find.seek import seek
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> from retrue.records.seeking import Trouble
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> trips = Happened(id="1", event=Trouble(lot="a", machine="A", symptom="Y36"), place=0)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,),
    ...                happened=(trips,))
    >>> found = seek(case, "A", load(), goal="clear", worlds=200)
    >>> blocked(found, option_of(found, "F25:replace")).rule
    'drive_last'
    """
    for rule in RULES:
        found = rule(sought, option)
        if found is not None:
            return found
    return None


def _switched_off(sought: Sought, option: Option) -> Block | None:
    """A trouble that means "off": nothing runs before it is cleared dead."""
    runs = option.sort == "again" or RANK[stage_of(sought, option)] >= RUNS_FROM
    if not runs or not is_off(sought):
        return None
    return Block(
        rule="switch_off",
        reason=say("what it does means: off, and it stays off until that is cleared dead"),
        remedy=say("Look with the main switch locked off first."),
        opens_with=next((check.id for check in dead_looks(sought)), ""),
    )


def _not_signed(sought: Sought, option: Option) -> Block | None:
    """No step whose stop point is not signed."""
    stage = stage_of(sought, option)
    if option.sort == "sign" or not stage or stage in sought.state.signed:
        return None
    return Block(
        rule="not_signed",
        reason=say("the stop point before it is not signed: {stage}", stage=stage_words(stage)),
        remedy=say("Close what it names, then sign with your name."),
        opens_with=f"sign:{stage}",
    )


def _stop_open(sought: Sought, option: Option) -> Block | None:
    """An open stop item lets nothing run."""
    if RANK[stage_of(sought, option)] < RUNS_FROM:
        return None
    for fault in open_stops(sought):
        cover = sought.kind.stop_cover.get(fault)
        if cover is not None and option.look is not None and option.look.check.id == cover.check:
            continue
        return Block(
            rule="stop_open",
            reason=say(
                "a stop item is open: {name} ({danger})",
                name=sought.kind.faults[fault].name,
                danger=cover.danger if cover else say("nothing may run with it"),
            ),
            remedy=say("Put it right and look again before anything runs."),
            **_put_right(sought, fault, cover.check if cover else ""),
        )
    return None


def _put_right(sought: Sought, fault: str, check: str) -> dict[str, str]:
    """What puts a stop item right: seen apart, itself; by its look, the likeliest behind that."""
    if fault not in sought.state.present and check in sought.state.failed:
        fault = behind_look(sought, check, (fault,))
    return {"opens_with": first_way(sought, fault), "fault": fault}


def _not_cleared(sought: Sought, option: Option) -> Block | None:
    """What is rare and severe is cleared by its look before its danger, whatever its odds."""
    if RANK[stage_of(sought, option)] < RUNS_FROM:
        return None
    at = _moment_of(sought, option)
    for fault, check in uncleared(sought, signing=option.sort == "sign"):
        if option.look is not None and option.look.check.id == check:
            continue
        if danger_of(sought, fault) > at:
            continue
        why = sought.kind.severe[fault].why if fault in sought.kind.severe else ""
        cover = sought.kind.stop_cover.get(fault)
        return Block(
            rule="severe",
            reason=say(
                "not cleared yet, however unlikely: {name} ({why})",
                name=sought.kind.faults[fault].name,
                why=why or (cover.danger if cover else ""),
            ),
            remedy=say("Make its look first: {text}", text=sought.kind.checks[check].text),
            **(
                _put_right(sought, fault, check)
                if check in sought.state.failed
                else {"opens_with": check, "fault": fault}
            ),
        )
    return None


def _moment_of(sought: Sought, option: Option) -> int:
    if option.look is not None:
        for cover in sought.kind.stop_cover.values():
            if cover.check == option.look.check.id:
                return moment(cover.done_at)
    return LAST.get(stage_of(sought, option), 0)


def _level_first(sought: Sought, option: Option) -> Block | None:
    """No reading of geometry on a machine that may stand twisted."""
    if option.look is None or option.look.needs != "running":
        return None
    for cause in sought.kind.causes:
        fault = cause.fault
        if cause.sort != "imitates" or fault not in option.look.check.links:
            continue
        if sought.kind.faults[fault].subsystem != "geometry" or cleared(sought, fault):
            continue
        if clearing_look(sought, fault) == option.look.check.id:
            continue
        return Block(
            rule="level_first",
            reason=say("level before wear: {why}", why=cause.why),
            remedy=say("Level it and prove the level first."),
            opens_with=opener(sought, fault),
            fault=fault,
        )
    return None


def _drive_last(sought: Sought, option: Option) -> Block | None:
    """A dead drive is not replaced or swapped before its motor and cable pass."""
    for part in sought.kind.swappable.values():
        if option.look is not None:
            mine = option.look.part is not None and option.look.part.id == part.id
        else:
            mine = option.way is not None and _renews_drive(sought, option.way, part.goes_along)
        missing = [
            one
            for one in part.first
            if one in sought.kind.checks and one not in sought.state.passed
        ]
        if not mine or not missing:
            continue
        failed = [one for one in missing if one in sought.state.failed]
        fault = behind_look(sought, failed[0], part.stays) if failed else ""
        return Block(
            rule="drive_last",
            reason=say("{name}: motor and cable have not passed", name=part.name),
            remedy=say("Look first: {text}", text=sought.kind.checks[missing[0]].text),
            opens_with=first_way(sought, fault) if fault else missing[0],
            fault=fault,
        )
    return None


def _renews_drive(sought: Sought, way: Way, part: tuple[str, ...]) -> bool:
    """Whether a way puts money into a drive that is one of these parts' faults."""
    if way.job or way.way in ("clean", "adjust") or way.fault not in part:
        return False
    return sought.kind.faults[way.fault].subsystem in DRIVES


def behind_look(sought: Sought, check: str, first: tuple[str, ...]) -> str:
    """The likeliest fault behind a look that failed; of those as likely, one of the first.

    Parameters
    ----------
    sought : Sought
    check : str
    first : tuple of str
        Faults.

    Returns
    -------
    str
    """
    links = sought.kind.checks[check].links
    there = [fault for fault in links if (sought.machine, fault) in sought.built.faults]
    return max(there, key=lambda fault: (sought.share(fault), fault in first, fault), default="")


def _killer_first(sought: Sought, option: Option) -> Block | None:
    """First what killed it, and first what only looks like it."""
    way = option.way
    if way is None or way.job:
        return None
    for cause in sought.kind.causes:
        if way.fault not in cause.leads_to or cleared(sought, cause.fault):
            continue
        name = sought.kind.faults[cause.fault].name
        words = (
            say("first what killed it: {name} ({why})", name=name, why=cause.why)
            if cause.sort == "feeds"
            else say("something else looks just like it: {name} ({why})", name=name, why=cause.why)
        )
        return Block(
            rule="killer_first" if cause.sort == "feeds" else "imitates",
            reason=words,
            remedy=say("Clear that first, or the money is wasted."),
            opens_with=opener(sought, cause.fault),
            fault=cause.fault,
        )
    return None


RULES: tuple[Rule, ...] = (
    _switched_off,
    _stop_open,
    _drive_last,
    _not_cleared,
    _not_signed,
    _level_first,
    _killer_first,
)
