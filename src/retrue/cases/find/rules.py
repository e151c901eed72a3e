"""What may be done now and what has to wait: the rules that stand above every price.

Each rule looks at one step and either lets it pass or says why not, what helps, and which step
opens it. They are common practice of the trade, without one source: first what killed it; no
dead drive replaced before its motor and cable pass; what is rare and severe is cleared by a
look, whatever its odds; level before wear; nothing that nobody signed for; an open stop item
lets nothing turn.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from retrue.base.say import say
from retrue.cases.find.candidates import NEEDS, Look, Way, chain_of, look_of
from retrue.cases.find.seek import Sought
from retrue.kinds.library import Check

RANK = {"": 0, "apart": 1, "power_up": 2, "running": 3}
BEFORE_POWER = ("visit_dead", "lift", "apart")
RUNS_FROM = 2  # rank from which something is fed or turns
LAST = {"apart": 9, "power_up": 15, "running": 30}  # latest moment of a stage, in their order
CUT, LOOSE = 30, 16  # cutting; a head that nothing holds
SHOWS_WELL = 0.5  # a look with such a link to a fault can clear it


@dataclass(frozen=True, slots=True)
class Option:
    """One step as numbers: what :func:`retrue.cases.find.steps.offered` puts in order."""

    sort: Literal["test", "treat", "help", "again", "sign"]
    key: str
    item: int
    cost: float
    value: float
    tie: bool = False
    look: Look | None = None
    way: Way | None = None
    goal: int = 0


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
    """
    for rule in RULES:
        found = rule(sought, option)
        if found is not None:
            return found
    return None


def stage_of(sought: Sought, option: Option) -> str:
    """The stop point that must be signed for a step; empty if none.

    Parameters
    ----------
    sought : Sought
    option : Option

    Returns
    -------
    str
    """
    if option.look is not None:
        return option.look.needs
    if option.way is not None:
        return "apart" if sought.purse.open_cost(option.way.opens) > 0.0 else ""
    if option.sort == "again":
        return _trial_stage(sought, option)
    return option.key.partition(":")[2] if option.sort == "sign" else ""


def _trial_stage(sought: Sought, option: Option) -> str:
    if sought.trouble is None:
        group = sought.kind.groups[sought.suspects.groups[option.goal]]
        return NEEDS.get(group.stage, "")
    check = sought.kind.checks.get(sought.symptom.check) if sought.symptom else None
    if check is None or any(stage in check.stages for stage in ("visit_dead", "apart")):
        return ""
    return min((NEEDS.get(s, "") for s in check.stages), key=lambda s: RANK[s] or 9)


def _switched_off(sought: Sought, option: Option) -> Block | None:
    """A trouble that means "off": nothing runs before it is cleared dead."""
    runs = option.sort == "again" or RANK[stage_of(sought, option)] >= RUNS_FROM
    if not runs or not is_off(sought):
        return None
    return Block(
        rule="switch_off",
        reason=say("what it does means: off, and it stays off until that is cleared dead"),
        remedy=say("Look with the main switch locked off first."),
        opens_with=next((check.id for check in _dead_looks(sought)), ""),
    )


def is_off(sought: Sought) -> bool:
    """Whether a machine has to stay off because of what it does.

    Parameters
    ----------
    sought : Sought

    Returns
    -------
    bool
        True until the trouble's own look passed dead, or, where it cannot be made dead, until all
        dead looks at its suspects passed.
    """
    symptom = sought.symptom
    if symptom is None or not symptom.switch_off_first or sought.met:
        return False
    own = sought.kind.checks.get(symptom.check)
    if own is not None and _dead(own):
        return own.id not in sought.state.passed
    looks = [check.id for check in _all_dead_looks(sought)]
    return not looks or any(id not in sought.state.passed for id in looks)


def _dead_looks(sought: Sought) -> list[Check]:
    """Looks that clear a trouble dead and are not answered yet, its own first."""
    symptom = sought.symptom
    own = sought.kind.checks.get(symptom.check) if symptom else None
    if own is not None and _dead(own):
        return [own] if own.id not in sought.state.answered else []
    return [one for one in _all_dead_looks(sought) if one.id not in sought.state.answered]


def _all_dead_looks(sought: Sought) -> list[Check]:
    mine = {item.fault for item in sought.suspects.items}
    return [
        check
        for check in sought.kind.checks.values()
        if _dead(check) and any(f in mine and link >= SHOWS_WELL for f, link in check.links.items())
    ]


