"""What to do next at every machine, or at one."""

from __future__ import annotations

from collections.abc import Iterator

import click

from retrue.base.formatter import money, number
from retrue.base.say import say
from retrue.cases.onward_facts import Along
from retrue.cases.onward_words import Step
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import json_option, shop_option
from retrue.phases import fix, move, prove, through
from retrue.phases.through import Asks, Onward

ASKS = Asks(cards=fix.first_cards, plan=move.ahead, bench=prove.ahead)


@click.command("next")
@click.argument("machine", required=False)
@shop_option
@json_option
@click.pass_obj
def next_(house: House, machine: str | None, shop: str | None, as_json: bool) -> None:
    """Tell what to do next: one line a machine, or all of MACHINE.

    MACHINE is a name or an id. Nothing is reckoned for it: a price or a plan that is not known yet
    is said to be so.
    """
    kinds, on = house.kinds(), house.clock().astimezone().date()
    with house.open_shop(shop) as opened:
        if machine is None:
            every = through.machines(opened, kinds, ASKS, on=on)
            told: dict[str, object] = {"machines": [as_object(one) for one in every]}
            words = lines(every)
        else:
            one = through.machine(opened, kinds, ASKS, machine, on=on)
            told, words = as_object(one) | pages(one), whole(one)
    if as_json:
        click.echo(dumps(told | {"schema": 1}))
    else:
        put(words)


def as_object(one: Onward) -> dict[str, object]:
    """One machine with its next step, for programs.

    Parameters
    ----------
    one : Onward

    Returns
    -------
    dict
        ``next`` is null, with ``why``, where nothing is to be done.
    """
    along, step = one.along, one.step
    told: dict[str, object] = {
        "currency": along.currency,
        "lot": along.lot_name,
        "machine": along.name,
        "next": None if step is None else step_object(step),
        "path": [tick.state for tick in one.ticks],
    }
    return told if step is not None else told | {"why": {"next": nothing(along)}}


def step_object(step: Step) -> dict[str, object]:
    """A next step for programs.

    Parameters
    ----------
    step : Step

    Returns
    -------
    dict
    """
    return {
        "act": step.act,
        "gains": step.gains,
        "hands": step.hands,
        "minutes": step.minutes,
        "money": step.money,
        "page": step.path,
        "phase": step.phase + 1,
        "sort": step.sort,
        "why": step.why,
    }


def pages(one: Onward) -> dict[str, object]:
    """Every page of a machine with how it stands, for programs.

    Parameters
    ----------
    one : Onward

    Returns
    -------
    dict
    """
    return {
        "pages": [
            {"name": page.name, "page": page.path, "phase": page.phase + 1, "says": page.words}
            for page in one.pages
        ]
    }


def nothing(along: Along) -> str:
    """Why nothing is to be done at a machine.

    Parameters
    ----------
    along : Along

    Returns
    -------
    str
    """
    words = {"lost": say("the lot was lost"), "walked": say("you walked away from it")}
    return words.get(along.bid.outcome, say("it is closed"))


def lines(every: tuple[Onward, ...]) -> Iterator[str]:
    """One line a machine, the most pressing first.

    Parameters
    ----------
    every : tuple of Onward

    Yields
    ------
    str
    """
    if not every:
        yield say("There is no machine yet. Begin with a lot: retrue lot new, or retrue open.")
    for one in every:
        act = one.step.act if one.step else say("nothing: {why}", why=nothing(one.along))
        yield say("{machine} ({lot}): {act}", machine=one.along.name, lot=one.along.lot_name,
                  act=act)  # fmt: skip


def whole(one: Onward) -> Iterator[str]:
    """All of one machine: the step, why, what it takes, where; then how every page stands.

    Parameters
    ----------
    one : Onward

    Yields
    ------
    str
    """
    step = one.step
    if step is None:
        yield say("{machine}: nothing: {why}", machine=one.along.name, why=nothing(one.along))
    else:
        yield say("{machine}: {act}", machine=one.along.name, act=step.act)
        if step.why:
            yield step.why
        if takes := takes_words(step):
            yield say("It takes {what}.", what=takes)
        yield say("Page: {path}", path=step.path)
    yield ""
    for page in one.pages:
        if page.words:
            yield f"{page.name}: {page.words}"


def takes_words(step: Step) -> str:
    """What a step costs: minutes, money, hands.

    Parameters
    ----------
    step : Step

    Returns
    -------
    str
        Empty where nothing is known of it.
    """
    told = []
    if step.minutes is not None:
        told.append(say("about {count} min", count=number(max(1.0, step.minutes))))
    if step.money:
        told.append(money(step.money, step.currency))
    if step.hands:
        told.append(step.hands)
    return ", ".join(map(str, told))
