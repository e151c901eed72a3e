"""What would move the price, and what moved it: lengths on both sides of where it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.sheet import Move, MovedRow
from retrue.figures.ink import PAGE, Theme, bar, line, path, plain, svg, words
from retrue.figures.letters import width, wrap
from retrue.figures.scale import BODY, Scale, amount, fitted, rule_body

WIDE, NARROW = 600.0, 300.0
SIZE, NUMERAL = 13.0, 12.0
LINE = 16.0
LANE = 15.0  # one length and its number
BLOCK = 9.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveWords:
    """What the two ends of a row mean, and where the price stands."""

    less: str = "if there is less of it"
    more: str = "if there is more of it"
    now: str = "now"


def moves_rows(
    moves: Sequence[Move], now: float, currency: str, *, language: str = ""
) -> tuple[tuple[str, str, str], ...]:
    """The picture's numbers as a table: what, price if it is less, price if it is more.

    Parameters
    ----------
    moves : sequence of Move
        What would move the price, and to where.
    now : float
        The price as it stands, ``currency``.
    currency : str
        Currency code.
    language : str
        Two letters.

    Returns
    -------
    tuple of (str, str, str)
        The farthest mover first; the last row is the price as it stands.

    Examples
    --------
    >>> rows = moves_rows([Move(what="our prices", low=7000, high=4300)], 6150, "EUR")
    >>> len(rows), rows[0][0], rows[-1][0]
    (2, 'our prices', 'now')
    """
    rows = [
        (
            say(move.what, language=language),
            amount(move.low, currency),
            amount(move.high, currency),
        )
        for move in _farthest_first(moves, now)
    ]
    stands = amount(now, currency)
    return (*rows, (say(MoveWords().now, language=language), stands, stands))


def moves_picture(
    moves: Sequence[Move],
    now: float,
    currency: str,
    labels: MoveWords | None = None,
    *,
    narrow: bool = False,
    theme: Theme = PAGE,
    language: str = "",
) -> str:
    """Draw what would move the price most, one row each, both ends on one rule.

    Parameters
    ----------
    moves, now, currency, language
        As for ``moves_rows``.
    labels : MoveWords, optional
        English words for the two ends; they are translated.
    narrow : bool
        The drawing made for a phone.
    theme : Theme
        ``PAGE`` or ``PAPER``.

    Returns
    -------
    str
        One ``<svg>`` element, class ``moves wide`` or ``moves narrow``. Open lengths are the
        one end, full lengths the other: colour only repeats it.

    Raises
    ------
    Unusable
        There is nothing to draw, or a value is not a number.

    Examples
    --------
    >>> "our prices" in moves_picture([Move(what="our prices", low=7000, high=4300)], 6150, "EUR")
    True
    """
    if not moves:
        raise Unusable(say("nothing would move the price"), remedy=say("Price the lot first."))
    said = labels or MoveWords()
    rows = moves_rows(moves, now, currency, language=language)
    ends = [end for move in moves for end in (move.low, move.high)]
    numbers = [number for row in rows[:-1] for number in row[1:]]
    frame = _frame([now, *ends], numbers, narrow=narrow, theme=theme)
    legend = (say(said.less, language=language), say(said.more, language=language))
    parts, top = _legend(frame, legend)
    stands = f"{say(said.now, language=language)} {rows[-1][1]}"
    added, top = _stands(frame, now, stands, top)
    parts += added
    for move, row in zip(_farthest_first(moves, now), rows[:-1], strict=True):
        added, top = _two_ends(frame, move, now, row, top)
        parts += added
    sentence = say("what would move the price most", language=language) + f" ({stands}): "
    sentence += "; ".join(
        f"{what}: {legend[0]} {less}, {legend[1]} {more}" for what, less, more in rows[:-1]
    )
    return _closed(frame, parts, top, sentence, "moves", (frame.at(now),))


def moved_rows(
    moved: Sequence[MovedRow], currency: str, *, language: str = ""
) -> tuple[tuple[str, str, str], ...]:
    """What moved the price as a table: finding, moved by, price after.

    Examples
    --------
    >>> row = MovedRow(finding="a", text="ways dry", before=6800.0, after=6160.0)
    >>> moved_rows([row], "EUR")[0][0]
    'ways dry'
    """
    return tuple(
        (
            say(row.text, language=language),
            amount(row.after - row.before, currency, signed=True),
            amount(row.after, currency),
        )
        for row in moved
    )


def moved_picture(
    moved: Sequence[MovedRow],
    currency: str,
    *,
    narrow: bool = False,
    theme: Theme = PAGE,
    language: str = "",
) -> str:
    """Draw what moved the price: an arrow for each finding, from before to after.

    Parameters
    ----------
    moved : sequence of MovedRow
        Oldest first.
    currency, narrow, theme, language
        As for ``moves_picture``.

    Returns
    -------
    str
        One ``<svg>`` element, class ``moved wide`` or ``moved narrow``.

    Raises
    ------
    Unusable
        There is nothing to draw, or a value is not a number.

    Examples
    --------
    >>> row = MovedRow(finding="a", text="ways dry", before=6800.0, after=6160.0)
    >>> "ways dry" in moved_picture([row], "EUR")
    True
    """
    if not moved:
        raise Unusable(say("nothing has moved the price yet"), remedy=say("Keep a finding first."))
    rows = moved_rows(moved, currency, language=language)
    ends = [end for row in moved for end in (row.before, row.after)]
    frame = _frame(ends, [by for _, by, _ in rows], narrow=narrow, theme=theme)
    parts: list[str] = []
    top = 4.0
    for row, (text, by, _) in zip(moved, rows, strict=True):
        added, top = _arrow(frame, row, text, by, top)
        parts += added
    sentence = say("what moved the price", language=language) + ": "
    sentence += "; ".join(f"{text} {by}" for text, by, _ in rows)
    return _closed(frame, parts, top, sentence, "moved", ())


def _farthest_first(moves: Sequence[Move], now: float) -> list[Move]:
    return sorted(
        moves, key=lambda move: (-max(abs(move.low - now), abs(move.high - now)), move.what)
    )


@dataclass(frozen=True, slots=True)
class _Frame:
    scale: Scale
    column: float  # room for the words on the left; none on a phone
    left: float  # first and last graduation
    right: float
    edge: float  # right edge of the drawing
    narrow: bool
    theme: Theme

    def at(self, value: float) -> float:
        return self.left + (self.right - self.left) * self.scale.share(value)


def _frame(
    values: Sequence[float], numbers: Sequence[str], *, narrow: bool, theme: Theme
) -> _Frame:
    """Room for the words, and outside the rule for the widest number."""
    edge = NARROW if narrow else WIDE
    column = 0.0 if narrow else 208.0
    margin = max(width(number, SIZE) for number in numbers) + 8
    left, right = column + margin, edge - margin
    if right - left < 80:  # numbers that wide stand above their lengths' middle
        left, right = column + 12, edge - 12
    scale = _span(values, right - left, NUMERAL + narrow, most=3 if narrow else 5)
    return _Frame(scale, column, left, right, edge, narrow, theme)


def _span(values: Sequence[float], room: float, size: float, *, most: int) -> Scale:
    """What moves is what counts here: the rule need not begin at zero."""
    return fitted(values, room, size, most=most, from_zero=False)


def _words(frame: _Frame, text: str, top: float) -> tuple[list[str], float]:
    """The row's words; returns the elements and their lower edge."""
    room = frame.edge - 4 if frame.narrow else frame.column - 12
    lines = wrap(text, room, SIZE)
    parts = [
        words(2, top + 12 + LINE * index, one, frame.theme, size=SIZE)
        for index, one in enumerate(lines)
    ]
    return parts, top + LINE * len(lines)