def _dead(check: Check) -> bool:
    return "visit_dead" in check.stages or "apart" in check.stages


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


def stage_words(stage: str) -> str:
    """A stop point as the page says it.

    Parameters
    ----------
    stage : str

    Returns
    -------
    str
    """
    return {
        "apart": say("taking apart"),
        "power_up": say("first power"),
        "running": say("running"),
    }[stage]


def moment(word: str) -> int:
    """Where in time a danger or a look of the stop list stands, as a number.

    Parameters
    ----------
    word : str
        ``visit_dead``, ``lift``, ``apart``, ``P0`` to ``P10``, ``cut``, ``unpropped``.

    Returns
    -------
    int

    Examples
    --------
    >>> moment("apart") < moment("P2") < moment("P10") < moment("cut")
    True
    """
    if word in BEFORE_POWER:
        return BEFORE_POWER.index(word)
    if word.startswith("P") and word[1:].split("-")[0].isdigit():
        return 10 + int(word[1:].split("-")[0])
    return LOOSE if word == "unpropped" else CUT


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
            opens_with=_first_way(sought, fault),
            fault=fault,
        )
    return None


def open_stops(sought: Sought) -> tuple[str, ...]:
    """Stop items that were found and not put right since.

    Parameters
    ----------
    sought : Sought

    Returns
    -------
    tuple of str
        Faults, in the kind's order.
    """
    state, kind = sought.state, sought.kind
    return tuple(
        fault.id
        for fault in kind.faults.values()
        if fault.urgency == "STOP"
        and (sought.machine, fault.id) in sought.built.faults
        and fault.id not in state.absent
        and (
            fault.id in state.present
            or (fault.id in kind.stop_cover and kind.stop_cover[fault.id].check in state.failed)
        )
    )


def _not_cleared(sought: Sought, option: Option) -> Block | None:
    """What is rare and severe is cleared by its look before its danger, whatever its odds."""
    if RANK[stage_of(sought, option)] < RUNS_FROM:
        return None
    at = _moment_of(sought, option)
    for fault, check in uncleared(sought, signing=option.sort == "sign"):
        if option.look is not None and option.look.check.id == check:
            continue
        if _danger(sought, fault) > at:
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
            opens_with=check if check not in sought.state.failed else _first_way(sought, fault),
            fault=fault,
        )
    return None


def uncleared(sought: Sought, *, signing: bool) -> Iterator[tuple[str, str]]:
    """Faults that must be cleared by a look whatever their odds, and are not.

    Parameters
    ----------
    sought : Sought
    signing : bool
        Before a signature all severe ones count. After it, the signer answers for those that
        have nothing to do with the trouble.

    Yields
    ------
    tuple of (str, str)
        Fault and the look that clears it.
    """
    kind, state = sought.kind, sought.state
    covers = {one.fault: one.check for one in kind.stop_cover.values()}
    looks = {**covers, **{one.fault: one.check for one in kind.severe.values()}}
    mine = {item.fault for item in sought.suspects.items}
    for fault, check in looks.items():
        if (sought.machine, fault) not in sought.built.faults or check not in kind.checks:
            continue
        if check in state.passed or fault in state.absent:
            continue
        severe = fault in kind.severe
        wanted = severe if signing or sought.trouble is None else fault in mine
        if wanted or (signing and fault in mine and sought.trouble is not None):
            yield fault, check


def _danger(sought: Sought, fault: str) -> int:
    cover = sought.kind.stop_cover.get(fault)
    return moment(cover.danger_at) if cover else moment("P0")


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
            opens_with=_opener(sought, fault),
            fault=fault,
        )
    return None


def _drive_last(sought: Sought, option: Option) -> Block | None:
    """A dead drive is not replaced or swapped before its motor and cable pass."""
    for part in sought.kind.swappable.values():
        if option.look is not None:
            mine = option.look.part is not None and option.look.part.id == part.id
        else:
            way = option.way
            mine = (
                way is not None and way.fault in part.goes_along and not way.job
                and way.way not in ("clean", "adjust")
            )  # fmt: skip
        missing = [
            one
            for one in part.first
            if one in sought.kind.checks and one not in sought.state.passed
        ]
        if not mine or not missing:
            continue
        failed = [one for one in missing if one in sought.state.failed]
        fault = _behind_look(sought, failed[0], part.stays) if failed else ""
        return Block(
            rule="drive_last",
            reason=say("{name}: motor and cable have not passed", name=part.name),
            remedy=say("Look first: {text}", text=sought.kind.checks[missing[0]].text),
            opens_with=_first_way(sought, fault) if fault else missing[0],
            fault=fault,
        )
    return None


