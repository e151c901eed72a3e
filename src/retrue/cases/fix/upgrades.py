"""Upgrades and finish: what each costs and what it adds, so that it is chosen, not slipped in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from retrue.base.formatter import money, number
from retrue.base.say import say
from retrue.cases.alternatives import band, resale_share
from retrue.cases.assume import AGE_YEARS, Settled
from retrue.cases.find.costs import Purse, mean
from retrue.cases.fix.belief import resale_now
from retrue.cases.fix.choice_lines import UpgradeRow, Upgrades
from retrue.cases.fix.kept import FixKept, MachineKept
from retrue.cases.fix.upgrade_readings import Readings
from retrue.cases.fix.which import machine_kept, prices_of
from retrue.cases.prove.noise_day import hours_words
from retrue.cases.prove.sensed import INDICATIVE_DB
from retrue.cases.strip.cautions import general, told
from retrue.kinds.fixing import Upgrade
from retrue.kinds.library import Kind, Three
from retrue.science.damping import after_db, loss_drop_db
from retrue.science.exposure import allowed_hours
from retrue.science.light import NEEDS, expected_lux

UPGRADE = "upgrade:"  # key of its line and its card, before its id
TASK = "fine"  # what light is held against
LIT_M2, REACHES, LEFT = 1.0, 0.4, 0.8  # of a lamp in the machine: judgement, no source
SELLING = ("sell_running", "sell_proven")
ELECTRICAL = ("light", "display")
FINISH = "finish"


@dataclass(frozen=True, slots=True)
class _At:
    """The machine that gets it."""

    machine: MachineKept
    purse: Purse
    readings: Readings
    resale: float
    currency: str


def upgrades(
    kept: FixKept, machine: str, kinds: Mapping[str, Kind], readings: Readings
) -> Upgrades:
    """All extras of one machine.

    Parameters
    ----------
    kept : FixKept
    machine : str
        Its key or name.
    kinds : mapping of kind id to Kind
    readings : Readings
        What was read of noise and light.

    Returns
    -------
    Upgrades
        In the order of the kind's table.

    Raises
    ------
    Unknown
        No such machine.

    References
    ----------
    Exposure: NIOSH 98-126, 1.1. Damping: ``10 lg(after / before)`` of the panels alone, Cremer,
    Heckl, Petersson, Structure-Borne Sound (from memory). Light: lumen method; EN 12464-1
    (secondary source).

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.fix.kept import fix_of_case
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> found = upgrades(fix_of_case(case, load()), "A", load(), Readings(lux=200.0))
    >>> {row.id: dict(row.adds) for row in found.rows}["work_light"]["light"]
    'from 200 to about 840 lux on the work; 500 are wanted for fine work'
    """
    here = machine_kept(kept, machine)
    settled, money_of = prices_of(kept, here)
    at = _At(here, money_of, readings, _resale(here, settled), kept.case.shop.currency)
    chosen = {
        one.what
        for one in kept.case.chosen
        if one.sort == "upgrade" and one.machine == here.name and one.yes
    }
    rows = tuple(_row(one, at, one.id in chosen) for one in kinds[here.kind.id].upgrades.values())
    return Upgrades(
        machine_name=here.name,
        currency=at.currency,
        rows=rows,
        chosen_money=sum(mean(row.money) for row in rows if row.chosen),
        chosen_hours=sum(mean(row.hours) for row in rows if row.chosen),
        values=_values(readings),
        cautions=general(here.kind),
        assumed=tuple(_assumed(at)),
    )


def _row(upgrade: Upgrade, at: _At, chosen: bool) -> UpgradeRow:
    line = at.purse.lines.get(f"{UPGRADE}{upgrade.id}")
    price = Three(*(float(line.amount),) * 3) if line else upgrade.money
    hours = Three(*(line.hours,) * 3) if line and line.hours is not None else upgrade.hours
    resale = upgrade.adds.get("resale_share", 0.0) * at.resale
    pays = resale > 0 and resale >= at.purse.spent(mean(price), mean(hours)).cost
    return UpgradeRow(
        id=upgrade.id,
        name=upgrade.name,
        money=price,
        hours=hours,
        adds=tuple(_adds(upgrade, at, resale)),
        resale=resale,
        pays=pays,
        chosen=chosen,
        place=upgrade.place,
        words=_words(price, hours, resale, pays, at.currency),
        cautions=(*_who(upgrade), *told(at.machine.kind, upgrade.cautions)),
        mark=upgrade.mark,
    )


def _adds(upgrade: Upgrade, at: _At, resale: float) -> Iterator[tuple[str, str]]:
    if "damping_factor" in upgrade.adds:
        yield say("exposure"), _quieter(upgrade, at.readings)
    if "light_lm" in upgrade.adds:
        yield say("light"), _lighter(upgrade.adds["light_lm"], at.readings)
    if upgrade.comfort:
        yield say("looks") if upgrade.sort == FINISH else say("comfort"), upgrade.comfort
    faults = [at.machine.kind.faults[one] for one in upgrade.cures]
    if faults:
        there = at.machine.state.present
        yield (
            say("takes along"),
            "; ".join(
                say("{fault} (it is there)", fault=one.name) if one.id in there else str(one.name)
                for one in faults
            ),
        )
    if resale:
        yield say("resale"), say("{money} more, expected", money=money(resale, at.currency))
    if upgrade.dries_days:
        yield say("dries"), _dries(upgrade.dries_days)


def _quieter(upgrade: Upgrade, readings: Readings) -> str:
    """Only what the panels ring with gets quieter: what else sounds stays."""
    drop = loss_drop_db(1.0, upgrade.adds["damping_factor"])
    share = upgrade.adds.get("panel_share_db", 0.0)
    level = readings.level_a_db
    if level is None:
        less = -after_db(0.0, -share, drop)
        return say(
            "about {less} dB less at your ear, if the panels ring {share} dB under the whole; "
            "read the level first",
            less=number(less, 1),
            share=number(share),
        )
    after = after_db(level, level - share, drop)
    before, then = (hours_words(allowed_hours(one, "niosh")) for one in (level, after))
    return say(
        "from {level} to about {after} dB(A) at your ear: the hours that fill a day by the US "
        "advice go from {before} to {then}",
        level=number(level, 1),
        after=number(after, 1),
        before=before,
        then=then,
    )


def _lighter(light_lm: float, readings: Readings) -> str:
    lux = expected_lux(light_lm, LIT_M2, utilisation_share=REACHES, upkeep_share=LEFT)
    wanted = number(NEEDS[TASK].mean_lux)
    if readings.lux is None:
        told_lux = {"lux": number(lux), "wanted": wanted}
        return say(
            "about {lux} lux more on the work; {wanted} are wanted for fine work", **told_lux
        )
    return say(
        "from {before} to about {after} lux on the work; {wanted} are wanted for fine work",
        before=number(readings.lux),
        after=number(readings.lux + lux),
        wanted=wanted,
    )


def _dries(days: float) -> str:
    if days == 1:
        return say("a day before anything that follows")
    digits = 0 if days == int(days) else 1
    return say("{days} days before anything that follows", days=number(days, digits))


def _words(price: Three, hours: Three, resale: float, pays: bool, currency: str) -> str:
    cost = {"money": money(mean(price), currency), "hours": number(mean(hours), 1)}
    said = say("{money} and {hours} h on average.", **cost)
    if pays:
        return said + " " + say("The resale alone pays for it.")
    if resale > 0:
        back = money(resale, currency)
        return (
            said + " " + say("The resale brings {back} of it back: the rest is for you.", back=back)
        )
    return said + " " + say("It is for you: the resale brings nothing for it.")


def _who(upgrade: Upgrade) -> Iterator[str]:
    if upgrade.sort in ELECTRICAL:
        yield say("Fitted dead. Connected to the mains by a licensed electrician, by local rules.")


def _resale(machine: MachineKept, settled: Settled) -> float:
    """What it brings: now where it is worked for a sale, else at the end, discounted."""
    if machine.aim not in SELLING:
        return resale_now(machine, settled)
    new = machine.machine.new_price
    price = mean(band(machine.kind, "info: base of resale").amount) if new is None else float(new)
    age = machine.machine.age_years
    years = np.array([mean(Three(*AGE_YEARS)) if age is None else age])
    shares = dict(machine.kind.levels[machine.level].resale_share)
    return price * float(resale_share(shares, years)[0])


def _values(readings: Readings) -> dict[str, float]:
    found = {"level_a_db": readings.level_a_db, "lux": readings.lux}
    return {key: value for key, value in found.items() if value is not None}


def _assumed(at: _At) -> Iterator[str]:
    if at.readings.level_a_db is None:
        yield say("Nobody read the level at the operator's ear.")
    else:
        state = at.readings.state or say("state not said")
        yield say("Level at the operator's ear as read last: {state}.", state=state)
    if not at.readings.checked:
        off = number(INDICATIVE_DB)
        yield say("The meter heard no known level: give or take {db} dB.", db=off)
    if at.readings.lux is None:
        yield say("Nobody read the light on the work.")
    yield say("A lamp inside lights about 1 m², 40 per cent of it reaches the work: judgement.")
    yield say("What an extra adds to the resale is judgement; no buyer promised it.")
