"""Why a step is worth it, in words: which suspects it parts, from what to what."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import money, number
from retrue.base.say import say
from retrue.cases.find.advice import Goal, Separates, StepSort, Suspect
from retrue.cases.find.candidates import Look
from retrue.cases.find.clearing import cleared, uncleared
from retrue.cases.find.options import Option, stage_words
from retrue.cases.find.seek import Sought, try_shows
from retrue.choose.seeking import Test

Floats = NDArray[np.float64]

MOST_APART = 4  # suspects told of one step
MOST_TOLD = 3  # of them, in the sentence of the step
LEAST_APART = 0.02
MOST_SUSPECTS = 8
LEAST_SUSPECT = 0.02
GOOD = ("not_seen", "within")  # answers of a look that pass it
WAYS: dict[str, StepSort] = {
    "clean": "clean",
    "adjust": "adjust",
    "repair": "repair",
    "replace": "replace",
    "second_hand": "replace",
    "outside": "send_out",
    "local": "send_out",
}


def how_likely(share: float) -> str:
    """A chance in one of five steps; a number would claim more than anybody knows.

    Parameters
    ----------
    share : float
        0 to 1.

    Returns
    -------
    str

    Examples
    --------
    >>> how_likely(0.9), how_likely(0.4), how_likely(0.01)
    ('almost surely', 'perhaps', 'hardly')
    """
    if share >= 0.85:
        return say("almost surely")
    if share >= 0.55:
        return say("probably")
    if share >= 0.25:
        return say("perhaps")
    return say("unlikely") if share >= 0.08 else say("hardly")


def goal_words(aim: Goal) -> str:
    """Until when a price counts: every price says which goal it is for.

    Parameters
    ----------
    aim : str

    Returns
    -------
    str

    Examples
    --------
    >>> goal_words("clear")
    'until this trouble is gone'
    """
    return {
        "clear": say("until this trouble is gone"),
        "just_running": say("until it is just running"),
        "right": say("until it is right"),
        "like_new": say("until it is like new"),
    }[aim]


def item_name(sought: Sought, place: int) -> str:
    """A suspect's name.

    Parameters
    ----------
    sought : Sought
    place : int
        Row of the search.

    Returns
    -------
    str
    """
    item = sought.suspects.items[place]
    if item.fault is None:
        return say("something that is on no list")
    name = sought.built.kinds[item.machine].faults[item.fault].name
    return name if item.machine == sought.machine else f"{item.machine}: {name}"


def sort_of(sought: Sought, option: Option) -> StepSort:
    """What sort of work a step is.

    Parameters
    ----------
    sought : Sought
    option : Option

    Returns
    -------
    str
    """
    if option.look is not None:
        if option.look.part is not None:
            return "swap"
        return "measure" if option.look.check.measures else "observe"
    if option.way is not None:
        if option.way.job:
            return "adjust" if sought.kind.jobs[option.way.job].sort == "level" else "clean"
        return WAYS[option.way.way]
    if option.sort == "again":
        return "try_again"
    return "sign" if option.sort == "sign" else "call_for_help"


def step_text(sought: Sought, option: Option) -> str:
    """What is to be done, in the words of the workshop.

    Parameters
    ----------
    sought : Sought
    option : Option

    Returns
    -------
    str
    """
    kind = sought.kind
    if option.look is not None:
        if option.look.part is not None:
            return say(
                "Change places with one of the same type: {part}", part=option.look.part.name
            )
        return _look_text(option.look)
    if option.way is not None:
        if option.way.job:
            return kind.jobs[option.way.job].name
        return _way_text(option.way.way, kind.faults[option.way.fault].name)
    if option.sort == "sign":
        return _sign_text(sought, option)
    if option.sort == "again" and sought.trouble is not None:
        if try_shows(sought) < 1.0:
            return say("Try again, several times: it comes and goes")
        return say("Try again whether it still does it")
    name = ""
    if sought.trouble is None:
        group = kind.groups[sought.suspects.groups[option.goal]]
        if option.sort == "again":
            return say("Prove {name}: {proof}", name=group.name, proof=group.proof)
        name = group.name
    if name:
        return say("Call somebody who puts it right: {name}", name=name)
    return say("Call somebody who finds it and puts it right")


def _look_text(look: Look) -> str:
    """A look's own words; of live work only who does it and what he hands back."""
    live = look.stage in ("power_up", "running", "visit_live")
    if look.check.who == "electrician" and live:
        return say(
            "By a licensed electrician, who hands you his reading and his signature: {text}",
            text=look.check.text,
        )
    return look.check.text