def _behind_look(sought: Sought, check: str, stays: tuple[str, ...]) -> str:
    """The likeliest fault behind a look that failed."""
    links = sought.kind.checks[check].links
    there = [fault for fault in stays if fault in links] or list(links)
    return max(there, key=lambda fault: (sought.share(fault), fault))


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
            opens_with=_opener(sought, cause.fault),
            fault=cause.fault,
        )
    return None


def cleared(sought: Sought, fault: str) -> bool:
    """Whether an earlier cause is out of the way.

    Parameters
    ----------
    sought : Sought
    fault : str

    Returns
    -------
    bool
        It cannot be on this machine; it was put right; its look passed; it was seen not to be
        there; its group passed its proof; or it is rarer than the kind's gate.
    """
    state, kind = sought.state, sought.kind
    if (sought.machine, fault) not in sought.built.faults:
        return True
    if fault in state.present:
        return False
    if fault in state.absent or fault in state.treated:
        return True
    if any(check in state.passed for check in _clearing_looks(sought, fault)):
        return True
    proved = {group for group, _ in state.proved}
    if any(kind.faults[fault].subsystem in kind.groups[g].subsystems for g in proved):
        return True
    return sought.share(fault) < sought.purse.estimate("gate_share")


def clearing_look(sought: Sought, fault: str) -> str:
    """The look that shows a fault best.

    Parameters
    ----------
    sought : Sought
    fault : str

    Returns
    -------
    str
        Empty where none shows it well.
    """
    looks = _clearing_looks(sought, fault)
    return looks[0] if looks else ""


def _clearing_looks(sought: Sought, fault: str) -> list[str]:
    """Looks that clear a fault, the best first: those that show it nearly as well as any."""
    kind = sought.kind
    links = {c.id: c.links[fault] for c in kind.checks.values() if c.links.get(fault, 0.0) > 0.0}
    good = [id for id, link in links.items() if link >= SHOWS_WELL]
    return sorted(good, key=lambda id: (-links[id], id))


def _opener(sought: Sought, fault: str) -> str:
    """The step that clears a fault: the dead look of a good one, else any, else putting right."""
    state, kind = sought.state, sought.kind
    looks = _clearing_looks(sought, fault)
    if fault not in state.present and not any(look in state.failed for look in looks):
        fresh = [look for look in looks if look in sought.looks]
        if fresh:
            return min(
                fresh, key=lambda id: (not _dead(kind.checks[id]), -kind.checks[id].links[fault])
            )
    return _first_way(sought, fault)


def _first_way(sought: Sought, fault: str) -> str:
    ways = chain_of(fault, sought.state, sought.purse, None, 0.0)
    return ways[0].key if ways else ""


def option_of(sought: Sought, key: str, fault: str = "") -> Option | None:
    """A step by its key, as an option without a value of its own yet.

    Parameters
    ----------
    sought : Sought
    key : str
        Of a look, a way, or ``sign:`` and a stage.
    fault : str
        For a job that cures several.

    Returns
    -------
    Option or None
        None where there is no such step.
    """
    if key.startswith("sign:"):
        return Option("sign", key, -1, 0.0, 0.0)
    look = sought.looks.get(key)
    if look is None and key in sought.kind.checks:
        check = sought.kind.checks[key]
        look = look_of(check, sought.state, sought.purse, sought.case.lot.seller)
    open_now = sought.search.open_now
    if look is not None:
        cost = look.spent.cost + sought.purse.open_cost(look.opens, open_now)
        return Option("test", key, -1, cost, 0.0, look=look)
    owner = fault or key.partition(":")[0]
    for way in chain_of(owner, sought.state, sought.purse, None, 0.0):
        if way.key == key:
            cost = way.spent.cost + sought.purse.open_cost(way.opens, open_now)
            return Option("treat", key, _item(sought, owner), cost, 0.0, way=way)
    return None


def _item(sought: Sought, fault: str) -> int:
    for place, item in enumerate(sought.suspects.items):
        if item.fault == fault and item.machine == sought.machine:
            return place
    return -1


RULES: tuple[Rule, ...] = (
    _switched_off,
    _stop_open,
    _not_cleared,
    _not_signed,
    _level_first,
    _drive_last,
    _killer_first,
)
