"""What to ask for before a lot is bid for: pictures, and questions on the telephone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from retrue.base.recalled import InTongues, recall
from retrue.base.refusals import Refusal
from retrue.base.say import ENGLISH, say, speaking
from retrue.cases.answers import ASKING_MINUTES, REMOTE, OpenQuestion, likelihoods, open_questions
from retrue.cases.case import LotCase
from retrue.cases.need import cannot_serve, fits
from retrue.cases.questions import asking_cost
from retrue.cases.screen.answers_worth import Worth, answers_worth
from retrue.cases.screen.like_drawer import like_drawer
from retrue.cases.screen.listing import ListedLot
from retrue.cases.screen.price_seen import Sale
from retrue.cases.screen.screened import AskFirst, ScreenedLot
from retrue.cases.screen.widen import view_of
from retrue.cases.view import View
from retrue.choose.looking import SURE
from retrue.kinds.library import Kind

MOST = 5  # for one call
LEAST_WORLDS = 10_000  # fewer cannot tell one question from another
AGE = "age"  # id of the question for the year of make
AGES = 5  # equally likely bands of an age nobody said


def ask_first(
    listed: ListedLot, kinds: Mapping[str, Kind], *, seed: int, worlds: int
) -> tuple[AskFirst, ...]:
    """What to ask for from afar, by what the answer is worth less what asking costs.

    Parameters
    ----------
    listed : ListedLot
    kinds : mapping of kind id to Kind
    seed, worlds : int
        Of the sum; at least ``LEAST_WORLDS`` are drawn.

    Returns
    -------
    tuple of AskFirst
        At most ``MOST``: the year of make where nobody said it, whatever it is worth, for with it
        all the rest is worked out anew; then the best first, none where no answer could change
        anything. Kept in English, shown in the language of who reads it.

    References
    ----------
    Value of an answer: `cases.screen.answers_worth.answers_worth`.

    Examples
    --------
    >>> cabinet = ListedLot(number="7", line=8, title="cabinet", case=None, why="is no machine",
    ...     kinds=(), stand_in=False, said=(), gaps=())
    >>> ask_first(cabinet, {}, seed=7, worlds=2000)
    ()
    """
    case = listed.case
    if case is None or all(cannot_serve(fits(case, machine)) for machine in case.machines):
        return ()
    drawer = like_drawer(case, seed, max(worlds, LEAST_WORLDS))
    try:
        with speaking(ENGLISH):
            return _asked(case, view_of(case, kinds, drawer, stand_in=listed.stand_in))
    except Refusal:  # its row says why there is no price
        return ()


def _asked(case: LotCase, view: View) -> tuple[AskFirst, ...]:
    afar = [one for one in open_questions(case, view.stage.built) if one.channel in REMOTE]
    unsaid = [at for at, one in enumerate(case.machines) if one.age_years is None]
    chances = [*likelihoods(afar, view.stage.built, view.states),
               *(_bands(view.chooser.prospects[at].age) for at in unsaid)]  # fmt: skip
    worths = answers_worth(view, Sale(view, case), chances)
    several, found = len(case.machines) > 1, []
    for question, worth in zip(afar, worths[: len(afar)], strict=True):
        net = (worth.worth - asking_cost(view, question)) * view.settled.exchange
        if worth.worth > SURE * worth.error and net > 0:
            text = recall(_words(question, several))
            found.append(AskFirst(check=question.check, text=text, worth=round(net, 2)))
    years = [
        _year(case.machines[at].name if several else "", worth, view)
        for at, worth in zip(unsaid, worths[len(afar) :], strict=True)
    ]
    best = sorted(found, key=lambda one: (-one.worth, one.check))
    return (*years, *best)[:MOST]


def _bands(age: NDArray[np.float64]) -> NDArray[np.float32]:
    """An age as an answer: which band it lies in, shape (AGES, worlds)."""
    edges = np.quantile(age, np.arange(1, AGES) / AGES)
    band = edges.searchsorted(age, side="right")
    return np.asarray(band == np.arange(AGES)[:, None], dtype=np.float32)


def _year(machine: str, worth: Worth, view: View) -> AskFirst:
    """The question for the year of make: what an answer in bands is worth, where that is sure."""
    text = say("the year of make, and a picture of the type plate and of the control")
    cost = ASKING_MINUTES / 60.0 * view.settled.rate / view.settled.exchange
    sure = worth.worth > SURE * worth.error
    net = max(0.0, worth.worth - cost) * view.settled.exchange if sure else 0.0
    words = say("{machine}: {text}", machine=machine, text=text) if machine else text
    return AskFirst(check=AGE, text=recall(words), worth=round(net, 2))


def _words(question: OpenQuestion, several: bool) -> str:
    if not several:
        return question.text
    if isinstance(question.text, InTongues):
        return question.text.after(f"{question.machine}: ")
    return say("{machine}: {text}", machine=question.machine, text=question.text)


def best_asked(
    rows: Sequence[ScreenedLot],
    lots: Sequence[ListedLot],
    kinds: Mapping[str, Kind],
    *,
    best: int,
    seed: int,
    worlds: int,
) -> tuple[ScreenedLot, ...]:
    """The same rows, the best of them with what to ask first.

    Parameters
    ----------
    rows : sequence of ScreenedLot
        Best first.
    lots : sequence of ListedLot
        As the catalogue has them.
    kinds : mapping of kind id to Kind
    best : int
        How many.
    seed, worlds : int
        Of the sum.

    Returns
    -------
    tuple of ScreenedLot
        In the same order.
    """
    listed = {one.number: one for one in lots}
    return tuple(
        replace(row, ask=ask_first(listed[row.number], kinds, seed=seed, worlds=worlds))
        if at < best and row.walk_away is not None
        else row
        for at, row in enumerate(rows)
    )
