"""Lay-up: from when, rounds with their due dates, the cell's clock, the damp of the room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Unpack

from retrue.base.refusals import NotYet, Unusable
from retrue.base.say import say
from retrue.cases.cell import LOOK as CELL_LOOK
from retrue.cases.cell import cell_finding, printed_volts, read_before
from retrue.cases.move.rounds import round_due
from retrue.cases.move.steps import ROUND
from retrue.cases.reckon.kept import method_stands
from retrue.cases.reckon.method import method
from retrue.cases.spot import Spot, find
from retrue.kinds.library import Kind
from retrue.phases.move.views import Rest, RoundLine
from retrue.records.facts import File, Finding, Plate, Withdrawn
from retrue.records.hand import Hand, without_id
from retrue.records.moving import LaidUp, Round
from retrue.records.shop import Record, RecordShop
from retrue.science.damp import dew_point_c

LOG = "layup_log"  # place of a kept log of temperature and humidity
DAYS_A_YEAR = 365.25
IN_A_ROUND = "read in a round"  # text of a finding that follows from a round


def lay_up(
    shop: RecordShop,
    lot: str,
    machine: str,
    fact: LaidUp,
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[LaidUp]:
    """Keep that a machine rests, or that it does no more.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    fact : LaidUp
        Its lot and machine are filled in here.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Record of LaidUp
    """
    spot = find(shop, lot, machine, kinds)
    placed = replace(fact, lot=spot.lot, machine=spot.machine)
    old = shop.current(LaidUp, machine=spot.machine)
    if old and old[-1].fact == placed:
        return old[-1]
    return shop.add(placed, replaces=old[-1].id if old else None, **hand)


def go_round(
    shop: RecordShop,
    lot: str,
    machine: str,
    fact: Round,
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[Round]:
    """Keep one round; volts of the cell are a finding as well.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    fact : Round
        Its lot and machine are filled in here.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Record of Round

    Raises
    ------
    NotYet
        The machine is not laid up.
    Unusable
        A tick that is none of the round's, a humidity that cannot be, or nothing was done.
    """
    spot = find(shop, lot, machine, kinds)
    if not shop.current(LaidUp, machine=spot.machine):
        raise NotYet(
            say("this machine is not laid up"), remedy=say("Say first from when, and where.")
        )
    _looked(fact)
    record = shop.add(replace(fact, lot=spot.lot, machine=spot.machine), **hand)
    if fact.cell_volts is not None:
        _cell(shop, spot, fact.cell_volts, hand)
    return record


def _looked(fact: Round) -> None:
    strange = [one for one in fact.done if one not in ROUND]
    if strange:
        raise Unusable(
            say("{what} is no part of a round", what=strange[0]),
            remedy=say("Choose one of: {named}.", named=", ".join(ROUND)),
        )
    if fact.humidity_percent is not None and fact.air_c is not None:
        dew_point_c(fact.air_c, fact.humidity_percent)
    if not fact.done and fact.cell_volts is None and fact.air_c is None and not fact.text.strip():
        raise Unusable(
            say("nothing was done in this round"), remedy=say("Tick what was done, or write it.")
        )


def read_again(shop: RecordShop, lot: str, machine: str, hand: Hand) -> None:
    """After a round was taken back, its reading of the cell gives way to the one before.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Ids.
    hand : Hand
        Who took it back.
    """
    plates = [one.fact for one in shop.current(Plate, machine=machine)]
    volts = [one.fact.cell_volts for one in shop.current(Round, machine=machine)]
    read = [one for one in volts if one is not None]
    last = cell_finding(lot, machine, read[-1], plates, say(IN_A_ROUND)) if read else None
    mine = [one for one in shop.current(Finding, machine=machine)
            if one.fact.check == CELL_LOOK and one.fact.text == say(IN_A_ROUND)]  # fmt: skip
    for record in mine:
        gone = Withdrawn(of_kind=record.kind, reason=say("the round was taken back"))
        if last is None:
            shop.add(gone, replaces=record.id, **without_id(hand))
        elif record.fact != last:
            shop.add(last, replaces=record.id, **without_id(hand))


def _cell(shop: RecordShop, spot: Spot, volts: float, hand: Hand) -> None:
    """Volts as a share of what is printed on the cell are a finding; the last ones count."""
    plates = [one.fact for one in shop.current(Plate, machine=spot.machine)]
    finding = cell_finding(spot.lot, spot.machine, volts, plates, say(IN_A_ROUND))
    if finding is None or spot.kind is None or CELL_LOOK not in spot.kind.checks:
        return
    old = read_before(shop.current(Finding, machine=spot.machine), finding)
    shop.add(finding, replaces=old.id if old else None, **without_id(hand))


def rest(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], today: date) -> Rest:
    """A machine at rest, as it stands on a day.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    today : date

    Returns
    -------
    Rest
    """
    spot = find(shop, lot, machine, kinds)
    records = shop.current(LaidUp, machine=spot.machine)
    record = records[-1] if records else None
    rounds = tuple(_line(one) for one in shop.current(Round, machine=spot.machine))
    made_on = [one.when.astimezone().date() for one in rounds]
    due = round_due(record.fact, made_on) if record else None
    late = max(0, (today - due).days) if due else 0
    files = shop.current(File, lot=spot.lot)
    mine = [one.id for one in files if one.fact.machine == spot.machine]
    logs = tuple(one.id for one in files if one.id in mine and one.fact.place == LOG)
    made = method_stands(shop, find(shop, lot, machine, kinds), method("layup"), kinds).reckoning
    until = _cell_until(record.fact) if record else None
    plates = [one.fact for one in shop.current(Plate, machine=spot.machine)]
    counts = printed_volts(plates) is not None
    return Rest(record, rounds, due.isoformat() if due else None, late, until, made, logs, counts)


def _line(one: Record[Round]) -> RoundLine:
    fact = one.fact
    dew = None
    if fact.air_c is not None and fact.humidity_percent is not None:
        dew = dew_point_c(fact.air_c, fact.humidity_percent)
    margin = fact.machine_c - dew if dew is not None and fact.machine_c is not None else None
    return RoundLine(one, one.observed_at, margin, dew)


def _cell_until(fact: LaidUp) -> str | None:
    if fact.cell_changed_on is None or not fact.cell_years:
        return None
    changed = date.fromisoformat(fact.cell_changed_on)
    return (changed + timedelta(days=round(fact.cell_years * DAYS_A_YEAR))).isoformat()
