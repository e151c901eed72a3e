"""The feet of a machine: read from one line of text, told as turns of a screw."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, say

FULL_NAMES = {
    "FL": "Front left",
    "FM": "Front middle",
    "FR": "Front right",
    "ML": "Middle left",
    "MR": "Middle right",
    "RL": "Rear left",
    "RM": "Rear middle",
    "RR": "Rear right",
}
FRACTIONS = (
    (1 / 16, later("a sixteenth of a turn")),
    (1 / 12, later("a twelfth of a turn")),
    (1 / 10, later("a tenth of a turn")),
    (1 / 8, later("an eighth of a turn")),
    (1 / 6, later("a sixth of a turn")),
    (1 / 5, later("a fifth of a turn")),
    (1 / 4, later("a quarter turn")),
    (1 / 3, later("a third of a turn")),
    (1 / 2, later("half a turn")),
    (2 / 3, later("two thirds of a turn")),
    (3 / 4, later("three quarters of a turn")),
    (1.0, later("one turn")),
)
NEAR = 0.12  # a fraction is named where it is that near, as a share of the turn
STAYS_UM = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """A foot, and what it must do."""

    name: str
    x_mm: float
    y_mm: float
    raise_um: float = 0.0
    give_or_take_um: float | None = None
    turns: float | None = None

    @property
    def degrees(self) -> float | None:
        """The same turn in degrees."""
        return None if self.turns is None else 360 * self.turns


def feet_of(text: str) -> tuple[Foot, ...]:
    """Read feet from text: name, x and y of each.

    Parameters
    ----------
    text : str
        ``FL:0:0,FR:2000:0,...``: name:x:y in millimetres; commas, semicolons or lines between.

    Returns
    -------
    tuple of Foot

    Raises
    ------
    Unusable
        A foot is not written so, a name stands twice, or there are fewer than three.

    Examples
    --------
    >>> feet_of("FL:0:0, FR:2000:0, R:1000:1000")[2].y_mm
    1000.0
    """
    made, problems = [], []
    for part in text.replace(";", ",").replace("\n", ",").split(","):
        pieces = [piece.strip() for piece in part.split(":")]
        if pieces == [""]:
            continue
        try:
            name, x, y = pieces
            made.append(Foot(name=name, x_mm=_finite(x), y_mm=_finite(y)))
        except ValueError:
            problems.append(
                Problem(
                    "feet",
                    say("“{part}” is not a foot", part=part.strip()),
                    say("Write its name, x and y in millimetres: FL:0:0."),
                )
            )
    names = [foot.name for foot in made]
    twice = sorted({name for name in names if names.count(name) > 1})
    problems += [Problem("feet", say("{name} stands twice", name=name)) for name in twice]
    if not problems and not _carry(made):
        problems.append(Problem("feet", say("a machine stands on three feet, not on one line")))
    if problems:
        raise Unusable(
            say("the feet cannot be used"),
            remedy=say("Write all feet as name:x:y in millimetres, commas between them."),
            problems=tuple(problems),
        )
    return tuple(made)


def _finite(text: str) -> float:
    value = float(text)
    if not np.isfinite(value):
        raise ValueError(text)
    return value


def _carry(feet: list[Foot]) -> bool:
    places = np.array([[1.0, foot.x_mm, foot.y_mm] for foot in feet])
    return len(feet) >= 3 and int(np.linalg.matrix_rank(places)) == 3


def turn_words(turns: float) -> str:
    """A part of a turn as a workshop says it.

    Parameters
    ----------
    turns : float
        Turns of the screw, not below zero.

    Returns
    -------
    str
        Empty where no common fraction is near.

    Examples
    --------
    >>> turn_words(0.1), turn_words(0.26), turn_words(2.25), turn_words(0.005)
    ('a tenth of a turn', 'a quarter turn', '2 turns and a quarter turn', 'a touch')
    """
    whole = int(turns + 1e-9)
    part = turns - whole
    if whole == 0 and part < FRACTIONS[0][0] * (1 - NEAR):
        return say("a touch") if part < 1 / 36 else ""
    if part < 1 / 36:
        return say("one turn") if whole == 1 else say("{count} turns", count=whole)
    share, words = min(FRACTIONS, key=lambda one: abs(one[0] - part))
    if abs(share - part) > NEAR * share:
        return ""
    if whole == 0:
        return say(words)
    if whole == 1:
        return say("one turn and {part}", part=say(words))
    return say("{count} turns and {part}", count=whole, part=say(words))


def foot_words(foot: Foot) -> str:
    """What to do at one foot, in one sentence.

    Parameters
    ----------
    foot : Foot
        With its rise.

    Returns
    -------
    str

    Examples
    --------
    >>> foot_words(Foot(name="FL", x_mm=0, y_mm=0, raise_um=200, turns=0.1)).replace("\\u202f", " ")
    'Front left (FL): a tenth of a turn up (0.100 turn, 36 degrees), that is 200 µm.'
    >>> foot_words(Foot(name="RR", x_mm=0, y_mm=0))
    'Rear right (RR): leave it, it stands highest.'
    """
    name = full_name(foot.name)
    if foot.raise_um < STAYS_UM:
        return say("{foot}: leave it, it stands highest.", foot=name)
    rise = number(foot.raise_um)
    if foot.turns is None or foot.degrees is None:
        return say("{foot}: up by {rise} µm.", foot=name, rise=rise)
    words = turn_words(foot.turns)
    turns, degrees = number(foot.turns, 3), number(foot.degrees)
    if not words:
        return say(
            "{foot}: {turns} turn up ({degrees} degrees), that is {rise} µm.",
            foot=name,
            turns=turns,
            degrees=degrees,
            rise=rise,
        )
    return say(
        "{foot}: {words} up ({turns} turn, {degrees} degrees), that is {rise} µm.",
        foot=name,
        words=words,
        turns=turns,
        degrees=degrees,
        rise=rise,
    )


def full_name(name: str) -> str:
    """A foot's name in words where its letters are the usual ones.

    Parameters
    ----------
    name : str
        As the owner calls it.

    Returns
    -------
    str

    Examples
    --------
    >>> full_name("FL"), full_name("by the door")
    ('Front left (FL)', 'by the door')
    """
    words = FULL_NAMES.get(name.upper())
    return f"{say(words)} ({name})" if words else name


def first_three(feet: tuple[Foot, ...]) -> tuple[Foot, ...]:
    """The three feet on which a machine stands most firmly.

    Parameters
    ----------
    feet : tuple of Foot
        All of them.

    Returns
    -------
    tuple of Foot
        Those of the largest triangle.

    Examples
    --------
    >>> [foot.name for foot in first_three(feet_of("A:0:0,B:2:0,C:1:0,D:2:1"))]
    ['A', 'B', 'D']
    """

    def area(three: tuple[Foot, ...]) -> float:
        a, b, c = three
        across = (b.x_mm - a.x_mm) * (c.y_mm - a.y_mm) - (c.x_mm - a.x_mm) * (b.y_mm - a.y_mm)
        return abs(across)

    return max(combinations(feet, 3), key=area)
