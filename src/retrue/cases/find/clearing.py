"""What has to be out of the way: off, open stop items, what is rare and severe, earlier causes."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.cases.find.candidates import chain_of
from retrue.cases.find.dead import SHOWS_WELL, dead_looks_at, is_dead
from retrue.cases.find.seek import Sought
from retrue.kinds.library import Check, Symptom
from retrue.records.seeking import Trouble

BEFORE_POWER = ("visit_dead", "lift", "apart")
CUT, LOOSE = 30, 16  # cutting; a head that nothing holds


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


def is_off(sought: Sought) -> bool:
    """Whether a machine has to stay off because of anything it does, whatever is searched for.

    Parameters
    ----------
    sought : Sought

    Returns
    -------
    bool
        True until every trouble that means "off" is cleared dead.
    """
    return bool(sought.off)


def dead_looks(sought: Sought) -> list[Check]:
    """Looks that clear such troubles dead and are not answered yet, the oldest trouble's first.

    Parameters
    ----------
    sought : Sought

    Returns
    -------
    list of Check
    """
    looks: dict[str, Check] = {}
    for symptom in off_symptoms(sought):
        looks |= {one.id: one for one in dead_looks_at(symptom, sought.kind)}
    return [one for one in looks.values() if one.id not in sought.state.answered]


def off_symptoms(sought: Sought) -> tuple[Symptom, ...]:
    """The symptoms because of which the machine has to stay off.

    Parameters
    ----------
    sought : Sought

    Returns
    -------
    tuple of Symptom
    """
    told = (one.event for one in sought.off)
    return tuple(
        sought.kind.symptoms[event.symptom] for event in told if isinstance(event, Trouble)
    )


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
    mine = {item.fault for item in sought.suspects.items}
    for fault in dict.fromkeys([*kind.severe, *kind.stop_cover]):
        looks = covering_looks(sought, fault)
        if (sought.machine, fault) not in sought.built.faults or not looks:
            continue
        if fault in state.absent or state.passed & set(looks):
            continue
        of_it = sought.trouble is not None and fault in mine
        every = fault in kind.severe and (signing or sought.trouble is None)
        if of_it or every:
            yield fault, looks[0]


def covering_looks(sought: Sought, fault: str) -> list[str]:
    """Looks that clear a fault for certain enough: its severe look if it shows it, its stop look.

    Parameters
    ----------
    sought : Sought
    fault : str

    Returns
    -------
    list of str
    """
    kind = sought.kind
    looks = []
    if fault in kind.severe:
        own = kind.checks.get(kind.severe[fault].check)
        if own is not None and own.links.get(fault, 0.0) >= SHOWS_WELL:
            looks.append(own.id)
    if fault in kind.stop_cover and kind.stop_cover[fault].check in kind.checks:
        looks.append(kind.stop_cover[fault].check)
    return list(dict.fromkeys(looks))


def danger_of(sought: Sought, fault: str) -> int:
    """When a fault hurts, on the scale of :func:`moment`.

    Parameters
    ----------
    sought : Sought
    fault : str

    Returns
    -------
    int
    """
    cover = sought.kind.stop_cover.get(fault)
    return moment(cover.danger_at) if cover else moment("P0")


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


def opener(sought: Sought, fault: str) -> str:
    """The step that clears a fault: the dead look of a good one, else any, else putting right.

    Parameters
    ----------
    sought : Sought
    fault : str

    Returns
    -------
    str
        Its key; empty where there is none.
    """
    state, kind = sought.state, sought.kind
    looks = _clearing_looks(sought, fault)
    if fault not in state.present and not any(look in state.failed for look in looks):
        fresh = [look for look in looks if look in sought.looks]
        if fresh:
            return min(
                fresh, key=lambda id: (not is_dead(kind.checks[id]), -kind.checks[id].links[fault])
            )
    return first_way(sought, fault)


def first_way(sought: Sought, fault: str) -> str:
    """The way that would be tried first for a fault.

    Parameters
    ----------
    sought : Sought
    fault : str

    Returns
    -------
    str
        Its key; empty where none is left.
    """
    ways = chain_of(fault, sought.state, sought.purse, None, 0.0)
    return ways[0].key if ways else ""
