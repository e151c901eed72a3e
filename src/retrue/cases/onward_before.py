"""The step before a machine is here: what to pay, and how it comes."""

from __future__ import annotations

from retrue.base.formatter import money
from retrue.base.say import say
from retrue.cases.onward_facts import Along, Question
from retrue.cases.onward_words import MOVE, PAY, Step, sentence, step

ON_THE_SPOT = ("visit_dead", "visit_live")


def bid_for(along: Along) -> Step:
    """Before the lot is won: the price, what is to be cleared, the question worth asking, the bid.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step

    Examples
    --------
    >>> mill = Along(lot="1", lot_name="a", machine="2", name="mill")
    >>> bid_for(mill).act
    'Have the price reckoned'
    """
    bid, lot = along.bid, f"/lots/{along.lot}"
    if not bid.reckoned:
        return step(
            "price", PAY, say("Have the price reckoned"),
            say("Something was kept since, or it was never asked for: the number not to go above "
                "is not known."),
            lot, say("What to pay"), minutes=1,
        )  # fmt: skip
    if bid.unjudged:
        return step(
            "photographs", PAY,
            say("Look through the photographs: 1 waits") if bid.unjudged == 1
            else say("Look through the photographs: {count} wait", count=bid.unjudged),
            say("It costs a minute, and the price answers at each tap."),
            f"{lot}/pictures/next", say("Start looking"), minutes=1.0 + 0.2 * bid.unjudged,
        )  # fmt: skip
    if bid.question is not None:
        return _ask(along, bid.question)
    if bid.visit is not None:
        return _visit(along, bid.visit)
    if bid.walk_away is None:
        return step("no_price", PAY, say("See why there is no price"), sentence(bid.why), lot,
                    say("What to pay"), minutes=2)  # fmt: skip
    if bid.walk_away <= 0:
        return _let_go(along, say("No question is worth its cost now. Put your own figures in "
                                  "where you know better."))  # fmt: skip
    if bid.frozen is None and bid.clear_first:
        what, why = bid.clear_first[0]
        return step("clear", PAY, say("Before money goes: {what}", what=what), sentence(why),
                    f"{lot}/freeze", say("What must be cleared"), minutes=10)  # fmt: skip
    if bid.frozen is not None:
        return frozen_bid(along, say("The number was frozen. Afterwards say what came of it."),
                          say("Say what came of it"), minutes=1)  # fmt: skip
    return freeze(along, say("No question is worth its cost now. A number that is written down "
                             "does not rise in the heat of it."))  # fmt: skip


def closing(along: Along) -> Step:
    """The day of the sale is near, or has gone by.

    Parameters
    ----------
    along : Along
        With the days that are left.

    Returns
    -------
    Step

    Examples
    --------
    >>> from retrue.cases.onward_facts import Bid
    >>> gone = Bid(closes_on="2026-11-20", days_left=-5)
    >>> closing(Along(lot="1", lot_name="a", machine="2", name="mill", bid=gone)).sort
    'outcome'
    """
    bid, day = along.bid, along.bid.closes_on
    if (bid.days_left or 0) < 0:
        return step("outcome", PAY, say("Say what came of it"),
                    say("The sale closed on {day}: won, lost or walked away.", day=day),
                    f"/lots/{along.lot}/freeze", say("Say it"), minutes=1)  # fmt: skip
    if bid.frozen is not None:
        return frozen_bid(along, say("The sale closes on {day}; the number was frozen before.",
                                     day=day), say("The frozen number"))  # fmt: skip
    if bid.walk_away is not None and bid.walk_away <= 0:
        return _let_go(along, say("The sale closes on {day}. Put your own figures in where you "
                                  "know better.", day=day))  # fmt: skip
    return freeze(along, say("The sale closes on {day}. A number that is written down does not "
                             "rise in the heat of it.", day=day))  # fmt: skip


