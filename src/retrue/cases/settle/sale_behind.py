"""What is behind a machine that goes for sale: it ran, a record of it was given, a film is kept."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from retrue.cases.fix.far import Far, from_here
from retrue.cases.fix.scene import Scene
from retrue.cases.settle.condition_kept import RecordKept
from retrue.cases.settle.sale_figures import SaleFigures
from retrue.cases.wake.ladder import STOP_POINTS
from retrue.kinds.library import Three
from retrue.records.facts import File
from retrue.records.settling import RecordGiven
from retrue.records.shop import Record

Floats = NDArray[np.float64]
POWERED, RAN, RECORD, FILM = "powered", "ran", "record", "film"
# The tables' price of a proven machine is that of one "restored and proven with record", measured
# and written down, and who measures it under power shows it there (from memory, unverified). A film
# under power needs a machine that runs.
ADDS_TO: Mapping[str, tuple[str, ...]] = {
    RECORD: ("as_found", "as_it_stands", "running"),
    FILM: ("as_it_stands", "running"),
}
FILM_SHOT = "S19"  # of the list of pictures: a film from cold, under power


def behind(kept: RecordKept, given: Iterable[Record[RecordGiven]]) -> frozenset[str]:
    """What was done for the sale of a machine already.

    Parameters
    ----------
    kept : RecordKept
    given : iterable of Record of RecordGiven
        Of this machine.

    Returns
    -------
    frozenset of str
        powered, ran: its stages of first power are signed. record: one was given away that says
        more than that it goes in parts. film: a film under power is kept.
    """
    signed = {one.stage.stage for one in kept.power.progress.values() if one.signed}
    told = {
        POWERED: STOP_POINTS["power_up"] in signed,
        RAN: STOP_POINTS["running"] in signed,
        RECORD: any(one.fact.sold_as != "parts" for one in given),
        FILM: any(filmed(one.fact) for one in kept.of(File)),
    }
    return frozenset(name for name, so in told.items() if so)


def filmed(fact: File) -> bool:
    """Whether a kept file is a film of the machine under power.

    Parameters
    ----------
    fact : File

    Returns
    -------
    bool

    Examples
    --------
    >>> film = File(sha256="", name="cold.mp4", media_type="video/mp4", size_bytes=1, shot="S19")
    >>> filmed(film), filmed(replace(film, shot=None)), filmed(replace(film, media_type="x/y"))
    (True, False, False)
    """
    return fact.media_type.startswith("video/") and fact.shot == FILM_SHOT


def from_behind(scene: Scene, done: Collection[str]) -> Scene:
    """The scene of a machine with what first power signed: it may be more than was said of it.

    Parameters
    ----------
    scene : Scene
    done : collection of str
        Of :func:`behind`.

    Returns
    -------
    Scene
        The same one where nothing is to be added.
    """
    ran = scene.far.running or RAN in done
    far = Far(
        here=scene.far.here or ran,
        powered=scene.far.powered or ran or POWERED in done,
        running=ran,
    )
    if far == scene.far:
        return scene
    prospect = from_here(scene.view.chooser.prospects[scene.index], far)
    return replace(scene, far=far, prospect=prospect)


def shown(
    scene: Scene, figures: SaleFigures, state: str, done: Collection[str]
) -> tuple[Floats | float, float]:
    """What the record and the film that are there do to a price that does not hold them.

    Parameters
    ----------
    scene : Scene
    figures : SaleFigures
    state : str
        as_found, as_it_stands, running; the tables' price of any other holds them.
    done : collection of str

    Returns
    -------
    factor : float or ndarray, shape (worlds,)
        On the price.
    quicker : float
        Share of the days to sell that are spared.
    """
    factor: Floats | float = 1.0
    quicker = 0.0
    for what in (RECORD, FILM):
        if what in done and state in ADDS_TO[what]:
            share = figures.share(f"{what}_share")
            factor = factor * (1.0 + scene.view.stage.drawer.pert(
                scene.name, f"sale {what}_share", share))  # fmt: skip
    if RECORD in done and state in ADDS_TO[RECORD]:
        quicker = mean_of(figures.share("record_quicker_share"))
    return factor, quicker


def mean_of(three: Three) -> float:
    """Mean of a low, a likely and a high figure.

    Parameters
    ----------
    three : Three

    Returns
    -------
    float

    References
    ----------
    PERT: the likely one counts four times (common practice, from memory).

    Examples
    --------
    >>> mean_of(Three(1.0, 2.0, 9.0))
    3.0
    """
    return (three.low + 4.0 * three.likely + three.high) / 6.0
