"""Who may in: a device is invited for a person, joins, is renamed, and is turned away for good."""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Unpack

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.records.facts import Machine, Withdrawn
from retrue.records.hand import Hand
from retrue.records.joining import DeviceJoined, Role
from retrue.records.settling import RecordGiven
from retrue.records.shop import Record, RecordShop

ROLES: tuple[Role, ...] = ("owner", "helper", "buyer")
LONGEST_VISIT = timedelta(days=366)  # that a buyer may read a record


@dataclass(frozen=True, slots=True, kw_only=True)
class Invited:
    """For whom a code is: the person, the role, and of a buyer what may be read until when.

    Attributes
    ----------
    person : str
        Empty: whose laptop it is.
    role : str
        owner, helper or buyer.
    given : str or None
        Id of the condition record a buyer may read.
    until_on : str or None
        ISO date of a buyer's last day.
    """

    person: str = ""
    role: Role = "owner"
    given: str | None = None
    until_on: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """A device as the list of devices shows it.

    Attributes
    ----------
    fact : DeviceJoined
        The newest word on it.
    joined_at : datetime
        When it joined, by the server's clock.
    invited_by : str
        Who was at the laptop then.
    gone_at : datetime or None
        When it was turned away; None: it may in.
    gone_by : str
        Who turned it away.
    """

    fact: DeviceJoined
    joined_at: datetime
    invited_by: str
    gone_at: datetime | None = None
    gone_by: str = ""


def invite(
    shop: RecordShop,
    *,
    role: str,
    person: str = "",
    given: str = "",
    until_on: str | None = None,
    on: date,
) -> Invited:
    """Say for whom a code is, before it is shown; nothing is kept yet.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    role : str
        owner, helper or buyer.
    person : str
        Whose name stands on what the device writes; may stay empty for the owner alone.
    given : str
        Of a buyer: id of a condition record that was given away.
    until_on : str or None
        Of a buyer: ISO date of the last day.
    on : date
        Today.

    Returns
    -------
    Invited

    Raises
    ------
    Unusable
        No such role, nobody named, no such record, a day that is over or too far off; every one
        is named.
    """
    problems = [*_nobody(role, person)]
    if role == "buyer":
        problems += [*_no_record(shop, given), *_no_day(until_on, on)]
    if role not in ROLES or problems:
        raise Unusable(
            say("Nobody can be invited so"),
            remedy=say("Correct what is marked; no code was made."),
            problems=tuple(problems),
        )
    if role != "buyer":
        return Invited(person=person.strip(), role="helper" if role == "helper" else "owner")
    return Invited(person=person.strip(), role="buyer", given=given, until_on=until_on)


def _nobody(role: str, person: str) -> list[Problem]:
    made = []
    if role not in ROLES:
        made.append(Problem("role", say("nothing was picked"), say("Say for whom the code is.")))
    if role in ("helper", "buyer") and not person.strip():
        made.append(Problem("person", say("is empty"), say("Write whose device it is.")))
    return made


def _no_record(shop: RecordShop, given: str) -> list[Problem]:
    if any(one.id == given for one in shop.current(RecordGiven)):
        return []
    what = say("is no condition record that was given away")
    return [Problem("given", what, say("Give the record away first, then pick it here."))]


def _no_day(until_on: str | None, on: date) -> list[Problem]:
    try:
        until = date.fromisoformat(until_on or "")
    except ValueError:
        return [Problem("until_on", say("is missing"), say("Say until which day."))]
    if on <= until <= on + LONGEST_VISIT:
        return []
    return [Problem("until_on", say("is over, or too far off"), say("A year at most."))]


def to_lend(shop: RecordShop) -> tuple[tuple[str, str], ...]:
    """Condition records that a buyer may be given to read: id and words, the newest first."""
    every = reversed(shop.current(RecordGiven))
    return tuple(
        (one.id, f"{one.fact.made_on}, {json.loads(one.fact.content).get('machine', '')}, "
                 f"{one.fact.whom or say('whoever asks')}")
        for one in every
    )  # fmt: skip


def join(
    shop: RecordShop, invited: Invited, *, name: str = "", **hand: Unpack[Hand]
) -> Record[DeviceJoined]:
    """Keep that a device has joined: the one that writes, as its cookie will carry it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    invited : Invited
        What the code was for.
    name : str
        As people call it; empty: after its person.
    **hand : Hand
        Who invited it; its ``device`` is the one that joins.

    Returns
    -------
    Record of DeviceJoined

    Raises
    ------
    Unusable
        A name is too long, or holds what is no text.
    """
    person = invited.person or hand["by"]
    called = name.strip() or say("{person}’s device", person=person)
    fact = DeviceJoined(
        device=hand.get("device", ""), name=called, person=person, role=invited.role,
        given=invited.given, until_on=invited.until_on,
    )  # fmt: skip
    return shop.add(fact, **hand)


