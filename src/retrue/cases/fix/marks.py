"""What marking a card means: the act it stands for, what is kept from being marked, what next."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from retrue.base.refusals import NotYet, Problem, Unusable
from retrue.base.say import say
from retrue.cases.fix.layout import needs_power
from retrue.cases.fix.lines import Card, Cards
from retrue.kinds.library import Kind
from retrue.records.fixing import CardMarked
from retrue.records.seeking import Act, ActSort

SORTS: Mapping[str, ActSort] = {
    "clean": "clean", "adjust": "adjust", "repair": "repair", "replace": "replace",
    "second_hand": "replace", "outside": "send_out", "local": "send_out",
}  # fmt: skip
BURNS = ("oil", "seal", "bearing", "magnet", "cable", "plastic", "grease", "battery")
COLD = ("cabinet", "panel", "axis_motors", "spindle_motor", "cable_chain", "counterbalance",
        "lighting", "magnet", "supply", "hydraulics")  # fmt: skip


def act_of(card: Card, fact: CardMarked) -> Act | None:
    """The act that a card marked as done stands for.

    Parameters
    ----------
    card : Card
    fact : CardMarked

    Returns
    -------
    Act or None
        None for openings, closings, readings and what is taken out to be sent: no fault or job
        is settled by them.
    """
    if card.sort == "work" and card.faults and card.way:
        return Act(
            lot=fact.lot,
            machine=fact.machine,
            sort=SORTS.get(card.way, "repair"),
            fault=card.faults[0],
            way=card.way,
            seen=fact.text,
            hours=fact.hours,
        )
    if card.job:
        return Act(
            lot=fact.lot, machine=fact.machine, sort="clean", job=card.job, seen=fact.text,
            hours=fact.hours,
        )  # fmt: skip
    return None


def refuse_again(card: Card, how: str, was: str) -> None:
    """Refuse to mark done what is done, and to open again what never was.

    Parameters
    ----------
    card : Card
    how : str
        As it would be marked.
    was : str
        As it was marked last; empty: not since it was opened.

    Raises
    ------
    Unusable
        Its hours would count twice; there is nothing to open.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> refuse_again(SimpleNamespace(state="open", title="belt"), "done", "")
    """
    if how == "done" and was == "done" and card.state == "done":
        raise Unusable(
            say("{title} is done already", title=card.title),
            remedy=say("Correct that mark if its hours are wrong, or open the card again first."),
            problems=(Problem("card", say("is done")),),
        )
    if how == "open_again" and card.state != "done" and was in ("", "open_again"):
        raise Unusable(
            say("{title} is open: nothing was marked of it", title=card.title),
            remedy=say("Leave it as it is."),
            problems=(Problem("card", say("is open")),),
        )


def refuse_unseen(names: Collection[str]) -> None:
    """Refuse to mark a look done while nobody has said what was seen.

    Parameters
    ----------
    names : collection of str
        Of faults that press.

    Raises
    ------
    NotYet
        There are any.

    Examples
    --------
    >>> refuse_unseen(())
    """
    if names:
        raise NotYet(
            say("nobody has said yet of: {names}", names="; ".join(map(str, names))),
            remedy=say("Say of each under Fault-finding, opened up, whether it is there; the card "
                       "is done with the last of them."),
            problems=(Problem("card", say("is not looked at")),),
        )  # fmt: skip


def refuse_done(card: Card, kind: Kind, done: Collection[str]) -> None:
    """Refuse to mark a card done that is settled somewhere else.

    Parameters
    ----------
    card : Card
    kind : Kind
    done : collection of str
        Base jobs that are behind us; first power when its stages are signed.

    Raises
    ------
    NotYet
        First power that is not signed stage by stage; what is measured on a running machine
        before it; a part that is out, or back and not judged.
    """
    starts = [one for one in kind.jobs.values() if one.sort == "start"]
    unpowered = [one for one in starts if one.id not in done]
    if kind.stages and any(one.id == card.job for one in unpowered):
        raise NotYet(
            say("first power is signed stage by stage, not ticked off"),
            remedy=say("Go on with it under First power; this card is done with the last stage."),
            problems=(Problem("card", say("is first power")),),
        )
    if unpowered and card.job in kind.jobs and needs_power(kind, kind.jobs[card.job]):
        raise NotYet(
            say("first power comes before it"),
            remedy=say("Sign the stages under First power first, then mark this card."),
            problems=(Problem("card", say("needs the machine under power")),),
        )
    if card.state == "out":
        raise NotYet(
            say("it is not here yet: {where}", where=card.state_why),
            remedy=say("Say that it came back and how it is; then mark the card."),
            problems=(Problem("card", say("is out")),),
        )


def what_next(card: Card, how: str, cards: Cards) -> tuple[str, ...]:
    """What to do next, said at once when a card was marked.

    Parameters
    ----------
    card : Card
        As it is after the mark.
    how : str
        As it was marked.
    cards : Cards
        All of its machine, after the mark.

    Returns
    -------
    tuple of str
        Sentences; for something stuck the gentle things first.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> belt = SimpleNamespace(place="cabinet", title="drive fan")
    >>> what_next(belt, "stuck", None)[2]
    'No heat here: cables, seals, oil or magnets are near.'
    """
    if how == "stuck":
        return _stuck(card)
    if how == "found":
        return (
            say("Say what you found under Fault-finding, opened up: then it gets its card, and "
                "the dates move with it."),
        )  # fmt: skip
    if how == "done":
        freed = [
            one.title
            for one in cards.cards
            if one.state == "open" and card.key in {wait.card for wait in one.waits}
        ]
        if not freed:
            return ()
        return (say("Free now: {titles}.", titles="; ".join(map(str, freed[:3]))),)
    return ()


def _stuck(card: Card) -> tuple[str, ...]:
    """Soak, shock, heat only where nothing burns, another evening; never with a longer bar."""
    lines = [
        say("Soak it with penetrating oil, tap it, and leave it until another evening."),
        say("Then turn it a little tighter first, back and forth; no longer bar than the bolt "
            "was made for."),
    ]  # fmt: skip
    if card.place in COLD or any(word in card.title.casefold() for word in BURNS):
        lines.append(say("No heat here: cables, seals, oil or magnets are near."))
    else:
        lines.append(
            say("Heat only on bare cleaned iron, away from oil, seals, bearings, magnets and gas "
                "struts, extinguisher at hand, an hour of watch after.")
        )  # fmt: skip
    lines.append(
        say("If it does not move then: drill it, or have it drilled; write down what broke.")
    )
    return tuple(lines)
