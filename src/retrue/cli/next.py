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

IN_HOURS = 90.0  # minutes from which on hours are said
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
            told, words = every_object(every), lines(every)
        else:
            one = through.machine(opened, kinds, ASKS, machine, on=on)
            told, words = as_object(one), whole(one)
    if as_json:
        click.echo(dumps(told))
    else:
        put(words)


def every_object(every: tuple[Onward, ...]) -> dict[str, object]:
    """All machines with the next step of each, for programs.

    Parameters
    ----------
    every : tuple of Onward

    Returns
    -------
    dict
        One row a machine; money is in ``currency``, which is null, with ``why``, where there are
        lots in several: then every row has its own.
    """
    of = sorted({one.along.currency for one in every})
    rows: list[dict[str, object]] = [row_of(one) for one in every]
    if len(of) == 1:
        return {"currency": of[0], "machines": rows, "schema": "next.1", "why": {}}
    rows = [row | {"currency": one.along.currency} for row, one in zip(rows, every, strict=True)]
    why = say("lots in several currencies") if of else say("there is no machine yet")
    return {"currency": None, "machines": rows, "schema": "next.1", "why": {"currency": why}}


def as_object(one: Onward) -> dict[str, object]:
    """One machine with its next step and all its pages, for programs.

    Parameters
    ----------
    one : Onward

    Returns
    -------
    dict
        ``act`` is null, with ``why``, where nothing is to be done.
    """
    why = {} if one.step is not None else {"act": nothing(one.along)}
    told = {"currency": one.along.currency, "schema": "next.machine.1", "why": why}
    return row_of(one) | told | pages(one)


def row_of(one: Onward) -> dict[str, object]:
    """A machine and its next step in one flat row.

    Parameters
    ----------
    one : Onward

    Returns
    -------
    dict
        Without what is not known of the step; ``because`` says why nothing is to be done where
        ``act`` is null.
    """
    along, step = one.along, one.step
    row: dict[str, object] = {
        "act": None if step is None else step.act,
        "because": nothing(along) if step is None else step.why,
        "lot": along.lot_name,
        "machine": along.name,
        "path": [tick.state for tick in one.ticks],
    }
    return row if step is None else row | step_object(step)


def step_object(step: Step) -> dict[str, object]:
    """What a step takes, and where it is done, for programs.

    Parameters
    ----------
    step : Step

    Returns
    -------
    dict
    """
    told = {
        "gains": step.gains,
        "hands": step.hands or None,
        "minutes": None if step.minutes is None else whole_minutes(step.minutes),
        "money": step.money or None,
        "page": step.path,
        "phase": step.phase + 1,
        "sort": step.sort,
    }
    return {name: value for name, value in told.items() if value is not None}


def whole_minutes(minutes: float) -> int:
    """Minutes as they are told: whole, and never none.

    Parameters
    ----------
    minutes : float

    Returns
    -------
    int

    Examples
    --------
    >>> whole_minutes(114.72222222222221), whole_minutes(0.2)
    (115, 1)
    """
    return max(1, round(minutes))


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
        told.append(time_words(step.minutes))
    if step.money:
        told.append(money(step.money, step.currency))
    if step.hands:
        told.append(step.hands)
    return ", ".join(map(str, told))


def time_words(minutes: float) -> str:
    """Minutes, or hours from an hour and a half on, as the pages say them.

    Parameters
    ----------
    minutes : float

    Returns
    -------
    str

    Examples
    --------
    >>> time_words(5), time_words(114.7)
    ('about 5 min', 'about 1.9 h')
    """
    if minutes < IN_HOURS:
        return say("about {count} min", count=number(whole_minutes(minutes)))
    return say("about {hours} h", hours=number(minutes / 60.0, 1))
