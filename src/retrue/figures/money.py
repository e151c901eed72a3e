"""Where the money goes: lengths laid end to end along a rule until they make the total."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.figures.ink import PAGE, Theme, bar, line, svg, words
from retrue.figures.letters import width, wrap
from retrue.figures.scale import BODY, Scale, amount, fitted, rule_body

WIDE, NARROW = 600.0, 300.0
SIZE, NUMERAL = 13.0, 12.0
LINE = 16.0
BLOCK = 13.0  # height of a length


def money_rows(
    buckets: Mapping[str, float], currency: str, *, language: str = ""
) -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table: what for, how much; the last row is the total.

    Parameters
    ----------
    buckets : mapping of str to float
        What the money is for and how much, ``currency``; a sale counts negative.
    currency : str
        Currency code.
    language : str
        Two letters.

    Returns
    -------
    tuple of (str, str)
        The largest first, as in the picture.

    Examples
    --------
    >>> [name for name, _ in money_rows({"move": 900, "parts": 2400}, "EUR")]
    ['parts', 'move', 'all in, until the first good part']
    """
    rows = [
        (say(name, language=language), amount(value, currency)) for name, value in _sorted(buckets)
    ]
    total = amount(sum(buckets.values()), currency)
    return (*rows, (say("all in, until the first good part", language=language), total))


def money_picture(
    buckets: Mapping[str, float],
    currency: str,
    *,
    narrow: bool = False,
    theme: Theme = PAGE,
    language: str = "",
) -> str:
    """Draw where the money goes, each length beginning where the one before it ended.

    Parameters
    ----------
    buckets, currency, language
        As for ``money_rows``.
    narrow : bool
        The drawing made for a phone.
    theme : Theme
        ``PAGE`` or ``PAPER``.

    Returns
    -------
    str
        One ``<svg>`` element, class ``money wide`` or ``money narrow``.

    Raises
    ------
    Unusable
        There is nothing to draw, or a value is not a number.

    Examples
    --------
    >>> money_picture({"parts": 2400.0, "move": 900.0}, "EUR").count("<rect")
    3
    """
    if not buckets:
        raise Unusable(say("there is no money to draw"), remedy=say("Price the lot first."))
    rows = money_rows(buckets, currency, language=language)
    lengths = _lengths(buckets)
    column = 0.0 if narrow else 200.0
    right = NARROW if narrow else WIDE
    scale = fitted(
        [edge for length in lengths for edge in length],
        right - column - 24,
        NUMERAL + narrow,
        most=4 if narrow else 5,
    )
    frame = _Frame(scale, column, right, narrow, theme)
    parts: list[str] = []
    top = 4.0
    for index, ((name, value), (start, end)) in enumerate(zip(rows, lengths, strict=True)):
        last = index == len(rows) - 1
        if last:
            top += 4
        more, top = _row(frame, name, value, start, end, top, last=last)
        parts += more
        if not last:
            seam = frame.at(end)
            parts.append(
                line(
                    seam,
                    top - 7,
                    seam,
                    top + (0.5 if narrow else 2),
                    theme.soft,
                    thick=0.8,
                    dash="2 2",
                )
            )
    parts += rule_body(
        scale, column + 12, right - 12, top + 2, theme, size=NUMERAL + narrow, keep_clear=()
    )
    sentence = say("where the money goes", language=language) + ": "
    sentence += "; ".join(f"{name} {value}" for name, value in rows)
    sort = "money narrow" if narrow else "money wide"
    return svg(parts, size=(right, top + BODY + 6), label=sentence, sort=sort)


def _sorted(buckets: Mapping[str, float]) -> list[tuple[str, float]]:
    return sorted(buckets.items(), key=lambda item: (-item[1], item[0]))


def _lengths(buckets: Mapping[str, float]) -> list[tuple[float, float]]:
    lengths, reach = [], 0.0
    for _, value in _sorted(buckets):
        lengths.append((reach, reach + value))
        reach += value
    return [*lengths, (0.0, reach)]


@dataclass(frozen=True, slots=True)
class _Frame:
    scale: Scale
    column: float  # room for the words on the left; none on a phone
    right: float
    narrow: bool
    theme: Theme

    def at(self, value: float) -> float:
        left, right = self.column + 12, self.right - 12
        return left + (right - left) * self.scale.share(value)


def _row(
    frame: _Frame, name: str, value: str, start: float, end: float, top: float, *, last: bool
) -> tuple[list[str], float]:
    """One length with its words; returns the elements and where the next row begins."""
    room = frame.right - 4 - width(value, SIZE) - 14 if frame.narrow else frame.column - 12
    lines = wrap(name, room, SIZE)
    parts = [
        words(2, top + 12 + LINE * index, text, frame.theme, size=SIZE, bold=last)
        for index, text in enumerate(lines)
    ]
    length_top = top + LINE * len(lines) + 3 if frame.narrow else top + 2
    x1, x2 = frame.at(start), frame.at(end)
    parts.append(
        bar(
            x1,
            length_top,
            x2 - x1,
            BLOCK,
            fill=frame.theme.brass if last else frame.theme.brass_tint,
            stroke=frame.theme.brass,
        )
    )
    if frame.narrow:
        parts.append(
            words(frame.right - 2, top + 12, value, frame.theme, size=SIZE, anchor="end", bold=True)
        )
        return parts, length_top + BLOCK + 7
    parts.append(_beside(frame, value, min(x1, x2), max(x1, x2), length_top + 11))
    return parts, max(length_top + BLOCK, top + LINE * len(lines)) + 7


def _beside(frame: _Frame, value: str, left: float, right: float, base: float) -> str:
    """The amount to the right of its length where there is room, else to its left."""
    wide = width(value, SIZE)
    if right + 6 + wide <= frame.right - 2:
        return words(right + 6, base, value, frame.theme, size=SIZE, bold=True)
    if left - 6 - wide >= frame.column:
        return words(left - 6, base, value, frame.theme, size=SIZE, anchor="end", bold=True)
    middle = (left + right) / 2
    return _on(frame, value, middle, base)


def _on(frame: _Frame, value: str, middle: float, base: float) -> str:
    """On the length itself, on a patch of sheet so that it stays readable."""
    half = width(value, SIZE) / 2 + 4
    patch = bar(
        middle - half, base - 11.5, 2 * half, BLOCK + 1, fill=frame.theme.sheet, stroke="none"
    )
    return patch + words(middle, base, value, frame.theme, size=SIZE, anchor="middle", bold=True)