def _way_text(way: str, name: str) -> str:
    return {
        "clean": say("Clean it: {name}", name=name),
        "adjust": say("Adjust it: {name}", name=name),
        "repair": say("Repair it yourself: {name}", name=name),
        "replace": say("Fit a new part: {name}", name=name),
        "second_hand": say("Fit a second-hand part: {name}", name=name),
        "outside": say("Send it out to be done: {name}", name=name),
        "local": say("Take it to a workshop nearby: {name}", name=name),
    }[way]


def _sign_text(sought: Sought, option: Option) -> str:
    stage = option.key.partition(":")[2]
    if stage == "apart":
        return say(
            "Stop here and sign before it comes apart: as found is photographed, the main switch "
            "is locked off with your own key, dead is proved by measuring"
        )
    names = [
        sought.kind.faults[cover.fault].name
        for cover in sought.kind.stop_cover.values()
        if (sought.machine, cover.fault) in sought.built.faults
        and cover.check not in sought.state.passed
        and cover.fault not in sought.state.absent
        and cover.done_at in ("visit_dead", "apart")
    ]
    return say(
        "Stop here and sign before {stage}: the supply is connected and tested by a licensed "
        "electrician, and these stop items are closed: {names}",
        stage=stage_words(stage),
        names="; ".join(map(str, names)) or say("none is open"),
    )


def separates(sought: Sought, option: Option) -> tuple[Separates, ...]:
    """What a step does to the suspects, those that move most first.

    Parameters
    ----------
    sought : Sought
    option : Option

    Returns
    -------
    tuple of Separates
    """
    likely = _likely(sought, option)
    active = sought.search.active
    if likely is None or not len(active):
        return ()
    seen, unseen = likely
    if not seen.mean() > 0.0 or not unseen.mean() > 0.0:
        return ()
    now = active.mean(axis=1)
    yes, no = active @ seen / seen.sum(), active @ unseen / unseen.sum()
    apart = np.abs(yes - no)
    order = [i for i in np.argsort(-apart, kind="stable") if apart[i] >= LEAST_APART]
    own = {option.item} if option.sort == "treat" else set()
    order = sorted(order, key=lambda i: (int(i) not in own, -apart[i]))[:MOST_APART]
    helped = option.sort == "treat"
    return tuple(
        _apart(sought, int(i), float(now[i]), float(yes[i]), float(no[i]), helped) for i in order
    )


def _apart(
    sought: Sought, place: int, now: float, yes: float, no: float, helped: bool
) -> Separates:
    name = item_name(sought, place)
    words = _moved(now, yes, no, helped)
    fault = sought.suspects.items[place].fault
    return Separates(fault or "", name, now, yes, no, words)


def _moved(now: float, yes: float, no: float, helped: bool) -> str:
    """From what to what, in words; which way, where the words do not change."""
    told = {"now": how_likely(now), "yes": how_likely(yes), "no": how_likely(no)}
    if told["yes"] == told["no"] and not helped:
        if yes > no:
            return say("{now}; somewhat more so if it shows", now=told["now"])
        return say("{now}; somewhat less so if it shows", now=told["now"])
    if helped:
        return say("{now} now; {yes} if it still does it, {no} if it is gone", **told)
    return say("{now} now; {yes} if it shows, {no} if it does not", **told)


