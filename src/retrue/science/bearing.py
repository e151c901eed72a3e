"""Rolling bearings: the frequencies their defects strike at, and how long they are good for."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say

BALL_EXPONENT, ROLLER_EXPONENT = 3.0, 10.0 / 3.0
BALL_OF_WALL = 0.29  # ball diameter as a share of outside less bore, deep groove (from memory)
RATIO_LOW, RATIO_HIGH = 0.12, 0.32  # ball diameter over pitch diameter, usual (from memory)
FEWEST, MOST = 3, 100


@dataclass(frozen=True, slots=True)
class Bearing:
    """The geometry that decides the frequencies.

    Attributes
    ----------
    balls : int
        Balls or rollers in one row.
    ball_mm : float
        Their diameter.
    pitch_mm : float
        Diameter of the circle of their centres, in the same unit; only the ratio counts.
    angle_deg : float
        Contact angle: 0 for a deep groove, 15 or 25 for most spindle bearings.
    """

    balls: int
    ball_mm: float
    pitch_mm: float
    angle_deg: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what cannot be a bearing; all that is wrong is gathered first."""
        problems = []
        if not FEWEST <= self.balls <= MOST:
            problems.append(Problem("balls", say("{count} balls", count=self.balls),
                                    say("Count them through the cage.")))  # fmt: skip
        if not 0 < self.ball_mm < self.pitch_mm:
            problems.append(
                Problem("ball_mm", say("the balls are larger than the circle they run on"),
                        say("Look whether both are in the same unit."))
            )  # fmt: skip
        elif self.balls * math.asin(self.ball_mm / self.pitch_mm) > math.pi:
            problems.append(
                Problem("balls", say("so many balls of that size do not fit on their circle"),
                        say("Count and measure again."))
            )  # fmt: skip
        if not 0 <= self.angle_deg < 90:
            problems.append(Problem("angle_deg", say("no contact angle"),
                                    say("It lies from 0 up to 90 degrees.")))  # fmt: skip
        if problems:
            raise Unusable(
                say("this is no bearing"),
                remedy=say("Correct what is named, or leave the bearing out."),
                problems=tuple(problems),
            )

    @property
    def ratio(self) -> float:
        """Ball over pitch diameter, seen along the contact line."""
        return self.ball_mm / self.pitch_mm * math.cos(math.radians(self.angle_deg))


@dataclass(frozen=True, slots=True)
class Frequencies:
    """How often a defect of each part is struck, in hertz; the outer ring stands.

    ``rolling_element_hz`` is twice ``ball_spin_hz``: one spot on a ball strikes both races in each
    turn of the ball. Tables print either, often under one name.
    """

    cage_hz: float
    outer_race_hz: float
    inner_race_hz: float
    ball_spin_hz: float
    rolling_element_hz: float


def frequencies(bearing: Bearing, shaft_hz: float) -> Frequencies:
    """Frequencies of a bearing's defects, rolling without slip.

    Parameters
    ----------
    bearing : Bearing
        Its outer ring stands, its inner ring turns.
    shaft_hz : float
        Turns a second.

    Returns
    -------
    Frequencies

    Raises
    ------
    Unusable
        The shaft does not turn.

    References
    ----------
    Kinematics of rolling contact; ISO 13373-3, annex for rolling bearings (from memory). Check
    values: the bearing data sheets of the public bearing-fault recordings named in the tests.

    Examples
    --------
    >>> found = frequencies(Bearing(9, 7.9375, 38.5), 1.0)
    >>> round(found.outer_race_hz, 3), round(found.inner_race_hz, 3), round(found.cage_hz, 4)
    (3.572, 5.428, 0.3969)
    """
    if not 0 < shaft_hz < math.inf:
        raise Unusable(
            say("a shaft that stands strikes nothing"),
            remedy=say("Write the speed it had while it was recorded."),
            problems=(Problem("speed_rpm", say("zero or below")),),
        )
    ratio = bearing.ratio
    spin = bearing.pitch_mm / (2 * bearing.ball_mm) * (1 - ratio**2)
    return Frequencies(
        cage_hz=shaft_hz * (1 - ratio) / 2,
        outer_race_hz=shaft_hz * bearing.balls * (1 - ratio) / 2,
        inner_race_hz=shaft_hz * bearing.balls * (1 + ratio) / 2,
        ball_spin_hz=shaft_hz * spin,
        rolling_element_hz=shaft_hz * 2 * spin,
    )


