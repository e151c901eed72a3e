"""How the phases of one machine stand, read from the shop for its next step."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from retrue.cases.fix.move_days import damage_due, rest_due
from retrue.cases.fix.outs import outs_of
from retrue.cases.fix.owed import most_pressing, on_the_list, owed
from retrue.cases.kept_case import line_of
from retrue.cases.onward_facts import Apart, Bid, Moving, Owing, Power, Settling
from retrue.cases.settle.after import PromiseLine, QuestionLine, promise_line, question_line
from retrue.cases.settle.condition import still_open
from retrue.cases.settle.condition_kept import record_kept
from retrue.cases.settle.sale_kept import sale_kept
from retrue.cases.spot import Spot, first_id
from retrue.cases.strip.gates import place_stands
from retrue.cases.strip.kept import cleaned_of, pictures_of, said_of, taken_of
from retrue.cases.strip.order import not_back
from retrue.cases.strip.ticks import tick_lines
from retrue.cases.wake.closed import clearing_looks
from retrue.cases.wake.kept import power_kept, progress_kept
from retrue.cases.wake.stands import stage_stands
from retrue.kinds.library import Kind
from retrue.records.facts import File, Finding, Frozen, Outcome, Plate, Terms
from retrue.records.fixing import CardMarked
from retrue.records.moving import Arrived, LaidUp, Round
from retrue.records.seeking import Act
from retrue.records.settling import (
    BuyerAsked,
    CaseClosed,
    ForSale,
    Promised,
    RecordGiven,
)
from retrue.records.shop import Record, RecordShop
from retrue.records.stripping import AsFound, Cleaned, Taken, Ticked
from retrue.records.waking import StageBegun, WatchBegun, WatchCalled, WatchEnded

# what is kept only of a machine that stands on the floor
ON_THE_FLOOR: tuple[type[Any], ...] = (
    Arrived, LaidUp, AsFound, Ticked, Cleaned, Taken, Act, CardMarked, StageBegun,
)  # fmt: skip
SPOTS = ("truck", "floor")


def bid_kept(shop: RecordShop, spot: Spot, ours: bool, on: date) -> Bid:
    """What is kept of what to pay; the price itself is looked up by its key.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    ours : bool
        Something was kept of the lot that is kept only of what was bought.
    on : date
        Today.

    Returns
    -------
    Bid
    """
    outcome = shop.current(Outcome, lot=spot.lot)
    terms = shop.current(Terms, lot=spot.lot)
    frozen = shop.current(Frozen, lot=spot.lot)
    result = outcome[-1].fact.result if outcome else ""
    closes = (terms[-1].fact.closes_at or "")[:10] if terms else ""
    entries = spot.kind.plate if spot.kind else {}
    plate = {one.fact.entry for one in shop.current(Plate, machine=spot.machine)}
    return Bid(
        outcome=result,
        ours=result == "won" or (ours and not result),
        closes_on=closes,
        days_left=(date.fromisoformat(closes) - on).days if closes else None,
        frozen=frozen[-1].fact.hammer if frozen else None,
        findings=len(shop.current(Finding, lot=spot.lot, machine=spot.machine)),
        stamped=len(plate & set(entries)),
        to_stamp=len(entries),
    )


def is_here(shop: RecordShop, spot: Spot) -> bool:
    """Whether something is kept of a machine that is kept only of one on the floor.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot

    Returns
    -------
    bool
    """
    return any(shop.current(kind, lot=spot.lot, machine=spot.machine) for kind in ON_THE_FLOOR)


def days_kept(shop: RecordShop, spot: Spot, on: date) -> Moving:
    """Arrival and rest of a machine, with the days that do not wait.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    on : date
        Today.

    Returns
    -------
    Moving
    """
    arrived = [one.fact for one in shop.current(Arrived, machine=spot.machine)]
    laid = [one.fact for one in shop.current(LaidUp, machine=spot.machine)]
    rounds = shop.current(Round, machine=spot.machine)
    harm = damage_due(spot, arrived, on)
    rest = rest_due(spot, laid, [one.observed_at.date() for one in rounds], on)
    sides = [
        one
        for one in shop.current(File, lot=spot.lot, machine=spot.machine)
        if one.fact.place in SPOTS
    ]
    return Moving(
        here=is_here(shop, spot),
        came_on=arrived[-1].delivered_on if arrived else "",
        damage=arrived[-1].damage if arrived else "",
        damage_left=harm[0].days_left if harm else None,
        damage_words=harm[0].words if harm else "",
        floor_pictures=sum(one.fact.place == "floor" for one in sides),
        sides=len(sides),
        resting=bool(laid) and laid[-1].until_on is None,
        round_left=rest[0].days_left if rest else None,
    )


def apart_kept(shop: RecordShop, spot: Spot, kind: Kind) -> Apart:
    """How far a machine is kept as found, and what is off.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    kind : Kind

    Returns
    -------
    Apart
        A place is kept as found once it may be cleaned.
    """
    said, pictures, cleaned = said_of(shop, spot), pictures_of(shop, spot), cleaned_of(shop, spot)
    ticked = shop.current(Ticked, lot=spot.lot, machine=spot.machine)
    ticks = tick_lines(kind, "first_night", ticked)
    undone = taken_of(shop, spot)
    stands = [place_stands(kind, one, said, pictures, cleaned.get(one, ())) for one in kind.places]
    lacking = next((one for one in stands if one.before_clean), None)
    still = [one for one in ticks if not one.done]
    return Apart(
        open_place=None if lacking is None else (
            lacking.id, lacking.name, lacking.before_clean[0].entry.id,
            lacking.before_clean[0].entry.text,
        ),
        kept=sum(one.may_clean for one in stands),
        places=len(stands),
        ticks=(len(still), len(ticks)),
        tick_words=still[0].text if still else "",
        off=len(not_back(undone)),
        undone=len(undone),
    )  # fmt: skip


def power_ahead(shop: RecordShop, spot: Spot, kind: Kind, *, asked: bool) -> Power:
    """How far first power is; what the lowest stage wants, only where it is asked for.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    kind : Kind
    asked : bool
        Whether the machine is so far that its stages count.

    Returns
    -------
    Power
    """
    progress = progress_kept(shop, spot, kind)
    coming = next((one for one in progress.values() if not one.signed), None)
    watch, called = _running(shop, spot)
    seen = Power(
        watch=watch,
        watch_called=called,
        signed=sum(one.signed for one in progress.values()),
        stages=len(progress),
        begun=any(one.tried or one.begun is not None for one in progress.values()),
        stage="" if coming is None else coming.stage.id,
        title="" if coming is None else coming.stage.title,
        state="" if coming is None else "open",
    )
    if coming is None or not (asked or seen.begun):
        return seen
    stands = stage_stands(power_kept(shop, spot, kind), coming.stage)
    wants = stands.wanting[0] if stands.wanting else None
    return Power(
        watch=watch, watch_called=called, signed=seen.signed, stages=seen.stages,
        begun=seen.begun, stage=seen.stage, title=seen.title, who=stands.who,
        alone=coming.stage.alone, live=stands.live, alone_instead=stands.alone_instead,
        state=stands.state,
        wants=None if wants is None else (_look(kind, wants.where), wants.what, wants.remedy),
        wanting=len(stands.wanting),
    )  # fmt: skip


def _look(kind: Kind, id: str) -> str:
    """The look that clears a fault; what is none stands for itself."""
    looks = clearing_looks(kind, id) if id in kind.faults else ()
    return looks[0] if looks else id


def _running(shop: RecordShop, spot: Spot) -> tuple[str, str]:
    """The watch that runs, by its first id, and what it has called."""
    here: dict[str, Any] = {"lot": spot.lot, "machine": spot.machine}
    begun = shop.current(WatchBegun, **here)
    if not begun:
        return "", ""
    ended = {one.fact.watch for one in shop.current(WatchEnded, **here)}
    still = [one for one in begun if first_id(shop, one) not in ended and one.id not in ended]
    if not still:
        return "", ""
    watch = first_id(shop, still[-1])
    called = [one.fact.call for one in shop.current(WatchCalled, **here) if one.fact.watch == watch]
    return watch, called[-1] if called else ""


def owing_kept(shop: RecordShop, spot: Spot, on: date) -> Owing:
    """What is out of one machine, the most pressing first.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    on : date
        Today.

    Returns
    -------
    Owing
    """
    mine = [one for one in outs_of(shop, spot.lot) if one.out.machine == spot.machine]
    every = [
        owed(
            one, on=on, lot_name=spot.lot_name, machine_name=spot.name, holds_up=(), pressing=False
        )
        for one in mine
    ]
    listed = most_pressing(one for one in every if on_the_list(one))
    if not listed:
        return Owing()
    first = listed[0]
    return Owing(out=first.first.id, what=first.out.what, whom=first.out.whom, state=first.state,
                 days_late=first.days_late, waiting=len(listed))  # fmt: skip


def settle_kept(shop: RecordShop, spot: Spot, kind: Kind, on: date, *, selling: bool) -> Settling:
    """How a machine stands to be sold, or is sold, or closed.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    kind : Kind
    on : date
        Today.
    selling : bool
        It is meant to be sold: then what keeps its record closed is read as well.

    Returns
    -------
    Settling
    """
    here: dict[str, Any] = {"lot": spot.lot, "machine": spot.machine}
    kept = sale_kept(shop, spot.lot, spot.machine)
    offers = [(id, one.fact) for id, one in kept.offers if one.fact.answer in ("", "waiting")]
    listed: Sequence[Record[ForSale]] = shop.current(ForSale, **here)
    given, asked = shop.current(Promised, **here), shop.current(BuyerAsked, **here)
    left = still_open(record_kept(shop, spot, kind), "as_found") if selling else ()
    return Settling(
        offer=None if not offers else (
            offers[0][0], offers[0][1].whom, offers[0][1].amount, offers[0][1].currency
        ),
        listed=listed[-1].fact.sold_as if listed else "",
        sold=bool(kept.sales),
        closed=bool(shop.current(CaseClosed, machine=spot.machine)),
        records=len(shop.current(RecordGiven, **here)),
        promise=_promise(promise_line(first_id(shop, one), one, on) for one in given),
        asked=_asked(question_line(first_id(shop, one), one, on) for one in asked),
        blocked=(left[0].what, len(left)) if left else None,
    )  # fmt: skip


def _promise(lines: Iterable[PromiseLine]) -> tuple[str, str, str] | None:
    still = sorted((one for one in lines if one.state != "kept"), key=lambda one: -one.days_late)
    fact = still[0].record.fact if still else None
    return None if fact is None else (fact.what, fact.whom, fact.until_on or "")


def _asked(lines: Iterable[QuestionLine]) -> tuple[str, str] | None:
    open_ = [one for one in lines if one.state != "answered"]
    still = sorted(open_, key=lambda one: -one.days_late)
    fact = still[0].record.fact if still else None
    return None if fact is None else (fact.whom, fact.question)


def picture_of(shop: RecordShop, spot: Spot, every: Sequence[Record[File]]) -> str | None:
    """The photograph that stands for a machine: from the floor, else its own, else the lot's.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    every : sequence of Record
        Files of its lot, oldest first.

    Returns
    -------
    str or None
        Id of the first record of its line.

    Examples
    --------
    >>> picture_of(None, Spot(lot="1", lot_name="a", machine="2", name="m", kind=None), ()) is None
    True
    """
    shown = [one for one in every if one.fact.media_type.startswith("image/")]
    mine = [one for one in shown if one.fact.machine == spot.machine]
    front = [one for one in mine if one.fact.place == "floor" and one.fact.shot == "front"]
    whole = [one for one in mine if one.fact.place is None]
    lots = [one for one in shown if one.fact.machine is None]
    for some in (front[-1:], whole[:1], mine[:1], lots[:1]):
        if some:
            return line_of(shop, some[0]).first.id
    return None