def _likely(sought: Sought, option: Option) -> tuple[Floats, Floats] | None:
    """Chance in each world of a bad answer and of a good one."""
    if option.sort == "test" and option.look is not None:
        test = next((t for t in sought.search.tests if t.key == option.key), None)
        return None if test is None else _of_test(test, option.look.question.outcomes)
    if option.sort == "treat" and option.way is not None and option.item >= 0:
        active = sought.search.active
        goal = sought.suspects.items[option.item].goal
        rows = [i for i in sought.search.goals[goal].items if i != option.item]
        others = active[rows].any(axis=0) if rows else np.zeros(active.shape[1], dtype=np.bool_)
        gone = np.where(others, 0.0, np.where(active[option.item], option.way.cures, 1.0))
        return 1.0 - gone, gone
    return None


def _of_test(test: Test, outcomes: tuple[str, ...]) -> tuple[Floats, Floats]:
    good = [place for place, word in enumerate(outcomes) if word in GOOD]
    unseen = test.chance[good].sum(axis=0)
    return 1.0 - unseen, unseen


def why(sought: Sought, option: Option, parted: tuple[Separates, ...]) -> str:
    """Why a step is worth it, with what it costs from here to the end of the goal.

    Parameters
    ----------
    sought : Sought
    option : Option
    parted : tuple of Separates
        From :func:`separates`.

    Returns
    -------
    str
    """
    currency = sought.case.shop.currency
    parts = [f"{one.name[:1].upper()}{one.name[1:]}: {one.words}." for one in parted[:MOST_TOLD]]
    if option.sort == "treat" and option.way is not None:
        parts.append(
            say("It puts it right in about {count} of 10.", count=number(10.0 * option.way.cures))
        )
    if option.sort == "again":
        parts.append(say("Something was done since it was last tried: it may be gone already."))
    if option.sort == "sign":
        parts.append(say("What it opens is worth more than what is open now."))
    parts.append(
        say(
            "{cost} now, {total} on average {until}; buying the likeliest part first: {guess}.",
            cost=money(option.cost, currency),
            total=money(option.value, currency),
            until=goal_words(sought.aim),
            guess=money(sought.found.guess, currency),
        )
    )
    return " ".join(map(str, parts))


def suspect_rows(sought: Sought) -> tuple[Suspect, ...]:
    """Who is suspected, most first, with how far that hangs on what was believed before.

    Parameters
    ----------
    sought : Sought

    Returns
    -------
    tuple of Suspect
        ``low`` and ``high`` are the share with the odds of this suspect halved and doubled: what
        it would be if the table were wrong by a factor of two either way (exact where the
        suspect shares no past life with another, else near enough).
    """
    share = sought.suspects.share
    severe = set(sought.kind.severe)
    rows: list[Suspect] = []
    for place in np.argsort(-share, kind="stable"):
        item = sought.suspects.items[int(place)]
        matters = share[place] >= LEAST_SUSPECT and len(rows) < MOST_SUSPECTS
        if matters or item.fault in severe:
            rows.append(_suspect(sought, int(place), float(share[place])))
    return tuple(rows)


def _suspect(sought: Sought, place: int, share: float) -> Suspect:
    item = sought.suspects.items[place]
    return Suspect(
        fault=item.fault or "",
        name=item_name(sought, place),
        words=how_likely(share),
        share=share,
        low=share / (2.0 - share),
        high=2.0 * share / (1.0 + share),
        first=_first(sought, item.fault),
    )


def _first(sought: Sought, fault: str | None) -> str:
    """What must be cleared before a suspect."""
    names = [
        sought.kind.faults[cause.fault].name
        for cause in sought.kind.causes
        if fault in cause.leads_to and not cleared(sought, cause.fault)
    ]
    rare = {id for id, _ in uncleared(sought, signing=False)}
    if not names and fault in rare:
        return say("clear it by its own look, however unlikely")
    return "; ".join(map(str, dict.fromkeys(names)))
