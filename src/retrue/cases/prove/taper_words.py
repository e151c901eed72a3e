"""Run-out vectors in words: what is the spindle's, what the bar's, how to put the bar in."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.proof import Grid, Quantity, Remedy, ThenRead
from retrue.cases.prove.said import amount
from retrue.science.run_out import Separated, high_spot_deg, run_out_um, together_um

MOST_SHOWN = 24  # of more vectors than that, means by insertion are shown


@dataclass(frozen=True, slots=True)
class Place:
    """What was read at one distance from the nose; ``apart`` is None after one insertion."""

    z: float  # mm
    insertions: tuple[float, ...]  # degrees
    vectors: tuple[complex, ...]  # µm
    apart: Separated | None


def headline(places: tuple[Place, ...], judged: Quantity) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    places : tuple of Place
        Nearest to the nose first.
    judged : Quantity
        The spindle's run-out at the nose.

    Returns
    -------
    str

    Examples
    --------
    >>> one = Quantity(key="a", name="", value=None, unit="µm")
    >>> headline((Place(0.0, (0.0,), (5 + 0j,), None),), one).replace("\\u202f", " ")
    'Spindle and bar together run out 10.0 µm at the nose; which of them, one insertion hides.'
    """
    if judged.value is None:
        most = max(map(run_out_um, places[0].vectors))
        return say(
            "Spindle and bar together run out {most} at the nose; which of them, one insertion "
            "hides.",
            most=amount(most, "µm"),
        )
    end = places[-1].apart
    if len(places) == 1 or end is None:
        return say("The spindle itself runs out {nose}.", nose=amount(judged.value, "µm"))
    return say(
        "The spindle itself runs out {nose} at the nose and {end} at {z}.",
        nose=amount(judged.value, "µm"),
        end=amount(run_out_um(end.spindle), "µm"),
        z=amount(places[-1].z, "mm", 0),
    )


def finds(places: tuple[Place, ...], near: float | None) -> tuple[str, ...]:
    """What the vectors mean.

    Parameters
    ----------
    places : tuple of Place
        Nearest to the nose first.
    near : float or None
        Expanded uncertainty of a run-out, micrometres.

    Returns
    -------
    tuple of str
    """
    told = []
    for one in places:
        if one.apart is None:
            continue
        told.append(
            say(
                "At {z}: spindle {spindle}, high at {spot}°; bar {bar}.",
                z=amount(one.z, "mm", 0),
                spindle=amount(run_out_um(one.apart.spindle), "µm"),
                spot=number(high_spot_deg(one.apart.spindle)),
                bar=amount(run_out_um(one.apart.bar), "µm"),
            )
        )
    nose = places[0]
    if nose.apart is None:
        return tuple(told)
    mean = sum(map(run_out_um, nose.vectors)) / len(nose.vectors)
    told.append(
        say(
            "The mean of the run-outs as read, {mean}, is not the spindle's: the bar's part is in "
            "every one of them and never falls below nothing.",
            mean=amount(mean, "µm"),
        )
    )
    if near is not None and run_out_um(nose.apart.spindle) <= near:
        told.append(say("At the nose the spindle runs no further out than the doubt."))
    return tuple(told)


def moves(
    places: tuple[Place, ...], near: float | None
) -> tuple[tuple[Remedy, ...], tuple[ThenRead, ...]]:
    """How to put the bar or a tool in, and what is then read.

    Parameters
    ----------
    places : tuple of Place
        Nearest to the nose first.
    near : float or None
        Expanded uncertainty of a run-out, micrometres.

    Returns
    -------
    tuple of Remedy, tuple of ThenRead
        Worked out with the vectors that were told apart.
    """
    clean = Remedy(
        text=say("Clean taper and bar, look for bruises with blue, and read again before blaming.")
    )
    apart = [(one.z, one.apart) for one in places if one.apart is not None]
    if not apart:
        again = say("Put the bar in turned by 180°, better at every quarter turn, and read again.")
        return (clean, Remedy(text=again)), ()
    turn = best_insertion(places)
    text = say(
        "For close work put this bar in at {turn}°: there its run-out works against the "
        "spindle's. Mark the spindle's high spot on the nose.",
        turn=number(turn),
    )
    then = tuple(
        ThenRead(
            where=say("{z} from the nose, bar at {turn}°", z=amount(z, "mm", 0), turn=number(turn)),
            value=together_um(one, turn),
            unit="µm",
            give_or_take=None if near is None else near * math.sqrt(2),
            signed=False,
        )
        for z, one in apart
    )
    return (clean, Remedy(text=text)), then


