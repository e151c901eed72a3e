"""What it does, what is thought of it, what was seen, and whether it still does it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Unpack

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.find.off import stays_off
from retrue.cases.find.standing import standing
from retrue.cases.kept_case import kept_case
from retrue.cases.known import finding_doubts
from retrue.cases.spot import Spot
from retrue.kinds.library import Kind, Symptom
from retrue.phases.find.lines import (
    lines,
    machine_at,
    one_of,
    placed,
    refuse,
    same_or_kept,
    trouble_line,
)
from retrue.phases.find.views import TroubleLine
from retrue.records.checking import problems_of
from retrue.records.facts import Finding
from retrue.records.hand import Hand
from retrue.records.seeking import Hunch, Level, Trial, Trouble
from retrue.records.shop import Record, RecordShop


def symptoms(kind: Kind, search: str = "") -> list[Symptom]:
    """What machines of a kind do, in owners' words; by those that hold most of the words sought.

    Parameters
    ----------
    kind : Kind
        Of the machine.
    search : str
        A few words; parts of words will do. Empty: the whole list.

    Returns
    -------
    list of Symptom
        Best first; those that hold none of the words are left out.
    """
    sought = search.casefold().split()
    found = [(_held(one, sought), one) for one in kind.symptoms.values()]
    hits = [pair for pair in found if pair[0] or not sought]
    return [one for _, one in sorted(hits, key=lambda pair: -pair[0])]


def tell(
    shop: RecordShop,
    lot: str,
    machine: str,
    symptom: str,
    words: str,
    kinds: Mapping[str, Kind],
    *,
    comes_and_goes: bool = False,
    picture: str | None = None,
    **hand: Unpack[Hand],
) -> Record[Trouble]:
    """Keep what a machine does; told again while it stands, it is the one that stands.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    symptom : str
        Id of the kind's list: Y01.
    words : str
        The owner's own; may be empty.
    kinds : mapping of str to Kind
        The library.
    comes_and_goes : bool
        It does not show at every try.
    picture : str or None
        Of it.
    **hand : Hand
        Who tells.

    Returns
    -------
    Record of Trouble

    Raises
    ------
    Unknown
        No such lot or machine; the kind has no such symptom.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    one_of(symptom, kind.symptoms, say("symptom of a {kind}", kind=kind.name))
    fact = Trouble(
        lot=spot.lot,
        machine=spot.machine,
        symptom=symptom,
        words=words.strip(),
        comes_and_goes=comes_and_goes,
        picture=picture,
    )
    standing = [one.record for one in troubles(shop, spot.lot, spot.machine, kinds) if not one.met]
    same = next((one for one in standing if one.fact.symptom == symptom), None)
    return same_or_kept(shop, fact, same, hand)


