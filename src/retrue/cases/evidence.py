"""Kept findings, weighed against each other and turned into evidence."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from typing import cast

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.belief.looks import (
    ABSENT_RATIO,
    LIKELY,
    MAYBE,
    PICTURE,
    Answer,
    Spread,
    found,
    leaning,
    look,
    reading,
)
from retrue.belief.network import Evidence, Leaning, Seen
from retrue.cases.case import LotCase
from retrue.cases.network import CaseNetwork, gated
from retrue.cases.trying import tried
from retrue.kinds.library import Check, Kind, Measure
from retrue.records.facts import Finding
from retrue.science.insulation import at_40_c

OWN = 3  # grade from which an answer is one's own eyes or instrument
PICTURES = (1, 2)  # grades of what was judged from a picture or a film
SAID = {"yes": 10.0, "no": 0.25, "likely": LIKELY, "maybe": MAYBE}  # odds of a past life, told
SHOWN = {"yes": 20.0, "no": 0.1, "likely": LIKELY, "maybe": MAYBE}  # the same from a picture
INSULATION = "M07"  # the measure that is brought to 40 degrees C
BAD = ("seen", "slight", "severe")
MOST_BAD = 16  # answers that showed something, beyond which one superseded by its look is left out
NOTHING = ("cant_tell", "unknown", "")


@dataclass(frozen=True, slots=True)
class Said:
    """One finding as said of one machine; ``place`` is its place in time."""

    key: str
    machine: str
    finding: Finding
    place: int


def contradiction() -> Unusable:
    """Say that answers exclude each other.

    Returns
    -------
    Unusable
        To be raised.

    Examples
    --------
    >>> contradiction().remedy
    'Look the answers through and take back the one that is wrong.'
    """
    return Unusable(
        say("what was answered contradicts itself"),
        remedy=say("Look the answers through and take back the one that is wrong."),
    )


def evidence(case: LotCase, built: CaseNetwork) -> tuple[tuple[Evidence, ...], tuple[str, ...]]:
    """Turn a case's findings into evidence.

    Parameters
    ----------
    case : LotCase
        Findings oldest first.
    built : CaseNetwork
        The network of the same case.

    Returns
    -------
    tuple of Evidence
        Sorted by key; keys are finding ids, with ``@machine`` where one is said of the whole lot.
    tuple of str
        Ids of findings that this kind has no check, measure, past life or fault for.

    Notes
    -----
    Of several answers to one look from one informant through one channel the newest counts. What
    was seen or measured by oneself (grade 3 and up) stands before anything told or pictured. Of
    several measures of one look only the one worst against its limit counts: they are one sight.
    A picture's links are times 0.8; an answer told through an informant hangs on his candour.
    Answers to one look before and after something was done are both kept, unless very many looks
    showed something: then each look says what it said last.
    Of a past life, the owner's own statement is taken as true; a yes or no told counts as odds of
    10 or 1/4, from a picture 20 or 1/10 (judgement).

    Examples
    --------
    >>> from retrue.cases.case import Kept
    >>> from retrue.cases.network import build
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> seen = Kept(id="1", finding=Finding(lot="a", machine="A", check="C01", answer="slight"))
    >>> gone = Kept(id="2", finding=Finding(lot="a", machine="A", check="C999", answer="seen"))
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,),
    ...                findings=(seen, gone))
    >>> made, unused = evidence(case, build(case, load()))
    >>> [e.key for e in made], unused
    (['1'], ('2',))
    """
    said, unused = _sorted_out(case, built)
    told = {one.instead for one in built.strands.complaints.values()}
    counting = [
        one
        for group in _groups(said, built)
        for one in _counting(group, built)
        if not (one.finding.answer in BAD and any(other.key in told for other in group))
    ]  # the same sight as a trouble is counted there
    made: list[Evidence] = []
    for one in _not_too_many(counting):
        made.extend(_evidence_of(one, built))
    made.extend(tried(case, built))
    made.extend(_own_supply(case, built))
    made.extend(_not_come(case, built))
    return tuple(sorted(made, key=lambda e: e.key)), unused


def _sorted_out(case: LotCase, built: CaseNetwork) -> tuple[list[Said], tuple[str, ...]]:
    """Findings by machine, and the ids of those this network knows nothing of."""
    said: list[Said] = []
    unused: list[str] = []
    for place, kept in enumerate(case.findings):
        finding = kept.finding
        whole = finding.machine is None
        machines = list(built.kinds) if finding.machine is None else [finding.machine]
        known = [m for m in machines if _known(finding, m, built)]
        said.extend(Said(f"{kept.id}@{m}" if whole else kept.id, m, finding, place) for m in known)
        if not known:
            unused.append(kept.id)
    return said, tuple(unused)


def _known(finding: Finding, machine: str, built: CaseNetwork) -> bool:
    kind = built.kinds.get(machine)
    if kind is None:
        return False
    if finding.check is not None:
        check = kind.checks.get(finding.check)
        return check is not None and (finding.measure is None or finding.measure in kind.measures)
    if finding.history is not None:
        return (machine, finding.history) in built.histories
    return (machine, finding.fault) in built.faults


def _groups(said: Iterable[Said], built: CaseNetwork) -> list[list[Said]]:
    """Answers to the same thing together: one look at one machine, one variable."""
    groups: dict[Hashable, list[Said]] = {}
    for one in said:
        if one.finding.answer in NOTHING and one.finding.reading is None:
            continue
        groups.setdefault(_target(one, built), []).append(one)
    return list(groups.values())


def _target(one: Said, built: CaseNetwork) -> Hashable:
    """What an answer is of; of a look, or a fault, what it could see then: an act parts answers."""
    finding = one.finding
    if finding.check is not None:
        links = built.kinds[one.machine].checks[finding.check].links
        seen = tuple(built.showing(one.machine, fault, one.place) for fault in links)
        return one.machine, finding.check, seen
    if finding.history is not None:
        return built.histories[one.machine, finding.history]
    return "fault", built.showing(one.machine, str(finding.fault), one.place)


def _counting(group: list[Said], built: CaseNetwork) -> list[Said]:
    """Which answers of a group count."""
    own = [one for one in group if _own(one.finding)]
    if own:
        return [_newest(own, built)]
    ways: dict[Hashable, list[Said]] = {}
    for one in group:
        ways.setdefault((one.finding.informant, one.finding.channel), []).append(one)
    return [_newest(way, built) for way in ways.values()]


def _not_too_many(counting: list[Said]) -> list[Said]:
    """Where very many looks showed something: of one look, only what it said last."""
    bad = [one for one in counting if one.finding.answer in BAD or one.finding.reading is not None]
    if len(bad) <= MOST_BAD:
        return counting
    last = {(one.machine, one.finding.check): one.place for one in counting if one.finding.check}
    for one in counting:
        key = (one.machine, one.finding.check)
        if key in last:
            last[key] = max(last[key], one.place)
    over = {
        one.key
        for one in bad
        if one.finding.check and one.place < last[one.machine, one.finding.check]
    }
    return [one for one in counting if one.key not in over]


def _own(finding: Finding) -> bool:
    return finding.grade >= OWN or finding.fault is not None


def _newest(group: list[Said], built: CaseNetwork) -> Said:
    """The newest; of readings of several measures, the newest of the worst one."""
    last = max(group, key=lambda one: one.place)
    if last.finding.reading is None or last.finding.measure is None:
        return last
    newest: dict[str, Said] = {}
    for one in sorted(group, key=lambda one: one.place):
        if one.finding.reading is not None and one.finding.measure is not None:
            newest[one.finding.measure] = one
    return max(newest.values(), key=lambda one: (_badness(one, built), one.place))


def _badness(one: Said, built: CaseNetwork) -> float:
    """A reading against its limit: over one is bad, whichever side is."""
    measure = _measure(one, built)
    value, _ = _value(one.finding, measure)
    if measure.bad_side == "high":
        return value / measure.check_limit
    return measure.check_limit / value if value > 0.0 else float("inf")


def _measure(one: Said, built: CaseNetwork) -> Measure:
    return built.kinds[one.machine].measures[str(one.finding.measure)]


def _value(finding: Finding, measure: Measure) -> tuple[float, float]:
    """The reading and its expanded uncertainty, brought to its own conditions."""
    value = float(cast(float, finding.reading))
    spread = finding.uncertainty
    if spread is None:
        relative = measure.uncertainty_kind == "rel"
        spread = measure.uncertainty * abs(value) if relative else measure.uncertainty
    if measure.id == INSULATION and finding.temperature_c is not None and value > 0.0:
        scale = at_40_c(1.0, finding.temperature_c)
        return value * scale, spread * scale
    return value, float(spread)


def _evidence_of(one: Said, built: CaseNetwork) -> list[Evidence]:
    finding = one.finding
    if finding.fault is not None:
        return [_truth(one, built)]
    if finding.history is not None:
        return [_past_life(one, built.histories[one.machine, finding.history])]
    return [_look(one, built.kinds[one.machine], built)]


def _truth(one: Said, built: CaseNetwork) -> Evidence:
    """A fault seen, or seen not to be there: over all the ways it could be there then."""
    finding = one.finding
    present = finding.answer == "present"
    variables = built.showing(one.machine, str(finding.fault), one.place)
    if len(variables) == 1:
        return found(one.key, variables[0], present)
    word: Answer = "seen" if present else "not_seen"
    return look(one.key, word, variables, [1.0] * len(variables), 0.0)


def _past_life(one: Said, root: int) -> Leaning:
    finding = one.finding
    if finding.answer in ("yes", "no") and finding.informant is None and finding.grade >= OWN:
        return found(one.key, root, finding.answer == "yes")
    odds = SHOWN if finding.channel == "photo" else SAID
    return leaning(one.key, root, odds[finding.answer])


def _look(one: Said, kind: Kind, built: CaseNetwork) -> Seen:
    finding = one.finding
    check = kind.checks[str(finding.check)]
    gate = built.candid.get(str(finding.informant)) if gated(finding) else None
    if finding.reading is None or finding.measure is None:
        answer = _answer(finding.answer, check)
    elif gate is None:
        return _reading(one, built)
    else:  # a number told is worth the side of the limit it lies on
        answer = "seen" if _badness(one, built) > 1.0 else "not_seen"
    fitted = [
        (variable, link)
        for fault, link in check.links.items()
        for variable in built.showing(one.machine, fault, one.place)
    ]
    return look(
        one.key,
        answer,
        [variable for variable, _ in fitted],
        [link for _, link in fitted],
        check.leak,
        share=PICTURE if finding.grade in PICTURES else 1.0,
        gate=gate,
    )


def _answer(answer: str, check: Check) -> Answer:
    """Degrees only where the look has them."""
    if answer in ("slight", "severe") and check.answers != "degree":
        return "seen"
    return cast(Answer, answer)


def _reading(one: Said, built: CaseNetwork) -> Seen:
    measure = _measure(one, built)
    value, spread = _value(one.finding, measure)
    parts = {
        variable: Spread(part.median, part.log_sd)
        for fault, part in measure.parts.items()
        for variable in built.showing(one.machine, fault, one.place)
    }
    healthy = Spread(measure.healthy.median, measure.healthy.log_sd)
    low, high = max(0.0, value - spread), value + spread
    return reading(one.key, low, high, healthy, parts, measure.bad_side)


def _own_supply(case: LotCase, built: CaseNetwork) -> list[Evidence]:
    """What the owner simply knows of his own supply."""
    said = dict(case.shop.histories)
    return [
        found(f"shop.{id}", root, said[id] == "yes")
        for id, root in built.shop_histories.items()
        if said.get(id) in ("yes", "no")
    ]


def _not_come(case: LotCase, built: CaseNetwork) -> list[Evidence]:
    """An answer asked for that did not come speaks once against its informant."""
    last = {(a.machine, a.what, a.informant): a.came for a in case.asked}
    return [
        Leaning(f"asked.{who}.{machine or 'lot'}.{what}", built.candid[who], (ABSENT_RATIO, 1.0))
        for (machine, what, who), came in last.items()
        if came is False
    ]
