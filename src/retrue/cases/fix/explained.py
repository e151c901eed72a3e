"""Why one way is better than the next, in one sentence; what showed a fault."""

from __future__ import annotations

from collections.abc import Sequence

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.fix.amounts import about, days_words, in_ten
from retrue.cases.fix.choice_lines import WayOption
from retrue.cases.said import answer_words, looked_at
from retrue.kinds.library import Fault, Kind
from retrue.records.facts import Finding

NOUNS = {
    "clean": "cleaning it",
    "adjust": "adjusting it",
    "repair": "mending it yourself",
    "replace": "a new part",
    "second_hand": "a used part",
    "outside": "a specialist",
    "local": "a local shop",
    "live_with": "living with it",
}
MOTORS = ("spindle motor", "axis motor")
SEEN = ("seen", "severe", "slight")
SURER = 0.08  # of the chance of cure, from which one way is called surer
LONGER_DAYS = 4.0
MORE_HOURS = 3.0
SEEN_GAINS = (0.01, 0.01, 0.5)  # of cure, of failing again, days: less is the same
HARDLY = 20.0  # money that makes no difference in such a sentence


def way_noun(way: str, fault: Fault) -> str:
    """A way as one says it across a counter.

    Parameters
    ----------
    way : str
    fault : Fault

    Returns
    -------
    str

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> way_noun("local", SimpleNamespace(subsystem="spindle motor"))
    'a local winder'
    """
    if way == "local" and fault.subsystem in MOTORS:
        return say("a local winder")
    return say(NOUNS.get(way, way.replace("_", " ")))


def why_this(fault: Fault, ways: Sequence[WayOption], currency: str) -> str:
    """Why the first way is chosen, held against the best of the others.

    Parameters
    ----------
    fault : Fault
    ways : sequence of WayOption
        The chosen first, then the others by what they cost on average.
    currency : str

    Returns
    -------
    str
        One sentence.
    """
    first = ways[0]
    rivals = [one for one in ways[1:] if one.allowed]
    said = _figures(first, currency)
    if first.by_owner:
        return _of_owner(said, first, rivals, currency)
    if not rivals:
        only = say("the only way known") if len(ways) == 1 else say("the only way at this level")
        return say("{said}; {only}.", said=said, only=only)
    best = min(rivals, key=lambda one: one.average)
    told = say("{said}; {rival}.", said=said, rival=_against(first, best, currency))
    if first.average - best.average < HARDLY:
        return told
    sooner = say(
        "Every day of waiting counted, {best} comes out about {less} cheaper.",
        best=best.words,
        less=about(first.average - best.average, currency),
    )
    return f"{told} {sooner}"


def _of_owner(said: str, first: WayOption, rivals: Sequence[WayOption], currency: str) -> str:
    best = min(rivals, key=lambda one: one.average, default=None)
    if best is None or best.average >= first.average:
        return say("Your choice, and reckoned best as well: {said}.", said=_low(said))
    return say(
        "Your choice: {said}; reckoned best is {best}, about {less} less on average.",
        said=_low(said),
        best=best.words,
        less=about(first.average - best.average, currency),
    )


def _figures(one: WayOption, currency: str) -> str:
    """A way with its money and its wait: a local winder: about 600 and two weeks."""
    name = one.words[0].upper() + one.words[1:]
    if one.way == "live_with":
        lost = about(-one.resale, currency)
        return say("{name} costs nothing now and takes about {lost} off the resale",
                   name=name, lost=lost)  # fmt: skip
    money = about(one.money.likely, currency) if one.money.likely >= 1.0 else say("no money")
    if one.days >= 0.5:
        last = days_words(one.days)
    else:
        last = say("{hours} h of your own", hours=formatter.number(one.hours.likely, _digits(one)))
    if one.money.likely < 1.0:
        return say("{name}: no money, {last}", name=name, last=last)
    return say("{name}: about {money} and {last}", name=name, money=money, last=last)


def _digits(one: WayOption) -> int:
    return 0 if one.hours.likely >= 3.0 or one.hours.likely == round(one.hours.likely) else 1