def best_insertion(places: tuple[Place, ...]) -> float:
    """The insertion with the least run-out, among those that the drive keys allow.

    Parameters
    ----------
    places : tuple of Place
        At least one of them told apart.

    Returns
    -------
    float
        Degrees; half turns where only half turns were tried, else quarter turns.

    Examples
    --------
    >>> from retrue.science.run_out import separate
    >>> read = (5 - 0.5j, 3.5 + 4j, -1 + 2.5j, 0.5 - 2j)
    >>> best_insertion((Place(0.0, (0, 90, 180, 270), read, separate((0, 90, 180, 270), read)),))
    270.0
    """
    first = places[0].insertions[0]
    halves = all((turn - first) % 180 == 0 for one in places for turn in one.insertions)
    tried = [first + step for step in ((0, 180) if halves else (0, 90, 180, 270))]
    apart = [one.apart for one in places if one.apart is not None]
    best = min(tried, key=lambda turn: sum(together_um(one, turn) ** 2 for one in apart))
    return float(best % 360)


def cannot_tell(places: tuple[Place, ...]) -> tuple[str, ...]:
    """What these readings leave open.

    Parameters
    ----------
    places : tuple of Place
        As read.

    Returns
    -------
    tuple of str
    """
    told = []
    if any(one.apart is None for one in places):
        told.append(
            say(
                "Spindle from bar: the bar was put in one way only. Turned by half a turn and "
                "read again, they come apart."
            )
        )
    told.append(
        say("A worn seat from bearings fitted off: read the run-out of the nose's outside as well.")
    )
    told.append(say("How it runs warm and at speed: this is read at a standstill, turned by hand."))
    return tuple(told)


def assumed() -> tuple[str, ...]:
    """How angles are counted.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> len(assumed())
    3
    """
    return (
        say(
            "Angles are marks on the spindle's nose; the high spot is the mark that faces the "
            "indicator when it reads most."
        ),
        say("A run-out is never below nothing: what scatters makes it read larger, not smaller."),
        say("The bar seats alike each time; what it does otherwise counts as doubt."),
    )


def few(place: Place) -> Place:
    """The same place with one vector for each insertion, where very many were read.

    Parameters
    ----------
    place : Place
        As read.

    Returns
    -------
    Place
        Of more than 24 vectors the means by insertion, to the nearest fifteen degrees.

    Examples
    --------
    >>> many = Place(0.0, (0.0, 90.0) * 20, (1 + 0j, 3 + 0j) * 20, None)
    >>> few(many).vectors
    ((1+0j), (3+0j))
    """
    if len(place.vectors) <= MOST_SHOWN:
        return place
    vectors = np.array(place.vectors)
    sectors = np.round(np.array(place.insertions) / 15.0) % 24
    kept = np.unique(sectors)
    means = tuple(complex(vectors[sectors == one].mean()) for one in kept)
    return Place(place.z, tuple(float(one * 15) for one in kept), means, place.apart)


def as_read(places: tuple[Place, ...]) -> Grid:
    """The run-outs as they were read, one row an insertion and a place.

    Parameters
    ----------
    places : tuple of Place
        Nearest to the nose first.

    Returns
    -------
    Grid
    """
    rows = tuple(
        (place.z, turn, run_out_um(vector), high_spot_deg(vector))
        for place in map(few, places)
        for turn, vector in zip(place.insertions, place.vectors, strict=True)
    )
    return Grid(
        title=say("Run-outs as read"),
        columns=(
            say("from the nose, mm"),
            say("bar put in at, degrees"),
            say("run-out, µm"),
            say("high spot, degrees"),
        ),
        rows=rows,
        digits=2,
    )