def _number(frame: _Frame, text: str, x: float, base: float, *, leftward: bool) -> str:
    """A number outside its length's end, pushed inwards where the drawing ends."""
    wide = width(text, SIZE)
    start = x - 5 - wide if leftward else x + 5
    start = min(max(start, frame.column + 1), frame.edge - 1 - wide)
    return words(start, base, text, frame.theme, size=SIZE, bold=True)


def _legend(frame: _Frame, says: tuple[str, str]) -> tuple[list[str], float]:
    """What an open and a full length mean, in words beside one of each."""
    theme, parts, top = frame.theme, list[str](), 4.0
    for text, fill, stroke in (
        (says[0], theme.brass_tint, theme.brass),
        (says[1], theme.blue, theme.blue),
    ):
        for index, one in enumerate(wrap(text, frame.edge - 44, SIZE)):
            if index == 0:
                parts.append(bar(2, top + 3, 26, BLOCK, fill=fill, stroke=stroke))
            parts.append(words(36, top + 12, one, theme, size=SIZE, colour=theme.soft))
            top += LINE + 1
    return parts, top + 4


def _stands(frame: _Frame, now: float, text: str, top: float) -> tuple[list[str], float]:
    """The brass pointer above the rows: where the price stands."""
    x = frame.at(now)
    half = width(text, SIZE) / 2
    middle = min(max(x, frame.column + 1 + half), frame.edge - 1 - half)
    parts = [
        words(middle, top + 12, text, frame.theme, size=SIZE, anchor="middle", bold=True),
        path(f"M{plain(x)} {plain(top + 27)}l-7 -10h14z", fill=frame.theme.brass),
    ]
    return parts, top + 31