def from_outside(bore_mm: float, outside_mm: float, balls: int, angle_deg: float = 0.0) -> Bearing:
    """A bearing of which only the rings were measured: the balls inside are guessed.

    Parameters
    ----------
    bore_mm, outside_mm : float
        Of the rings.
    balls : int
        Counted.
    angle_deg : float
        Contact angle, where it is known.

    Returns
    -------
    Bearing
        Right for deep groove bearings within some per cent; search wider with it.

    Raises
    ------
    Unusable
        The rings do not fit into each other, or hold no such balls.

    References
    ----------
    Common practice, no source: the balls run half way between the rings and take 0.29 of the
    difference of both diameters.

    Examples
    --------
    >>> guessed = from_outside(25, 52, 9)
    >>> round(guessed.pitch_mm, 1), round(guessed.ball_mm, 2)
    (38.5, 7.83)
    """
    if not 0 < bore_mm < outside_mm:
        raise Unusable(
            say("the bore is not smaller than the outside"),
            remedy=say("Measure both rings again."),
            problems=(Problem("bore_mm", say("not below the outside diameter")),),
        )
    wall = outside_mm - bore_mm
    return Bearing(balls, BALL_OF_WALL * wall, (bore_mm + outside_mm) / 2, angle_deg)


def from_count(balls: int, shaft_hz: float) -> dict[str, tuple[float, float]]:
    """What the number of balls alone tells: between which frequencies each defect lies.

    Parameters
    ----------
    balls : int
        Counted.
    shaft_hz : float
        Turns a second.

    Returns
    -------
    dict of str to tuple of float
        ``outer_race``, ``inner_race``, ``cage``: lowest and highest hertz of usual bearings.

    References
    ----------
    Kinematics with ball over pitch diameter from 0.12 to 0.32 (from memory, unverified); the known
    rule of 0.4 and 0.6 of balls times speed lies inside.

    Examples
    --------
    >>> {name: tuple(round(hz, 1) for hz in both) for name, both in from_count(9, 10.0).items()}
    {'outer_race': (30.6, 39.6), 'inner_race': (50.4, 59.4), 'cage': (3.4, 4.4)}
    """
    low, high = (1 - RATIO_HIGH) / 2, (1 - RATIO_LOW) / 2
    return {
        "outer_race": (balls * shaft_hz * low, balls * shaft_hz * high),
        "inner_race": (balls * shaft_hz * (1 - high), balls * shaft_hz * (1 - low)),
        "cage": (shaft_hz * low, shaft_hz * high),
    }


def life_million_turns(rating_kn: float, load_kn: float, *, roller: bool = False) -> float:
    """Basic rating life: what nine in ten of such bearings reach.

    Parameters
    ----------
    rating_kn : float
        Basic dynamic load rating, from the maker's sheet.
    load_kn : float
        Equivalent dynamic load.
    roller : bool
        Roller bearings; else ball bearings.

    Returns
    -------
    float
        Million turns.

    Raises
    ------
    Unusable
        A load or a rating that is none.

    References
    ----------
    ISO 281:2007, 5.3 and 6.3: L10 = (C / P) ^ p with p = 3 for ball, 10/3 for roller bearings
    (clauses from memory).

    Examples
    --------
    >>> life_million_turns(30.0, 5.0), round(life_million_turns(30.0, 5.0, roller=True), 1)
    (216.0, 392.5)
    """
    if not (0 < rating_kn < math.inf and 0 < load_kn < math.inf):
        raise Unusable(
            say("a life needs a load rating and a load over zero"),
            remedy=say("Take the rating from the maker's sheet, the load from its preload."),
        )
    power = ROLLER_EXPONENT if roller else BALL_EXPONENT
    return float((rating_kn / load_kn) ** power)


def life_hours(million_turns: float, speed_rpm: float) -> float:
    """A life in turns as hours at one speed.

    Parameters
    ----------
    million_turns : float
    speed_rpm : float

    Returns
    -------
    float
        Hours.

    Raises
    ------
    Unusable
        It does not turn.

    References
    ----------
    ISO 281:2007: L10h = 10^6 L10 / (60 n) (by definition).

    Examples
    --------
    >>> life_hours(216.0, 1500)
    2400.0
    """
    if not 0 < speed_rpm < math.inf:
        raise Unusable(
            say("hours need a speed over zero"), remedy=say("Write the speed it runs at.")
        )
    return million_turns * 1e6 / (60 * speed_rpm)
