"""What may be done beside a repair: the film under power, the condition record."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.fix.scene import Scene
from retrue.cases.settle.sale_behind import mean_of
from retrue.cases.settle.sale_figures import SaleFigures

Floats = NDArray[np.float64]
FILM_HOURS = 2.0  # judgement, no source
RECORD_HOURS = 8.0  # the readings are not there yet (judgement, no source)
JUDGEMENT = "common practice, judgement, no source"


@dataclass(frozen=True, slots=True, eq=False)
class Extra:
    """One thing that may be done in a state: its share of the price in every world.

    Examples
    --------
    >>> Extra(id="proof:film", sort="proof", words="a film", share=np.full(3, 0.2), money=0.0,
    ...       hours=2.0).mark
    'common practice, judgement, no source'
    """

    id: str
    sort: str
    words: str
    share: Floats
    money: float
    hours: float
    days: float = 0.0
    quicker: float = 0.0
    note: str = ""
    mark: str = JUDGEMENT


def film_of(scene: Scene, figures: SaleFigures) -> Extra:
    """A film of a machine that runs and was not shown.

    Parameters
    ----------
    scene : Scene
    figures : SaleFigures

    Returns
    -------
    Extra
    """
    return Extra(
        id="proof:film",
        sort="proof",
        words=say("A film under power: cold start, every axis, spindle, tool change"),
        share=_drawn(scene, figures, "film_share"),
        money=0.0,
        hours=FILM_HOURS,
        note=say("with the guards shut, and a date in the picture"),
        mark=figures.rows["film_share"].mark,
    )


def record_of(scene: Scene, figures: SaleFigures) -> Extra:
    """A condition record of a machine whose price does not hold one.

    Parameters
    ----------
    scene : Scene
    figures : SaleFigures

    Returns
    -------
    Extra
    """
    quicker = mean_of(figures.share("record_quicker_share"))
    return Extra(
        id="proof:record",
        sort="proof",
        words=say("A condition record with measurements"),
        share=_drawn(scene, figures, "record_share"),
        money=0.0,
        hours=RECORD_HOURS,
        quicker=quicker,
        note=say("it goes about {share} % quicker", share=number(100 * quicker)),
        mark=figures.rows["record_share"].mark,
    )


def _drawn(scene: Scene, figures: SaleFigures, item: str) -> Floats:
    drawer = scene.view.stage.drawer
    return np.asarray(drawer.pert(scene.name, f"sale {item}", figures.share(item)))
