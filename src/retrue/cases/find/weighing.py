"""Looks as tests: how each would be answered in every world, and which are worth weighing."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from retrue.cases.answers import likelihoods
from retrue.cases.find.candidates import Look
from retrue.cases.find.standing import Standing
from retrue.cases.find.suspects import Suspects
from retrue.cases.network import CaseNetwork
from retrue.choose.seeking import Search, Test
from retrue.kinds.library import Symptom

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

SAYS = 0.15  # link from which a look is weighed (judgement)
EXPLAINS = 0.5  # link from which a fault explains what was seen (judgement)
AT_ONE_REMOVE = 0.3  # of a link, for a fault that only explains it away (judgement)
MOST_LOOKS = 80  # weighed, by how much they tell


def weighed(
    search: Search,
    suspects: Suspects,
    looks: Mapping[str, Look],
    built: CaseNetwork,
    states: Bools,
    state: Standing,
    symptom: Symptom | None,
) -> tuple[Test, ...]:
    """The looks that can tell something of a suspect; of very many, those that tell most.

    Parameters
    ----------
    search : Search
        Its worlds.
    suspects : Suspects
    looks : mapping of str to Look
        That can be made.
    built : CaseNetwork
    states : ndarray of bool, shape (variables, worlds)
        As it is now, in the plain layout of the network.
    state : Standing
    symptom : Symptom or None
        Of the trouble; its own look is trying again.

    Returns
    -------
    tuple of Test
        In the order of ``looks``.

    Examples
    --------
    >>> from retrue.cases.case import Happened, LotCase
    >>> from retrue.cases.find.seek import seek
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> from retrue.records.seeking import Trouble
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> growls = Happened(id="1", event=Trouble(lot="a", machine="A", symptom="Y01"), place=0)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,),
    ...                happened=(growls,))
    >>> "C20" in {test.key for test in seek(case, "A", load(), goal="clear").search.tests}
    True
    """
    own = "" if symptom is None else symptom.check
    weight = _weights(suspects, state)
    kept = [
        one
        for one in looks.values()
        if one.key != own
        and any(link * weight.get(fault, 0.0) >= SAYS for fault, link in one.check.links.items())
    ]
    chances = likelihoods([one.question for one in kept], built, states)
    told = [_told(chance, search.active) for chance in chances]
    order = sorted(range(len(kept)), key=lambda i: (-told[i], kept[i].key))[:MOST_LOOKS]
    return tuple(
        Test(kept[i].key, kept[i].spent.cost, _whole(chances[i]), kept[i].opens)
        for i in sorted(order)
    )


def _weights(suspects: Suspects, state: Standing) -> dict[str, float]:
    """How much a fault matters to what is asked: suspects, and what else may explain a sight."""
    mine = {str(item.fault) for item in suspects.items if item.machine == state.machine.name}
    weight = dict.fromkeys(mine, 1.0)
    for check in sorted(state.failed):
        links = state.kind.checks[check].links
        if max((links.get(fault, 0.0) for fault in mine), default=0.0) >= EXPLAINS:
            for fault, link in links.items():
                if link >= EXPLAINS:
                    weight.setdefault(fault, AT_ONE_REMOVE)
    return weight


def _told(chance: NDArray[np.float32], active: Bools) -> float:
    """How much a look goes with what is active: the largest covariance of any answer."""
    if not len(active):
        return 0.0
    apart = active - active.mean(axis=1, keepdims=True)
    return float(np.abs(chance @ apart.T).max() / active.shape[1])


def _whole(chance: NDArray[np.float32]) -> Floats:
    whole = chance.astype(np.float64)
    return np.asarray(whole / whole.sum(axis=0))
