"""What of a card is left to a licensed electrician: no step of it stands, only what comes back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from retrue.base.say import say
from retrue.cases.fix.lines import Card, LeftTo
from retrue.kinds.library import Check, Kind
from retrue.kinds.once import once_a_kind

LICENSED = "electrician"
LIVE, SECOND_PERSON = "X05", "X32"


def without_live_steps(card: Card, kind: Kind) -> Card:
    """A card without any step that is left to a licensed electrician.

    Parameters
    ----------
    card : Card
        With all its steps, as kinds and rules give them.
    kind : Kind
        Of its machine.

    Returns
    -------
    Card
        A look of his becomes what he hands back. A card that is his, and first power, which goes
        stage by stage with sheets of its own, keep no step at all.

    Examples
    --------
    >>> from retrue.cases.fix.lines import Step
    >>> from retrue.kinds.judged import Three
    >>> from retrue.kinds.load import load
    >>> kind = load()["vertical_machining_centre"]
    >>> steps = (Step(sort="work", text="Clean it."),
    ...          Step(sort="measure", text=f"Look again: {kind.checks['C75'].text}."))
    >>> card = Card(key="F81:repair", lot="l", machine="m", machine_name="mill", sort="work",
    ...             title="t", place="", place_name="", steps=steps, hours=Three(1, 1, 1))
    >>> told = without_live_steps(card, kind)
    >>> [one.text for one in told.steps], [one.id for one in told.left_to]
    (['Clean it.'], ['C75'])
    """
    starts = card.job in kind.jobs and kind.jobs[card.job].sort == "start"
    looks = _his(kind)
    his = [step for step in card.steps if any(one.text in step.text for one in looks)]
    named = [one for step in his for one in looks if one.text in step.text]
    left = dict.fromkeys((*card.left_to, *(_left_to(one, kind) for one in named)))
    licensed = card.who == LICENSED
    if not (starts or licensed or left):
        return card
    said = {*card.cautions, LIVE, *((SECOND_PERSON,) if starts else ())}
    return replace(
        card,
        steps=() if starts or licensed else tuple(one for one in card.steps if one not in his),
        left_to=() if starts else tuple(left),
        licensed=licensed,
        under_power=starts,
        cautions=tuple(id for id in kind.cautions if id in said),
    )


def is_his(check: Check) -> bool:
    """Whether a look is left to a licensed electrician.

    Parameters
    ----------
    check : Check

    Returns
    -------
    bool
    """
    return check.who == LICENSED


@once_a_kind
def _his(kind: Kind) -> tuple[Check, ...]:
    return tuple(one for one in kind.checks.values() if is_his(one))


def licensed_words(card: Card) -> tuple[str, ...]:
    """Why there are no steps, who may do it, what he hands back.

    Parameters
    ----------
    card : Card

    Returns
    -------
    tuple of str
        Sentences; none where nothing of it is left to anybody.

    Examples
    --------
    >>> from retrue.kinds.judged import Three
    >>> card = Card(key="a", lot="l", machine="m", machine_name="mill", sort="work", title="t",
    ...             place="", place_name="", steps=(), hours=Three(1, 1, 1), licensed=True)
    >>> licensed_words(card)[0][:41]
    'All of this is left to a licensed electri'
    """
    return tuple(_sentences(card))


def _sentences(card: Card) -> Iterator[str]:
    if card.licensed:
        yield say("All of this is left to a licensed electrician: no step stands here. He hands "
                  "back what he found and changed, readings, date, name, licence, "
                  "signature.")  # fmt: skip
        yield say("Yours to do: ring him, give him the data of the plate (volts, phases, amperes "
                  "or kVA) and what feeds your workshop, and ask: can this supply carry it, what "
                  "is to be changed, what does it cost, when can he come.")  # fmt: skip
    if card.under_power:
        yield say("Under power it goes stage by stage. Each stage has a sheet of its own, to be "
                  "signed: cautions, who stands at the main switch, bands, stop limits. No step "
                  "of it stands here.")  # fmt: skip
    for one in card.left_to:
        wanted = "; ".join(map(str, one.hands_back)) or say("his finding, in words")
        yield say("Left to a licensed electrician: {look}. How it is done stands nowhere here; he "
                  "hands back: {what}; date, name, licence, signature.",
                  look=one.id, what=wanted)  # fmt: skip


def _left_to(look: Check, kind: Kind) -> LeftTo:
    named = (kind.measures[one] for one in look.measures if one in kind.measures)
    return LeftTo(
        id=look.id,
        hands_back=tuple(f"{one.name} ({one.unit})" if one.unit else one.name for one in named),
    )