def _against(first: WayOption, other: WayOption, currency: str) -> str:
    saved = first.money.likely - other.money.likely
    if other.way == "live_with":
        return say(
            "{name} saves {saved} but takes about {lost} off the resale",
            name=other.words, saved=about(saved, currency), lost=about(-other.resale, currency),
        )  # fmt: skip
    name, but = other.words, _drawback(first, other)
    if saved > HARDLY:
        return say("{name} saves {saved} but {but}", name=name, saved=about(saved, currency),
                   but=but or _dearer(first, other, currency))  # fmt: skip
    if saved < -HARDLY:
        gain = _gain(first, other)
        more = about(-saved, currency)
        if gain or but:
            return say("{name} costs {more} more and {gain}", name=name, more=more,
                       gain=gain or but)  # fmt: skip
        return say("{name} costs {more} more and {gain}", name=name, more=more,
                   gain=_little(first, other))  # fmt: skip
    return say("{name} costs as much but {but}", name=name,
               but=but or _dearer(first, other, currency))  # fmt: skip


def _little(first: WayOption, other: WayOption) -> str:
    """A dearer way that is neither much better nor much worse."""
    gains = (other.cures - first.cures, first.again - other.again, first.days - other.days)
    if all(gain < least for gain, least in zip(gains, SEEN_GAINS, strict=True)):
        return say("is no better")
    return say("is hardly better")


def _drawback(first: WayOption, other: WayOption) -> str:
    if first.cures - other.cures >= SURER:
        return say("cures only {chance}", chance=in_ten(other.cures))
    if other.again - first.again >= SURER:
        return say(
            "fails again {more} instead of {less}",
            more=in_ten(other.again),
            less=in_ten(first.again),
        )
    if other.days - first.days >= LONGER_DAYS:
        return say("takes {days} longer", days=days_words(other.days - first.days))
    if other.hours.likely - first.hours.likely >= MORE_HOURS:
        hours = formatter.number(other.hours.likely - first.hours.likely)
        return say("takes {hours} h more of your own", hours=hours)
    return ""


def _dearer(first: WayOption, other: WayOption, currency: str) -> str:
    more = max(0.0, other.average - first.average)
    if more < HARDLY:
        return say("comes out the same till it is cured")
    return say(
        "comes out about {more} dearer till it is cured",
        more=about(more, currency),
    )


def _gain(first: WayOption, other: WayOption) -> str:
    if other.cures - first.cures >= SURER:
        return say(
            "cures {chance} instead of {less}",
            chance=in_ten(other.cures),
            less=in_ten(first.cures),
        )
    if first.again - other.again >= SURER:
        return say(
            "fails again {less} instead of {more}",
            less=in_ten(other.again),
            more=in_ten(first.again),
        )
    if first.days - other.days >= LONGER_DAYS:
        return say("is {days} sooner", days=days_words(first.days - other.days))
    if first.hours.likely - other.hours.likely >= MORE_HOURS:
        hours = formatter.number(first.hours.likely - other.hours.likely)
        return say("spares you {hours} h", hours=hours)
    return ""


def _low(said: str) -> str:
    return said[0].lower() + said[1:]


def found_by(case: LotCase, machine: str, kind: Kind, fault: Fault) -> str:
    """What showed a fault, newest first: at teardown, else the look that points at it most.

    Parameters
    ----------
    case : LotCase
    machine : str
    kind : Kind
    fault : Fault

    Returns
    -------
    str
        Empty where nothing was found: it is only likely.
    """
    mine = [one for one in case.findings if one.finding.machine == machine]
    for one in reversed(mine):
        if one.finding.fault == fault.id and one.finding.answer == "present":
            return say("found when it was opened")
    shows = [one.finding for one in mine if _points(one.finding, kind, fault)]
    if not shows:
        return ""
    best = max(shows, key=lambda one: kind.checks[one.check or ""].links[fault.id])
    kinds = {machine: kind}
    return say("{look}: {answer}", look=looked_at(best, kinds), answer=answer_words(best, kinds))


def _points(finding: Finding, kind: Kind, fault: Fault) -> bool:
    check = kind.checks.get(finding.check or "")
    return check is not None and fault.id in check.links and finding.answer in SEEN