def frozen_bid(along: Along, why: str, button: str, *, minutes: float | None = None) -> Step:
    """Bid up to the number that was frozen; or not at all, where it left no bid.

    Parameters
    ----------
    along : Along
        With the number.
    why, button : str
    minutes : float or None

    Returns
    -------
    Step

    Examples
    --------
    >>> from decimal import Decimal
    >>> from retrue.cases.onward_facts import Bid
    >>> mill = Along(lot="1", lot_name="a", machine="2", name="mill", bid=Bid(frozen=Decimal(0)))
    >>> frozen_bid(mill, "", "").act
    'Do not bid: no bid was left when the number was frozen'
    """
    number = along.bid.frozen or 0
    act = say("Bid up to {sum}, and no more", sum=money(number, along.currency))
    if number <= 0:
        act = say("Do not bid: no bid was left when the number was frozen")
    return step("bid", PAY, act, why, f"/lots/{along.lot}/freeze", button, minutes=minutes)


def freeze(along: Along, why: str) -> Step:
    """Freeze the number of today.

    Parameters
    ----------
    along : Along
    why : str

    Returns
    -------
    Step

    Examples
    --------
    >>> freeze(Along(lot="1", lot_name="a", machine="2", name="mill"), "").path
    '/lots/1/freeze'
    """
    return step("freeze", PAY, say("Freeze the number before you bid"), why,
                f"/lots/{along.lot}/freeze", say("Freeze it"), minutes=2)  # fmt: skip


def _let_go(along: Along, why: str) -> Step:
    return step("let_go", PAY, say("Let it go, unless you know something we do not"), why,
                f"/lots/{along.lot}/costs", say("Own figures"), minutes=5)  # fmt: skip


def _ask(along: Along, asked: Question) -> Step:
    """The question whose answer is worth most, by the way in which it is asked."""
    lot = f"/lots/{along.lot}"
    act = say("{machine}: {text}", machine=asked.machine, text=asked.text)
    why = say("The answer is worth about {sum} to your decision.",
              sum=money(asked.worth, along.currency))  # fmt: skip
    if asked.channel in ON_THE_SPOT:
        where, button = f"{lot}/visit", say("Plan a visit")
    elif asked.channel == "call":
        where, button = f"{lot}/call", say("Ask by phone")
    else:
        where, button = f"{lot}/message", say("Text for the seller")
    return step("question", PAY, act, why, where, button, minutes=5, money=asked.costs,
                currency=along.currency, gains=asked.worth)  # fmt: skip


def _visit(along: Along, visit: tuple[float, float]) -> Step:
    worth, costs = visit
    return step(
        "visit", PAY, say("Go and look"),
        say("No single question is worth it, a visit is: about {sum} to your decision.",
            sum=money(worth, along.currency)),
        f"/lots/{along.lot}/visit", say("Plan the visit"), minutes=240.0, money=costs,
        currency=along.currency, gains=worth,
    )  # fmt: skip


def move(along: Along) -> Step:
    """Won and not here: the number that is missing, the data, the next step, the arrival.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step

    Examples
    --------
    >>> from retrue.cases.onward_facts import Moving
    >>> mill = Along(lot="1", lot_name="a", machine="2", name="mill",
    ...              move=Moving(unsaved=(("parameters", "parameters"),)))
    >>> move(mill).path
    '/lots/1/machines/2/move/data#parameters'
    """
    moving, path = along.move, f"{along.path}/move"
    if moving.lacking is not None:
        method, what, how = moving.lacking
        return step("number", MOVE, say("Get this number first: {what}", what=what), how,
                    f"{path}/{method}", say("Fill it in"), minutes=10)  # fmt: skip
    if moving.unsaved:
        sort, name = moving.unsaved[0]
        return step(
            "data", MOVE, say("Save {what} before the plug is pulled, and read it back", what=name),
            say("What is lost with the memory comes back from nobody: the machine is then iron."),
            f"{path}/data#{sort}", say("Keep the copy"), minutes=30,
        )  # fmt: skip
    if moving.step is not None:
        _, words = moving.step
        return step("move", MOVE, words, say("The next step of the move that waits for nothing."),
                    f"{path}#steps", say("Tick it"))  # fmt: skip
    return step("arrival", MOVE, say("Say how it came, with photographs"),
                say("What is not written to the carrier in time is nobody's damage but yours."),
                f"{along.path}/arrival", say("It came"), minutes=15)  # fmt: skip