def troubles(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> list[TroubleLine]:
    """The troubles of a machine, in the order they were told.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    list of TroubleLine
        Met where its newest try says so; work done after that does not bring it back. One that
        means "off" is not met before it is cleared dead, whatever a try says.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    trials = [one.newest.fact for one in lines(shop, Trial, spot)]
    told = []
    for line in lines(shop, Trouble, spot):
        key, symptom = line.first.id, kind.symptoms.get(line.newest.fact.symptom)
        mine = [trial.passes for trial in trials if trial.trouble == key]
        met = bool(mine) and mine[-1]
        told.append(TroubleLine(key, line.newest, symptom, met, len(mine)))
    off = _off(shop, spot, kind) if any(_means_off(one) for one in told) else ()
    return [replace(one, met=False) if one.id in off else one for one in told]


def _means_off(line: TroubleLine) -> bool:
    return line.met and line.symptom is not None and line.symptom.switch_off_first


def _off(shop: RecordShop, spot: Spot, kind: Kind) -> set[str]:
    """Ids of the troubles because of which a machine has to stay off."""
    case = kept_case(shop, spot.lot)
    return {one.id for one in stays_off(case, standing(case, spot.name, kind))}


def guess_cause(
    shop: RecordShop,
    trouble: str,
    fault: str,
    informant: str | None,
    text: str = "",
    kinds: Mapping[str, Kind] | None = None,
    **hand: Unpack[Hand],
) -> Record[Hunch]:
    """Keep a hunch: "I think it is ..."; one informant has one at a time for each trouble.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    trouble : str
        Its id.
    fault : str
        F15.
    informant : str or None
        Whose hunch; None: my own.
    text : str
        In his words.
    kinds : mapping of str to Kind, optional
        The library, to look the fault up.
    **hand : Hand
        Who notes it.

    Returns
    -------
    Record of Hunch
        A later one of the same informant takes the place of the earlier.

    Raises
    ------
    Unknown
        No such trouble; the kind has no such fault.
    """
    line = trouble_line(shop, trouble)
    said = line.newest.fact
    if kinds is not None:
        _, kind = machine_at(shop, said.lot, said.machine, kinds)
        one_of(fault, kind.faults, say("fault of a {kind}", kind=kind.name))
    who = informant.strip() if informant and informant.strip() else None
    fact = Hunch(
        lot=said.lot, machine=said.machine, trouble=line.first.id, fault=fault, informant=who,
        text=text.strip(),
    )  # fmt: skip
    kept = shop.current(Hunch, lot=said.lot, machine=said.machine, trouble=line.first.id)
    same = next((one for one in reversed(kept) if one.fact.informant == who), None)
    return same_or_kept(shop, fact, same, hand)


def saw(
    shop: RecordShop, finding: Finding, kinds: Mapping[str, Kind], **hand: Unpack[Hand]
) -> Record[Finding]:
    """Keep an answer to a look; no price is told. A correction goes through :func:`correct`.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    finding : Finding
        ``lot`` and ``machine`` as name or id.
    kinds : mapping of str to Kind
        The library.
    **hand : Hand
        Who saw it.

    Returns
    -------
    Record of Finding
        A new one each time: what was seen before an act speaks of what was there before it.

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        The kind has no such look, or that is no answer to it.
    """
    spot, kind = machine_at(shop, finding.lot, finding.machine or "", kinds)
    named = placed(finding, spot)
    wrong = [Problem(one.field, one.what, one.remedy) for one in finding_doubts(named, [kind])]
    refuse(say("this cannot be kept as a finding"), [*wrong, *problems_of(named)])
    return shop.add(named, **hand)


def try_again(
    shop: RecordShop, trouble: str, passes: bool, text: str = "", **hand: Unpack[Hand]
) -> Record[Trial]:
    """Keep whether a trouble still shows after what was done.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    trouble : str
        Its id.
    passes : bool
        True: it does it no more.
    text : str
        What was seen.
    **hand : Hand
        Who tried.

    Returns
    -------
    Record of Trial
    """
    line = trouble_line(shop, trouble)
    said = line.newest.fact
    fact = Trial(
        lot=said.lot, machine=said.machine, trouble=line.first.id, passes=passes, text=text.strip()
    )
    return shop.add(fact, **hand)


def prove_group(
    shop: RecordShop,
    lot: str,
    machine: str,
    group: str,
    level: Level,
    passes: bool,
    kinds: Mapping[str, Kind],
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[Trial]:
    """Keep whether a group of a machine is right at a level.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    group : str
        Id of the kind's groups.
    level : str
        just_running, right or like_new.
    passes : bool
        Its proof was passed.
    kinds : mapping of str to Kind
        The library.
    text : str
        What was seen.
    **hand : Hand
        Who proved it.

    Returns
    -------
    Record of Trial

    Raises
    ------
    Unknown
        The kind has no such group.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    one_of(group, kind.groups, say("group of a {kind}", kind=kind.name))
    fact = Trial(
        lot=spot.lot, machine=spot.machine, group=group, level=level, passes=passes,
        text=text.strip(),
    )  # fmt: skip
    return shop.add(fact, **hand)


def _held(symptom: Symptom, sought: list[str]) -> int:
    words = symptom.words.casefold()
    return sum(part in words for part in sought) + 2 * (symptom.id.casefold() in sought)