def _two_ends(
    frame: _Frame, move: Move, now: float, row: tuple[str, str, str], top: float
) -> tuple[list[str], float]:
    """One row: its words, an open length to the one end, a full length to the other."""
    theme = frame.theme
    parts, low = _words(frame, row[0], top)
    lane = low + 2 if frame.narrow else top
    start = frame.at(now)
    for end, text, fill, stroke in (
        (move.low, row[1], theme.brass_tint, theme.brass),
        (move.high, row[2], theme.blue, theme.blue),
    ):
        x = frame.at(end)
        parts.append(bar(start, lane + 3, x - start, BLOCK, fill=fill, stroke=stroke))
        parts.append(_number(frame, text, x, lane + 12, leftward=end < now))
        lane += LANE
    upper = low + 2 if frame.narrow else top - 4  # on a phone the words stand in between
    lower = lane if frame.narrow else max(low, lane) + 8
    parts.append(line(start, upper, start, lower, theme.brass, thick=2.5))
    return parts, max(low, lane) + 8


def _arrow(frame: _Frame, row: MovedRow, text: str, by: str, top: float) -> tuple[list[str], float]:
    """One finding: its words, an arrow from the price before to the price after."""
    theme = frame.theme
    parts, low = _words(frame, text, top)
    lane = low + 2 if frame.narrow else top
    x1, x2 = frame.at(row.before), frame.at(row.after)
    y = lane + 8
    leftward = row.after < row.before
    head = min(9.0, abs(x2 - x1)) * (1 if leftward else -1)
    parts += [
        line(x1, y - 6, x1, y + 6, theme.ink),
        line(x1, y, x2, y, theme.blue, thick=2.5),
        path(f"M{plain(x2)} {plain(y)}l{plain(head)} -5v10z", fill=theme.blue, stroke=theme.blue),
        _number(frame, by, x2, y + 4, leftward=leftward),
    ]
    return parts, max(low, lane + LANE) + 7


def _closed(
    frame: _Frame,
    parts: list[str],
    top: float,
    sentence: str,
    sort: str,
    keep_clear: tuple[float, ...],
) -> str:
    """Put the rule below the rows and close the drawing."""
    size = NUMERAL + frame.narrow
    body = rule_body(
        frame.scale, frame.left, frame.right, top, frame.theme, size=size, keep_clear=()
    )
    for x in keep_clear:
        body.append(line(x, top, x, top + 6, frame.theme.brass, thick=2.5))
    sort += " narrow" if frame.narrow else " wide"
    return svg(parts + body, size=(frame.edge, top + BODY + 3), label=sentence, sort=sort)
