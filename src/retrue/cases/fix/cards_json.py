"""Cards, tonight and plans as flat JSON objects, the same bytes each time."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from retrue.base.say import say
from retrue.cases.fix.buying_lines import Part
from retrue.cases.fix.lines import Card, Cards, Tonight
from retrue.cases.fix.plan_lines import Broke, HireDay, MachineDates, PlanRow, PlanView

CARDS, TONIGHT, PLAN = "fix.cards.1", "fix.tonight.1", "fix.plan.1"


def cards_row(cards: Cards) -> dict[str, Any]:
    """All cards of one machine as plain values.

    Parameters
    ----------
    cards : Cards

    Returns
    -------
    dict
        Cards in an order that may be worked; ``why`` says of each null why it is one.

    Examples
    --------
    >>> none = Cards(lot="l", lot_name="school", machine="m", machine_name="mill", kind="k",
    ...              aim="part_out", level="right", cards=(), visits=(), hours=0.0)
    >>> cards_row(none)["schema"]
    'fix.cards.1'
    """
    return {
        "aim": cards.aim,
        "cards": [card_row(one) for one in cards.cards],
        "currency": cards.currency,
        "hours": round(cards.hours, 2),
        "kind": cards.kind,
        "level": cards.level,
        "lot": cards.lot_name,
        "machine": cards.machine_name,
        "refused": [asdict(one) for one in cards.refused],
        "schema": CARDS,
        "visits": [
            {"cards": [card.key for card in one.cards], "hours": round(one.hours, 2),
             "place": one.place, "place_name": one.place_name}
            for one in cards.visits
        ],
        "why": {},
    }  # fmt: skip


def card_row(card: Card) -> dict[str, Any]:
    """One card as plain values.

    Parameters
    ----------
    card : Card

    Returns
    -------
    dict
    """
    same = ("alone", "cautions", "dries_days", "faults", "good_part", "hoist", "job", "key",
            "left_hours", "licensed", "people", "place", "place_name", "sort", "spent_hours",
            "state", "state_why", "title", "tools", "unbroken", "under_power", "until_on",
            "urgency", "way", "who")  # fmt: skip
    told: dict[str, Any] = {name: getattr(card, name) for name in same}
    whys = {
        "left_hours": say("nobody said"),
        "spent_hours": say("nobody said"),
        "until_on": say("it is not put off"),
    }
    return told | {
        "chance": round(card.chance, 4),
        "hours": asdict(card.hours),
        "left_to": [asdict(one) for one in card.left_to],
        "parts": [_part(one) for one in card.parts],
        "steps": [asdict(one) for one in card.steps],
        "stuck": round(card.stuck, 4),
        "waits": [asdict(one) for one in card.waits],
        "why": {name: why for name, why in whys.items() if told[name] is None},
    }


def tonight_row(told: Tonight) -> dict[str, Any]:
    """What to do tonight as plain values.

    Parameters
    ----------
    told : Tonight

    Returns
    -------
    dict

    Examples
    --------
    >>> tonight_row(Tonight(hours=2.0, alone=True, hoist=False, picks=()))["picks"]
    []
    """
    return {
        "alone": told.alone,
        "cautions": list(told.cautions),
        "evening": told.evening,
        "hoist": told.hoist,
        "hours": told.hours,
        "not_tonight": [
            {"key": one.card.key, "machine": one.card.machine_name, "title": one.card.title,
             "because": one.why}
            for one in told.not_tonight
        ],
        "nothing": told.nothing,
        "picks": [
            {"because": one.why, "hours": round(one.hours, 2), "key": one.card.key,
             "machine": one.card.machine_name, "part": one.part, "title": one.card.title,
             "whole": one.whole}
            for one in told.picks
        ],
        "planned": told.planned,
        "refused": [asdict(one) for one in told.refused],
        "schema": TONIGHT,
        "why": {},
    }  # fmt: skip


def plan_row(view: PlanView) -> dict[str, Any]:
    """A plan as plain values.

    Parameters
    ----------
    view : PlanView

    Returns
    -------
    dict
        Without the moment it was made at, so that the same plan gives the same bytes.

    Examples
    --------
    >>> plan = PlanView(at="", lots=(), machines=(), rows=(), hire=(), refused=(), hands=("me",),
    ...                 proved=True, by_rule=False, gap=0.0, seed=7, worlds=10, currency="EUR")
    >>> plan_row(plan)["hands"]
    ['me']
    """
    return {
        "because": view.why,
        "broke": [_broke(one) for one in view.broke],
        "by_rule": view.by_rule,
        "currency": view.currency,
        "fine": list(view.fine),
        "gap": view.gap,
        "hands": list(view.hands),
        "hire": [_hire(one) for one in view.hire],
        "kept": view.kept,
        "machines": [_dates(one) for one in view.machines],
        "proved": view.proved,
        "refused": [asdict(one) for one in view.refused],
        "rows": [_row(one) for one in view.rows],
        "schema": PLAN,
        "seed": view.seed,
        "stale": view.stale,
        "why": {},
        "worlds": view.worlds,
    }


def _dates(one: MachineDates) -> dict[str, Any]:
    told = asdict(one)
    told["machine"] = told.pop("machine_name")
    told["late_by"] = [{"share": round(share, 3), "what": what} for what, share in one.late_by]
    dates = ("early_on", "even_on", "expected_on", "promise_on")
    told["why"] = {name: one.why for name in dates if told[name] is None}
    if one.stop_loss is None:
        told["why"]["stop_loss"] = say("it was not worked out")
    if not one.order_now:
        told["why"]["order_now"] = say("no order today brings the date nearer")
    return told


def _row(one: PlanRow) -> dict[str, Any]:
    return {
        "begins": one.begins,
        "chance": round(one.card.chance, 4),
        "ends": one.ends,
        "key": one.card.key,
        "late_begins": one.late_begins or None,
        "late_ends": one.late_ends or None,
        "machine": one.card.machine_name,
        "people": list(one.people),
        "slack_days": one.slack_days,
        "title": one.card.title,
        "why": {
            name: say("with bad luck it never comes to it in these evenings")
            for name, told in (("late_begins", one.late_begins), ("late_ends", one.late_ends))
            if not told
        },
    }


def _broke(one: Broke) -> dict[str, Any]:
    why = {} if one.now_on else {"days": say("there is no date any more"),
                                 "now_on": say("there is no date any more")}  # fmt: skip
    told = asdict(one)
    return told | {"because": told.pop("why"), "why": why}


def _hire(one: HireDay) -> dict[str, Any]:
    why = {name: say("nobody said what a day costs")
           for name in ("costs", "saved") if getattr(one, name) is None}  # fmt: skip
    return asdict(one) | {"why": why}


def _part(part: Part) -> dict[str, Any]:
    names = ("days", "line", "mark", "promised_on", "source", "state", "units", "what")
    told: dict[str, Any] = {name: getattr(part, name) for name in names}
    why = {} if part.promised_on else {"promised_on": say("nothing is ordered")}
    return told | {"money": asdict(part.money), "why": why}
