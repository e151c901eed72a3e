"""A catalogue kept in the shop, screened at the keyboard together with whoever else does."""

from __future__ import annotations

import os
import uuid
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any, NoReturn

import click

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import ENGLISH, say, speaking
from retrue.cases.screen.bid_plan import Ended, Limits
from retrue.cases.screen.parts import PART
from retrue.cases.screen.screened import ScreenedLot
from retrue.cli.house import House
from retrue.cli.progress import Tell
from retrue.cli.worth_screen import Wanted
from retrue.cli.worth_screen_source import Opened, Told, rates_of
from retrue.phases import worth
from retrue.phases.worth.screening import library_of, listing_in_english
from retrue.records.facts import Shop
from retrue.records.screening import Budget, Catalogue
from retrue.records.shop import Record, RecordShop

ON_A_CLUSTER = 16  # parts in hand at once, where nobody says how many work


def screen_kept(
    house: House, shop: str | None, name: str, told: Told, wanted: Wanted, tell: Tell
) -> tuple[Opened, tuple[ScreenedLot, ...]]:
    """Screen what is left of a kept catalogue; others may work on it at the same time.

    Parameters
    ----------
    house : House
    shop : str or None
        --shop.
    name : str
        Of the catalogue, or its id.
    told : Told
        What was typed of it corrects what is kept.
    wanted : Wanted
    tell : callable

    Returns
    -------
    (Opened, tuple of ScreenedLot)
        Every row there is, whoever worked it out.
    """
    with house.open_shop(shop) as opened:
        old = worth.find_catalogue(opened, name)
        record = _corrected(house, opened, old, told)
        listing = worth.listing_of(opened, record.id, house.kinds())
        with speaking(ENGLISH):
            kinds = house.kinds()
        anew = wanted.anew or record.id != old.id
        try:
            _run(house, opened, record, kinds, wanted, anew, tell)
        except KeyboardInterrupt:
            _stopped(opened, record.id)
        state = worth.state_of(opened, record.id)
        _say_left(state)
        mine = worth.my_shop(opened)
        made = Opened(
            listing=listing, english=listing_in_english(opened, record.id, kinds),
            kinds=library_of(opened, kinds), currency=(mine.fact if mine else Shop()).currency,
        )  # fmt: skip
    return made, state.rows


def bids_kept(
    house: House, shop: str | None, name: str, limits: Limits, ended: Sequence[Ended]
) -> tuple[Limits, tuple[Ended, ...]]:
    """Keep what was typed of the bids at a kept catalogue, and give what stands of all of them.

    Parameters
    ----------
    house : House
    shop : str or None
        --shop.
    name : str
        Of the catalogue, or its id.
    limits : Limits
        What was not typed is as it was kept.
    ended : sequence of Ended

    Returns
    -------
    (Limits, tuple of Ended)
        With what others have kept of lots that went.
    """
    typed = {"money": limits.money, "floor_m2": limits.floor_m2, "hours": limits.hours}
    given: dict[str, Any] = {key: value for key, value in typed.items() if value is not None}
    if limits.money is not None:
        given["money"] = Decimal(repr(limits.money))
    with house.open_shop(shop) as opened:
        for one in ended:
            price = Decimal(repr(one.amount)) if one.won else None
            worth.bid_ended(opened, name, one.number, "won" if one.won else "lost", price,
                            **house.hand)  # fmt: skip
        old = worth.budget_of(opened, name)
        said = replace(old.fact if old else Budget(catalogue=""), odds=limits.odds, **given)
        fact = worth.set_budget(opened, name, said, **house.hand).fact
        came = worth.came_of_lots(opened, name)
    money = None if fact.money is None else float(fact.money)
    stands = Limits(money=money, floor_m2=fact.floor_m2, hours=fact.hours, odds=limits.odds)
    return stands, tuple(
        Ended(number=number, won=end.result == "won", amount=float(end.amount or 0))
        for number, end in sorted(came.items())
    )


def said_of(told: Told, on: date, old: Catalogue | None = None) -> dict[str, Any]:
    """Fields of a catalogue that were typed; what was not typed is left out.

    Parameters
    ----------
    told : Told
    on : date
        Of the rates.
    old : Catalogue, optional
        What stands: columns and rates that were not typed stay.

    Returns
    -------
    dict

    Raises
    ------
    Unusable
        --needs: a catalogue in the shop is for the shop's own needs; a rate that is none.
    """
    if told.needs is not None:
        what = say("is not for a catalogue in the shop")
        remedy = say("Leave it out: what the machines must do stands in my shop.")
        raise Unusable(what, remedy=remedy, problems=(Problem("needs", what, remedy),))
    found: dict[str, Any] = {
        "sale": told.sale, "premium": told.premium, "tax_rate": told.tax,
        "tax_reclaimable": None if told.tax is None else False, "closes_at": told.closes,
        "distance_km": told.distance, "removal_days": told.removal,
        "currency": None if told.currency is None else told.currency.upper(),
        "decimal": told.decimal, "dates": told.dates,
    }  # fmt: skip
    found = {name: value for name, value in found.items() if value is not None}
    if told.columns:
        columns = dict(old.columns if old else ()) | dict(told.columns)
        found["columns"] = tuple(columns.items())
    if told.rates:
        before = dict(zip(old.rate_currencies, old.rates, strict=True)) if old else {}
        rates = before | rates_of(told.rates)
        found |= {"rate_currencies": tuple(rates), "rates": tuple(rates.values()),
                  "rate_on": on.isoformat()}  # fmt: skip
    return found


def _corrected(
    house: House, shop: RecordShop, old: Record[Catalogue], told: Told
) -> Record[Catalogue]:
    said = said_of(told, shop.today(), old.fact)
    if not said:
        return old
    return worth.correct_catalogue(shop, old.id, **said, **house.hand)


def _run(
    house: House,
    shop: RecordShop,
    record: Record[Catalogue],
    kinds: Any,
    wanted: Wanted,
    anew: bool,
    tell: Tell,
) -> None:
    lots = len(listing_in_english(shop, record.id, kinds).lots)
    cores = wanted.processes or os.cpu_count() or 1
    worth.run_parts(
        shop, record.id, kinds, house.spread(wanted.processes, wanted.cluster),
        worker=uuid.uuid4().hex, clock=house.clock, seed=wanted.seed, worlds=wanted.worlds,
        again=anew, at_once=2 * cores if wanted.cluster is None else ON_A_CLUSTER,
        told=lambda done, parts: tell("lots", lots if done == parts else done * PART, lots),
        **house.hand,
    )  # fmt: skip


def _say_left(state: worth.ScreenState) -> None:
    """Say what is not done, and in whose hands it is."""
    if not state.left:
        return
    who = ", ".join(dict.fromkeys(one.fact.who for one in state.shares))
    if who:
        words = say("{count} parts are still with {who}; the same command then shows them too.",
                    count=state.left, who=who)  # fmt: skip
    else:
        words = say("{count} parts are left; the same command goes on from there.",
                    count=state.left)  # fmt: skip
    click.echo(words, err=True)


def _stopped(shop: RecordShop, catalogue: str) -> NoReturn:
    """Say what is kept, and how to go on."""
    state = worth.state_of(shop, catalogue)
    done = len(state.rows)
    click.echo(say("Stopped: {done} of {of} lots.", done=done, of=state.lots), err=True)
    click.echo(say("Kept in the shop; the same command goes on from there."), err=True)
    click.get_current_context().exit(1)
