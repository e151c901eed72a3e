"""The first card of an evening at one machine, in the few words of its next step."""

from __future__ import annotations

from retrue.cases.fix.tonight import Here, tonight_of
from retrue.cases.onward_facts import CardAhead

EVENING_HOURS = 2.0  # until somebody says how long it is


def card_ahead(here: Here) -> CardAhead:
    """The first card of an evening alone at one machine, and how far its cards are.

    Parameters
    ----------
    here : Here
        The machine with its cards, and their place in the plan that is kept.

    Returns
    -------
    CardAhead
        Where none can be begun alone, the one that somebody's help or the hoist would open; where
        there is none either, why.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from retrue.cases.fix.lines import Cards
    >>> none = Cards(lot="l", lot_name="school", machine="m", machine_name="mill", kind="k",
    ...              aim="keep", level="right", cards=(), visits=(), hours=0.0)
    >>> mill = SimpleNamespace(key="m", name="mill", aim="keep", kind=None, marks=())
    >>> ahead = card_ahead(Here(kept=None, machine=mill, cards=none))
    >>> ahead.key, ahead.cards, bool(ahead.nothing)
    ('', 0, True)
    """
    told = tonight_of((here,), hours=EVENING_HOURS, alone=True, hoist=False)
    if not told.picks:
        helped = tonight_of((here,), hours=EVENING_HOURS, alone=False, hoist=True)
        told = helped if helped.picks else told
    every = here.cards.cards
    made = CardAhead(
        nothing=told.nothing,
        planned=told.planned,
        done=sum(card.state == "done" for card in every),
        cards=len(every),
        aim=here.machine.aim,
    )
    if not told.picks:
        return made
    pick = told.picks[0]
    card = pick.card
    return CardAhead(
        key=card.key, title=card.title, place=card.place_name, hours=pick.hours,
        people=1 if card.alone and card.people < 2 else max(2, card.people), hoist=card.hoist,
        why=pick.why, begun=card.state == "begun", planned=made.planned,
        rank=here.order.get(card.key), done=made.done, cards=made.cards, aim=made.aim,
    )  # fmt: skip
