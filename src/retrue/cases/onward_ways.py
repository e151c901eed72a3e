"""The step of each phase once the machine is here: what, why, what it costs, and where."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.formatter import money
from retrue.base.say import say
from retrue.cases.onward_facts import Along
from retrue.cases.onward_words import (
    APART,
    MEASURE,
    MONEY,
    MOVE,
    POWER,
    SEEK,
    WORK,
    Step,
    sentence,
    step,
)

LOOK, JOB = "C", "J"  # how ids of looks and of jobs begin


def strip(along: Along) -> Step | None:
    """On the floor: photographs of the arrival, the first night, places not kept as found.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step or None
        None: all of it is kept, or it was under power since.

    Examples
    --------
    >>> from retrue.cases.onward_facts import Apart
    >>> mill = Along(lot="1", lot_name="a", machine="2", name="mill",
    ...              apart=Apart(ticks=(2, 6), tick_words="Head propped"))
    >>> strip(mill).act
    'The first night: Head propped'
    """
    moving, apart = along.move, along.apart
    if along.power.begun:  # what the dirt showed is gone by then
        return None
    if moving.came_on and moving.damage == "not_looked" and not moving.floor_pictures:
        return step("arrival", MOVE, say("Photograph it on the floor, from every side"),
                    say("Beside the seller's photographs they show what the way has done."),
                    f"{along.path}/arrival#front", say("The photographs"), minutes=10)  # fmt: skip
    if apart.ticks[0] and apart.tick_words:
        return step("night", APART, say("The first night: {what}", what=apart.tick_words),
                    say("Of the list of what cannot wait, {open} of {all} are open.",
                        open=apart.ticks[0], all=apart.ticks[1]),
                    f"{along.path}/strip/night#safe", say("Tick it"), minutes=10)  # fmt: skip
    if apart.open_place is not None:
        place, name, line, words = apart.open_place
        return step("as_found", APART, say("{place}: {what}", place=name, what=words),
                    say("Until it is kept as found, that place is not cleaned: what the dirt shows "
                        "is gone with the first rag."),
                    f"{along.path}/strip/places/{place}#{line}", say("Keep it"),
                    minutes=5)  # fmt: skip
    return None


def trouble(along: Along) -> Step | None:
    """Something is wrong and was told: the next best check; once it is found, a way is chosen.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step or None

    Examples
    --------
    >>> trouble(Along(lot="1", lot_name="a", machine="2", name="mill")) is None
    True
    """
    seek = along.seek
    if seek.trouble:
        return off(along)
    if not seek.found:
        return None
    return step("way", WORK, say("Choose a way to put it right: {what}", what=seek.found_name),
                say("It was opened, and it was there."), f"{along.path}/fix/faults/{seek.found}",
                say("The ways"), minutes=5)  # fmt: skip


def off(along: Along) -> Step:
    """The same where a trouble is open; one that means "off" says so.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step

    Examples
    --------
    >>> from retrue.cases.onward_facts import Seeking
    >>> smell = Seeking(trouble="t", title="Smell of burning", means_off=True)
    >>> off(Along(lot="1", lot_name="a", machine="2", name="mill", seek=smell)).act
    'It stays off: Smell of burning'
    """
    seek = along.seek
    path = f"{along.path}/find/{seek.trouble}"
    if seek.means_off:
        return step("off", SEEK, say("It stays off: {what}", what=seek.title),
                    say("Nothing is switched on before that is cleared with the power off."), path,
                    say("What clears it"))  # fmt: skip
    return step("check", SEEK, say("Find it: {what}", what=seek.title),
                say("The next check is the one that brings it to an end for the least money."),
                path, say("The next check"))  # fmt: skip


def card_at(along: Along) -> Step | None:
    """The first job card of tonight at this machine.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step or None

    Examples
    --------
    >>> from retrue.cases.onward_facts import CardAhead
    >>> card = CardAhead(key="J05", title="Oil the ways", hours=0.5, why="they are dry")
    >>> told = card_at(Along(lot="1", lot_name="a", machine="2", name="mill", card=card))
    >>> told.path, told.minutes
    ('/lots/1/machines/2/fix/cards/J05', 30.0)
    """
    card = along.card
    if not card.key:
        return None
    hands = ""
    if card.people > 1:
        hands = say("{count} pairs of hands", count=card.people)
    if card.hoist:
        hands = say("{hands}, the hoist", hands=hands) if hands else say("the hoist")
    title = say("{place}: {what}", place=card.place, what=card.title) if card.place else card.title
    act = say("Go on with: {what}", what=title) if card.begun else title
    return step("card", WORK, act, sentence(card.why), f"{along.path}/fix/cards/{card.key}",
                say("The job card"), minutes=card.hours * 60.0, hands=hands)  # fmt: skip


def watched(along: Along) -> Step:
    """A watch runs: it goes before everything.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step

    Examples
    --------
    >>> from retrue.cases.onward_facts import Power
    >>> runs = Along(lot="1", lot_name="a", machine="2", name="mill", power=Power(watch="w"))
    >>> watched(runs).path
    '/lots/1/machines/2/wake/watch/w'
    """
    called = along.power.watch_called
    act = say("It has called stop: go there now") if called == "stop" else say("Stand by the watch")
    why = say("A run-in watch runs at this machine: too long without a reading means stop.")
    return step("watch", POWER, act, why, f"{along.path}/wake/watch/{along.power.watch}",
                say("The watch"), hands=say("somebody beside the machine"))  # fmt: skip


def stage(along: Along) -> Step | None:
    """First power: the lowest open stage, or what keeps it closed, and who is needed.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step or None

    Examples
    --------
    >>> from retrue.cases.onward_facts import Power
    >>> shut = Power(stage="P1-V", title="Control power", state="closed", stages=11,
    ...              wants=("C31", "Insulation of the spindle motor", ""), wanting=3)
    >>> told = stage(Along(lot="1", lot_name="a", machine="2", name="mill", power=shut))
    >>> told.act, told.path
    ('Before first power: Insulation of the spindle motor', '/lots/1/machines/2/looks/C31')
    """
    power = along.power
    if not power.state:
        return None
    page = f"{along.path}/wake/stages/{power.stage}"
    if power.wants is not None:
        where = _where(along, power.wants[0], page)
        why = say("{stage} stays closed by {count} open things.", stage=power.title,
                  count=power.wanting)  # fmt: skip
        return step("closed", POWER, say("Before first power: {what}", what=power.wants[1]),
                    say("{why} {how}", why=why, how=power.wants[2]) if power.wants[2] else why,
                    where, say("Clear it"))  # fmt: skip
    hands = "" if power.alone else say("{who}, and somebody at the main switch", who=power.who)
    if power.alone and power.who:
        hands = power.who
    act = say("First power: {stage}", stage=power.title)
    if power.state == "begun":
        return step("stage", POWER, say("Read and sign: {stage}", stage=power.title),
                    say("It was begun and is not signed."), f"{page}#read", say("The stage"),
                    hands=hands)  # fmt: skip
    why = power.alone_instead if not power.alone else ""
    why = say("With nobody at the main switch: {instead}", instead=why) if why else say(
        "The lowest stage that is open; everything it asks for is closed.")  # fmt: skip
    return step("stage", POWER, act, why, f"{page}#begin", say("The stage"),
                hands=hands)  # fmt: skip


def _where(along: Along, id: str, page: str) -> str:
    """The page on which an open thing is closed."""
    if id == "back":
        return f"{along.path}/strip/remaining"
    if id == "cause":
        return f"{page}#found"
    if id[:1] == LOOK and id[1:].isdigit():
        return f"{along.path}/looks/{id}"
    return f"{page}#closed"


def measure(along: Along) -> Step | None:
    """The next test of the daily five; level before all that hangs on it.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step or None
        None: it was never under power, or the daily five have said what they say.

    Examples
    --------
    >>> from retrue.cases.onward_facts import Power, Proving
    >>> mill = Along(lot="1", lot_name="a", machine="2", name="mill",
    ...     power=Power(signed=11, stages=11),
    ...     prove=Proving(test="level", name="Level", level="not level", daily=5))
    >>> measure(mill).path
    '/lots/1/machines/2/measure/level/new'
    """
    proving = along.prove
    if not proving.test or (proving.daily_judged >= proving.daily and not proving.bad):
        return None
    why = say("Of the daily five, {count} have said something.", count=proving.daily_judged)
    if proving.level and proving.test == "level":
        why = say("{level} What hangs on it is only provisional until then.", level=proving.level)
    if proving.set:
        return step("measure", MEASURE, say("Go on reading: {test}", test=proving.name), why,
                    f"/sets/{proving.set}", say("The next number"))  # fmt: skip
    return step("measure", MEASURE, say("Measure: {test}", test=proving.name), why,
                f"{along.path}/measure/{proving.test}/new", say("Set it up"),
                minutes=proving.minutes)  # fmt: skip


def sale(along: Along) -> Step:
    """Money and sale: an offer, what keeps the record closed, or closing the machine.

    Parameters
    ----------
    along : Along

    Returns
    -------
    Step

    Examples
    --------
    >>> sale(Along(lot="1", lot_name="a", machine="2", name="mill")).path
    '/lots/1/machines/2/settle/close'
    """
    settle, path = along.settle, f"{along.path}/settle"
    if settle.offer is not None:
        _, whom, amount, currency = settle.offer
        return step("offer", MONEY, say("Answer {whom}", whom=whom),
                    say("An offer of {sum} waits.", sum=money(amount, currency)),
                    f"{path}/sell#offers", say("Take it or not"), minutes=5)  # fmt: skip
    if along.card.aim.startswith("sell") or along.card.aim == "part_out":
        if settle.blocked is not None and along.card.aim != "part_out":
            what, count = settle.blocked
            return step("record", MONEY, say("Clear for the condition record: {what}", what=what),
                        say("{count} things keep it closed.", count=count), f"{path}/record",
                        say("What is open"))  # fmt: skip
        if not settle.listed:
            return step("list", MONEY, say("List it"),
                        say("Every month that it stands costs floor, capital and rounds."),
                        f"{path}/sell#list", say("What to ask"), minutes=10)  # fmt: skip
        if not settle.records:
            return step("record", MONEY, say("Make its condition record"),
                        say("A buyer believes a sheet that says what was not tested."),
                        f"{path}/record", say("The record"), minutes=15)  # fmt: skip
        return step("listed", MONEY, say("It is listed: keep what is offered"),
                    say("Each offer says what it is worth to somebody."), f"{path}/sell#offers",
                    say("An offer"), minutes=2)  # fmt: skip
    return _close(along)


def after_sale(along: Along) -> Iterator[Step]:
    """What is left of a machine that is sold: a promise, a question, closing its book.

    Parameters
    ----------
    along : Along

    Yields
    ------
    Step

    Examples
    --------
    >>> [one.sort for one in after_sale(Along(lot="1", lot_name="a", machine="2", name="mill"))]
    ['close']
    """
    settle, path = along.settle, f"{along.path}/settle"
    if settle.promise is not None:
        what, whom, until = settle.promise
        why = say("Promised to {whom} by {day}.", whom=whom, day=until) if until else say(
            "Promised to {whom}.", whom=whom)  # fmt: skip
        yield step("promise", MONEY, say("Keep what was promised: {what}", what=what), why,
                   f"{path}/after#promises", say("It is done"))  # fmt: skip
    if settle.asked is not None:
        whom, question = settle.asked
        yield step("asked", MONEY, say("Answer {whom}: {question}", whom=whom, question=question),
                   say("Nobody has answered yet."), f"{path}/after#questions",
                   say("Answer"), minutes=5)  # fmt: skip
    yield _close(along)


def _close(along: Along) -> Step:
    return step("close", MONEY, say("Close the book on it"),
                say("What was guessed and what was: the next price is better by it."),
                f"{along.path}/settle/close", say("Close it"), minutes=10)  # fmt: skip
