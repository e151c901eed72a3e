"""Lost motion in words: what may be entered, what is wear, what comes first."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.proof import Remedy, Setting
from retrue.cases.prove.said import amount


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis, µm; ``doubts`` are expanded, None where nobody knows.

    ``uniform`` and ``wear`` (value and doubt) take all three places. ``taken`` is what the control
    is to make up in addition, 0 where nothing should be entered.
    """

    name: str
    places: tuple[str, ...]
    reversals: tuple[float, ...]
    doubts: tuple[float | None, ...]
    uniform: float | None
    wear: tuple[float, float | None] | None
    taken: float
    parameter: float | None
    spread: float
    known: float | None

    @property
    def worst(self) -> int:
        """Index of the place with the most lost motion, by size."""
        return max(range(len(self.reversals)), key=lambda one: abs(self.reversals[one]))

    @property
    def worn(self) -> bool:
        """Whether the middle loses more than the ends, doubt counted."""
        if self.wear is None or self.wear[1] is None:
            return False
        return self.wear[0] > self.wear[1]


def place_name(place: str) -> str:
    """A place as a page says it.

    Parameters
    ----------
    place : str
        low, middle or high.

    Returns
    -------
    str

    Examples
    --------
    >>> place_name("low")
    'low end'
    """
    return {"low": say("low end"), "middle": say("middle"), "high": say("high end")}[place]


def headline(axis: Axis) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    axis : Axis
        As worked out.

    Returns
    -------
    str
    """
    worst = axis.reversals[axis.worst]
    told = say(
        "Axis {axis} loses {most} at reversal, most at: {place}.",
        axis=axis.name,
        most=amount(worst, "µm", 1),
        place=place_name(axis.places[axis.worst]),
    )
    if worst < 0:
        told = say(
            "Axis {axis} overshoots by {most} at reversal, most at: {place}.",
            axis=axis.name,
            most=amount(-worst, "µm", 1),
            place=place_name(axis.places[axis.worst]),
        )
    if not axis.taken:
        return told
    return say(
        "{told} {share} of it is the same everywhere and may be entered.",
        told=told,
        share=amount(abs(axis.taken), "µm", 1),
    )


def finds(axis: Axis) -> tuple[str, ...]:
    """What the readings mean.

    Parameters
    ----------
    axis : Axis
        As worked out.

    Returns
    -------
    tuple of str
    """
    told = []
    if axis.uniform is not None and axis.uniform < 0:
        told.append(
            say(
                "The slide stops further on from below than from above: the control makes up more "
                "than is lost, or the sign of the readings is the other way round."
            )
        )
    if axis.uniform == 0:
        told.append(
            say("The places do not agree in sign: no one number in the control suits them all.")
        )
    if axis.wear is not None:
        told.append(_middle(axis.wear))
    return tuple(told)


def _middle(wear: tuple[float, float | None]) -> str:
    more, near = wear
    if near is None:
        return say(
            "The middle differs from the ends by {more}; nobody has said how far a reading may be "
            "off.",
            more=amount(more, "µm", 1, signed=True),
        )
    if abs(more) <= near:
        return say("Middle and ends lose alike, as far as these readings tell.")
    return say(
        "The middle loses {more} against the ends, give or take {near}.",
        more=amount(more, "µm", 1, signed=True),
        near=number(near, 1),
    )


def wear_words(axis: Axis) -> tuple[str, ...]:
    """Wear is blamed only where the middle loses more than the ends, doubt counted.

    Parameters
    ----------
    axis : Axis
        As worked out.

    Returns
    -------
    tuple of str
    """
    if not axis.worn:
        return ()
    return (
        say(
            "Screw or nut is worn in the middle of travel: no number in the control cures that. "
            "What suits the middle would push the slide past at the ends."
        ),
    )


def remedy(axis: Axis) -> tuple[Remedy, ...]:
    """What to do, the hand before the number.

    Parameters
    ----------
    axis : Axis
        As worked out.

    Returns
    -------
    tuple of Remedy
    """
    first = Remedy(
        text=say(
            "First the parts: read the end float of the screw, then coupling and nut. What is play "
            "there is cured there, not by a number."
        )
    )
    if axis.uniform is None:
        return (first,)
    if not axis.taken:
        none = say("Enter nothing: what all places share is less than a step, or than the doubt.")
        return (first, Remedy(text=none))
    return (first, _enter(axis))


def _enter(axis: Axis) -> Remedy:
    change = amount(abs(axis.taken), "µm", 1)
    name = say("reversal compensation, axis {axis}", axis=axis.name)
    if axis.parameter is None:
        old = say("as found")
        new = (
            say("as found, raised by {change}", change=change)
            if axis.taken > 0
            else say("as found, lowered by {change}", change=change)
        )
    else:
        old = amount(axis.parameter, "µm", 1)
        new = amount(axis.parameter + axis.taken, "µm", 1)
    text = (
        say("Raise the {name} by {change}: from {old} to {new}.", name=name, change=change,
            old=old, new=new)
        if axis.taken > 0
        else say("Lower the {name} by {change}: from {old} to {new}.", name=name, change=change,
                 old=old, new=new)
    )  # fmt: skip
    why = say("what all three places share, rounded down")
    return Remedy(text=text, setting=Setting(name=name, old=old, new=new, why=why))


def cannot_tell(axis: Axis) -> tuple[str, ...]:
    """What these readings leave open.

    Parameters
    ----------
    axis : Axis
        As worked out.

    Returns
    -------
    tuple of str
    """
    told = [
        say(
            "Play from spring: a slide that drags winds the drive up and reads the same. Read "
            "again at a lower and a higher feed, and with the way oil fresh."
        ),
        say("Nut from thrust bearing from coupling: read the end float of the screw."),
    ]
    if axis.wear is None:
        told.append(say("What is uniform and what is wear: that takes low end, middle, high end."))
    return tuple(told)


def warnings(axis: Axis, lonely: tuple[str, ...]) -> tuple[str, ...]:
    """What is odd about the readings.

    Parameters
    ----------
    axis : Axis
        As worked out.
    lonely : tuple of str
        Places that were read from one side only.

    Returns
    -------
    tuple of str
    """
    told = [
        say("{place}: read from one side only, left out.", place=place_name(one)) for one in lonely
    ]
    if axis.spread > max(2.0 * (axis.known or 0.0), 0.5 * abs(axis.reversals[axis.worst]), 2.0):
        told.append(
            say(
                "Readings from one side differ by up to {spread}: look for a loose base or a slide "
                "that sticks before you enter anything.",
                spread=amount(axis.spread, "µm"),
            )
        )
    return tuple(told)