def joined(shop: RecordShop) -> dict[str, DeviceJoined]:
    """Devices that may in, by the name their cookie carries; a buyer's day is not looked at."""
    return {one.fact.device: one.fact for one in shop.current(DeviceJoined)}


def is_over(fact: DeviceJoined, on: date) -> bool:
    """Whether the last day of a buyer is over.

    Examples
    --------
    >>> lent = DeviceJoined(device="phone-1", name="a phone", person="B. Buyer", role="buyer",
    ...                     given="r1", until_on="2026-11-25")
    >>> is_over(lent, date(2026, 11, 25)), is_over(lent, date(2026, 11, 26))
    (False, True)
    """
    return fact.until_on is not None and fact.until_on < on.isoformat()


def devices(shop: RecordShop) -> tuple[Device, ...]:
    """Every device that has joined: those that may in first, in the order they joined."""
    here = [_stands(shop, one.id) for one in shop.current(DeviceJoined)]
    gone = [
        _stands(shop, one.replaces)
        for one in shop.current(Withdrawn, of_kind=DeviceJoined.KIND)
        if one.replaces
    ]
    return (*sorted(here, key=_since), *sorted(gone, key=_since))


def _since(one: Device) -> datetime:
    return one.joined_at


def _stands(shop: RecordShop, id: str) -> Device:
    line = shop.history(id)
    facts = [one.fact for one in line if isinstance(one.fact, DeviceJoined)]
    made = Device(fact=facts[-1], joined_at=line[0].noted_at, invited_by=line[0].by)
    last = line[-1]
    if not isinstance(last.fact, Withdrawn):
        return made
    return replace(made, gone_at=last.noted_at, gone_by=last.by)


def _one(shop: RecordShop, which: str) -> Record[DeviceJoined]:
    """A device that may in, by what its cookie carries, else by its name if only one has it."""
    every = shop.current(DeviceJoined)
    found = [one for one in every if one.fact.device == which]
    found = found or [one for one in every if one.fact.name.casefold() == which.casefold()]
    if len(found) == 1:
        return found[0]
    names = ", ".join(f"{one.fact.device} ({one.fact.name})" for one in found or every)
    if found:
        raise Unusable(
            say("more than one device is called {which}", which=which),
            remedy=say("Name one of: {names}.", names=names),
        )
    raise Unknown(
        say("no device {which} may in", which=which),
        remedy=say("These may: {names}.", names=names or say("none")),
    )


def rename(shop: RecordShop, which: str, name: str, **hand: Unpack[Hand]) -> Record[DeviceJoined]:
    """Give a device another name; what it wrote keeps the name of its person.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    which : str
        As its cookie carries it, or its name where only one device has it.
    name : str
        The other name.
    **hand : Hand
        Who gives it.

    Returns
    -------
    Record of DeviceJoined

    Raises
    ------
    Unknown
        No such device, or it was turned away.
    Unusable
        The name is empty or too long.
    """
    kept = _one(shop, which)
    fact = replace(kept.fact, name=name.strip())
    return kept if fact == kept.fact else shop.add(fact, replaces=kept.id, **hand)


def revoke(
    shop: RecordShop, which: str, reason: str = "", **hand: Unpack[Hand]
) -> Record[Withdrawn]:
    """Turn a device away from its next request on; what it wrote stays.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    which : str
        As its cookie carries it, or its name where only one device has it.
    reason : str
        Why, if there is one: lost, sold.
    **hand : Hand
        Who turns it away.

    Returns
    -------
    Record of Withdrawn
        Says when and by whom.

    Raises
    ------
    Unknown
        No such device, or it was turned away already.
    Unusable
        More than one device has that name.
    """
    kept = _one(shop, which)
    gone = Withdrawn(of_kind=DeviceJoined.KIND, reason=reason.strip())
    return shop.add(gone, replaces=kept.id, **hand)


def on_the_floor(shop: RecordShop, ours: Collection[str]) -> tuple[tuple[str, str], ...]:
    """Machines of some lots: path and name, as a helper's first page lists them.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    ours : collection of str
        Ids of the lots that are worked on; one that is only bid for is none of them.

    Returns
    -------
    tuple of (str, str)
    """
    machines = [one for one in shop.current(Machine) if one.fact.lot in ours]
    return tuple(
        (f"/lots/{one.fact.lot}/machines/{shop.history(one.id)[0].id}", one.fact.name)
        for one in machines
    )
