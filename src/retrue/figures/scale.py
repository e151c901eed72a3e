"""A scale with tidy graduations, and the steel rule that carries it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import count

from retrue.base.formatter import SIGNS, THIN, money, number
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.figures.ink import Theme, line, path, plain, words
from retrue.figures.letters import width

LARGEST = 1e15  # beyond it a float no longer holds every whole number
SMALLEST = 1e-9
BODY = 34  # height of a drawn rule


@dataclass(frozen=True, slots=True)
class Scale:
    """From ``low`` to ``high`` in steps of ``step``, each cut into ``cuts`` small ones."""

    low: float
    high: float
    step: float
    cuts: int

    def share(self, value: float) -> float:
        """How far along the scale a value stands, 0 to 1."""
        return (value - self.low) / (self.high - self.low)

    @property
    def digits(self) -> int:
        """Decimals that its graduations need."""
        return max(0, -math.floor(math.log10(self.step) + 1e-9))

    @property
    def marks(self) -> tuple[float, ...]:
        """The numbered graduations."""
        first = round(self.low / self.step)
        last = round(self.high / self.step)
        return tuple(index * self.step for index in range(first, last + 1))


def tidy(values: Iterable[float], intervals: int, *, from_zero: bool = True) -> Scale:
    """A scale that holds all values, with steps of 1, 2 or 5 times a power of ten.

    Parameters
    ----------
    values : iterable of float
        What must lie on it.
    intervals : int
        How many numbered steps it may have at most.
    from_zero : bool
        Hold zero as well, unless the values lie close together and far from it.

    Returns
    -------
    Scale
        Both ends are numbered graduations.

    Raises
    ------
    Unusable
        A value is not a number, or larger than 1e15.

    Examples
    --------
    >>> tidy([6150, 14200], 4)
    Scale(low=0, high=15000, step=5000.0, cuts=10)
    """
    given = [_drawable(value) for value in values]
    low, high = min(given), max(given)
    near = high - low <= 0.25 * max(abs(low), abs(high))
    if high == low or (from_zero and not near):
        low, high = min(low, 0.0), max(high, 0.0)
    if high - low < SMALLEST:
        low, high = low - 1, high + 1
    return _tidy(low, high, max(1, intervals))


def _drawable(value: float) -> float:
    if not abs(value) <= LARGEST:
        raise Unusable(
            say("{value} cannot be drawn: a picture needs numbers up to 1e15", value=value),
            remedy=say("Leave out what is not a number; change the unit of what is very large."),
        )
    return float(value)


def _tidy(low: float, high: float, intervals: int) -> Scale:
    most = max(intervals, 2 if low < 0 < high else 1)
    for exponent in count(math.floor(math.log10((high - low) / intervals))):
        for mantissa in (1, 2, 5):
            step = mantissa * 10.0**exponent
            first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
            if 0 < last - first <= most:
                return Scale(_whole(first * step), _whole(last * step), step, 10)
    raise AssertionError("a step larger than every value always holds them")


def _whole(value: float) -> float:
    return int(value) if value == int(value) else value


def amount(value: float, unit: str, digits: int = 0, *, signed: bool = False) -> str:
    """A value with its unit as a person reads it: a currency in front, any other unit behind.

    Examples
    --------
    >>> [amount(9800, "EUR").replace(THIN, "_"), amount(6.25, "µm", 2).replace(THIN, "_")]
    ['€_9_800', '6.25_µm']
    """
    _drawable(value)
    if unit in SIGNS or (len(unit) == 3 and unit.isupper()):
        return money(value, unit, digits, signed=signed)
    return number(value, digits, signed=signed) + (THIN + unit if unit else "")


def digits_for(values: Iterable[float]) -> int:
    """Decimals that keep three figures of the largest value, none from 100 on.

    Examples
    --------
    >>> digits_for([6150]), digits_for([6.25]), digits_for([0.004]), digits_for([0])
    (0, 2, 5, 0)
    """
    largest = max((abs(_drawable(value)) for value in values), default=0.0)
    if largest < SMALLEST:
        return 0
    return max(0, 2 - math.floor(math.log10(largest)))


def fitted(
    values: Iterable[float], room: float, size: float, *, most: int = 6, from_zero: bool = True
) -> Scale:
    """The finest tidy scale whose numerals do not touch one another.

    Parameters
    ----------
    values : iterable of float
        What must lie on it.
    room : float
        Length of the rule, drawing units.
    size : float
        Font size of the numerals.
    most : int
        Numbered steps at most.
    from_zero : bool
        As for ``tidy``.

    Returns
    -------
    Scale
        Its small steps are at least four drawing units apart.
    """
    given = tuple(values)
    scales = (tidy(given, intervals, from_zero=from_zero) for intervals in range(most, 0, -1))
    scale = next((one for one in scales if _roomy(one, room, size)), tidy(given, 1))
    return replace(scale, cuts=_cuts(scale.step, room / (len(scale.marks) - 1)))


def _roomy(scale: Scale, room: float, size: float) -> bool:
    """Whether all numerals fit; those at the ends stand half a width inwards."""
    widest = max(width(number(mark, scale.digits), size) for mark in scale.marks)
    return 1.5 * widest + size / 2 <= room / (len(scale.marks) - 1)


def _cuts(step: float, room: float) -> int:
    """Into how many small steps one numbered step of that drawn length is cut."""
    leading = round(step / 10.0 ** math.floor(math.log10(step) + 1e-9))
    choices = {1: (10, 5, 2), 2: (10, 4, 2), 5: (10, 5)}[leading]
    return next((cuts for cuts in choices if room / cuts >= 4), 1)


def rule_body(
    scale: Scale,
    left: float,
    right: float,
    top: float,
    theme: Theme,
    *,
    size: float = 12,
    keep_clear: tuple[float, ...] = (),
) -> list[str]:
    """Draw a steel rule: graduated along its upper edge, numbered inside, round at its end.

    Parameters
    ----------
    scale : Scale
        What it measures.
    left, right : float
        Where its first and last graduation stand, drawing units.
    top : float
        Its graduated edge.
    theme : Theme
        Colours.
    size : float
        Font size of the numerals.
    keep_clear : tuple of float
        Places along it where something crosses: no numeral stands there.

    Returns
    -------
    list of str
        Elements, back to front; the body reaches ``BODY`` below its edge.
    """
    parts = [_outline(left - 6, right + 6, top, theme)]
    steps = len(scale.marks) - 1
    for index in range(steps * scale.cuts + 1):
        x = left + (right - left) * index / (steps * scale.cuts)
        place = index % scale.cuts
        half = scale.cuts % 2 == 0 and place == scale.cuts // 2
        long = 13.0 if place == 0 else 9.5 if half else 6.0
        parts.append(line(x, top, x, top + long, theme.ink, thick=1.2 if place == 0 else 0.8))
    parts += _numerals(scale, left, right, top + 13 + size, theme, size, keep_clear)
    return parts


def _outline(left: float, right: float, top: float, theme: Theme) -> str:
    low = top + BODY
    shape = (
        f"M{plain(left)} {plain(top)}H{plain(right)}V{plain(low - 5)}"
        f"Q{plain(right)} {plain(low)} {plain(right - 5)} {plain(low)}"
        f"H{plain(left + 5)}Q{plain(left)} {plain(low)} {plain(left)} {plain(low - 5)}Z"
    )
    return path(shape, fill=theme.sheet, stroke=theme.ink, thick=1.4)


def _numerals(
    scale: Scale,
    left: float,
    right: float,
    base: float,
    theme: Theme,
    size: float,
    keep_clear: tuple[float, ...],
) -> list[str]:
    parts = []
    taken = left - 9.5
    for mark in scale.marks:
        text = number(mark, scale.digits)
        half = width(text, size) / 2
        x = left + (right - left) * scale.share(mark)
        x = min(max(x, left - 3 + half), right + 3 - half)
        clear = all(abs(x - place) > half + 3 for place in keep_clear)
        if clear and x - half >= taken + 6:
            parts.append(words(x, base, text, theme, size=size, anchor="middle", sort="scale"))
            taken = x + half
    return parts
