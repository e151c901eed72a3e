"""An estimate on a graduated steel rule: band, even chance, and the number to act on."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.sheet import Spread
from retrue.figures.ink import PAGE, Theme, bar, line, path, plain, svg, words
from retrue.figures.labels import Label, Spot, place
from retrue.figures.letters import width, wrap
from retrue.figures.scale import BODY, Scale, amount, digits_for, fitted, rule_body

WIDE, NARROW = 600.0, 300.0
INSET = 12.0  # from the edge of the drawing to the first graduation
BAND = 16.0  # height of the band
LINE = 16.0  # from one line of a label to the next
SMALL, LARGE = 12.5, 14.0  # font sizes: words, numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleWords:
    """What stands beside the marks."""

    act_on: str = "do not go above"
    even: str = "even chance"
    low: str = "1 in 5 below"
    high: str = "1 in 5 above"
    of_what: str = "what the lot is worth to you"


def rule(
    spread: Spread,
    act_on: float | None,
    unit: str,
    labels: RuleWords | None = None,
    *,
    narrow: bool = False,
    theme: Theme = PAGE,
    language: str = "",
) -> str:
    """Draw an estimate on a steel rule.

    Parameters
    ----------
    spread : Spread
        One chance in five below its low end, an even chance, one in five above its high end.
    act_on : float or None
        The number to act on, shown by the pointer; None draws none.
    unit : str
        A currency code, or a unit such as "µm".
    labels : RuleWords, optional
        English words beside the marks; they are translated.
    narrow : bool
        The drawing made for a phone (320 units wide) instead of the wide one (600).
    theme : Theme
        ``PAGE`` for pages, ``PAPER`` for print.
    language : str
        Two letters.

    Returns
    -------
    str
        One ``<svg>`` element, class ``rule wide`` or ``rule narrow``.

    Raises
    ------
    Unusable
        A value is not a number or beyond 1e15, or the band runs backwards.

    Examples
    --------
    >>> drawn = rule(Spread(low=6150, even=9800, high=14200), 6150, "EUR")
    >>> drawn.startswith("<svg") and "even chance" in drawn
    True
    """
    rows = rule_rows(spread, act_on, unit, labels, language=language)
    frame = _frame(spread, act_on, rows, narrow=narrow, theme=theme)
    parts = _labels(frame) + _marks(frame, spread)
    pointer = () if act_on is None else (frame.at(act_on),)
    parts += rule_body(
        frame.scale,
        INSET,
        frame.right - INSET,
        frame.edge,
        theme,
        size=frame.size,
        keep_clear=pointer,
    )
    high = frame.edge + BODY + 3
    if act_on is not None:
        more, high = _pointer(frame, frame.at(act_on), rows[-1])
        parts += more
    title = say((labels or RuleWords()).of_what, language=language)
    sentence = title + ": " + "; ".join(f"{name} {value}" for name, value in rows)
    sort = "rule narrow" if narrow else "rule wide"
    return svg(parts, size=(frame.right, high), label=sentence, sort=sort)


def rule_rows(
    spread: Spread,
    act_on: float | None,
    unit: str,
    labels: RuleWords | None = None,
    *,
    language: str = "",
) -> tuple[tuple[str, str], ...]:
    """The numbers of the picture as a table: words and value.

    Parameters are those of ``rule``.

    Returns
    -------
    tuple of (str, str)
        Low end, even chance, high end, and the number to act on if there is one. (The
        numerals of the rule itself are graduations, and stand in no row.)

    Examples
    --------
    >>> rule_rows(Spread(low=1, even=2, high=4), None, "mm")[1][0]
    'even chance'
    """
    if not spread.low <= spread.even <= spread.high:
        raise Unusable(
            say("the band runs backwards: {low}, {even}, {high}", **asdict(spread)),
            remedy=say("Give the low end, the even chance and the high end in that order."),
        )
    names = labels or RuleWords()
    values = (spread.low, spread.even, spread.high)
    digits = digits_for(values if act_on is None else (*values, act_on))
    rows = [(names.low, spread.low), (names.even, spread.even), (names.high, spread.high)]
    if act_on is not None:
        rows.append((names.act_on, act_on))
    return tuple((say(name, language=language), amount(v, unit, digits)) for name, v in rows)


@dataclass(frozen=True, slots=True)
class _Written:
    """A label broken into lines: words first, the number last."""

    mark: float  # where its mark stands
    lines: tuple[str, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where everything stands on this drawing."""

    scale: Scale
    right: float
    size: float  # font size of the numerals
    labels: tuple[_Written, ...]
    band: float  # top of the band
    edge: float  # graduated edge of the rule
    theme: Theme

    def at(self, value: float) -> float:
        return INSET + (self.right - 2 * INSET) * self.scale.share(value)


def _frame(
    spread: Spread,
    act_on: float | None,
    rows: tuple[tuple[str, str], ...],
    *,
    narrow: bool,
    theme: Theme,
) -> _Frame:
    right, size = (NARROW, 13.0) if narrow else (WIDE, 12.0)
    values = (spread.low, spread.even, spread.high)
    scale = fitted(values if act_on is None else (*values, act_on), right - 2 * INSET, size)
    frame = _Frame(scale, right, size, (), 0, 0, theme)
    lines = [(*wrap(name, right * 0.4, SMALL), value) for name, value in rows[:3]]
    wishes = [
        Label(frame.at(value), _wide(text), rank)
        for value, text, rank in zip(values, lines, (2, 0, 1), strict=True)
    ]
    spots = place(wishes, 1, right - 1)
    labels = tuple(
        _Written(wish.x, text, spot) for wish, text, spot in zip(wishes, lines, spots, strict=True)
    )
    band = (max(spot.row for spot in spots) + 1) * _row_high(labels) + 7
    return _Frame(scale, right, size, labels, band, band + BAND + 5, theme)


def _wide(lines: tuple[str, ...]) -> float:
    return max(*(width(text, SMALL) for text in lines[:-1]), width(lines[-1], LARGE))


def _row_high(labels: tuple[_Written, ...]) -> float:
    return max(len(label.lines) for label in labels) * LINE + 4


def _labels(frame: _Frame) -> list[str]:
    """Words over number, and a thin leader where a label had to step aside."""
    parts = []
    high = _row_high(frame.labels)
    for label in frame.labels:
        low = frame.band - 7 - label.spot.row * high
        base = low - 4
        for text in reversed(label.lines):
            number = text is label.lines[-1]
            parts.append(
                words(
                    label.spot.x,
                    base,
                    text,
                    frame.theme,
                    size=LARGE if number else SMALL,
                    anchor="middle",
                    bold=number,
                    colour="" if number else frame.theme.soft,
                )
            )
            base -= LINE
        half = _wide(label.lines) / 2
        if label.spot.row == 0 and abs(label.mark - label.spot.x) > half:
            near = label.spot.x + (half if label.mark > label.spot.x else -half)
            parts.append(line(near, low, label.mark, frame.band - 1, frame.theme.soft, thick=0.8))
    return parts


def _marks(frame: _Frame, spread: Spread) -> list[str]:
    """The band, and the stroke of the even chance across it down to the rule."""
    theme, left, right = frame.theme, frame.at(spread.low), frame.at(spread.high)
    even = frame.at(spread.even)
    return [
        bar(left, frame.band, right - left, BAND, fill=theme.blue_tint, stroke=theme.blue),
        line(even, frame.band - 4, even, frame.edge, theme.ink, thick=3),
    ]


def _pointer(frame: _Frame, x: float, row: tuple[str, str]) -> tuple[list[str], float]:
    """The brass pointer from below the rule up through the band, and its label."""
    theme = frame.theme
    low = frame.edge + BODY
    parts = [
        line(x, frame.band - 5, x, low + 2, theme.brass, thick=3),
        path(
            f"M{plain(x)} {plain(low - 2)}l-8 13h16z",
            fill=theme.brass,
        ),
    ]
    base = low + 11 + LINE
    for text in wrap(" ".join(map(str, row)), frame.right - 4, LARGE):
        half = width(text, LARGE) / 2
        middle = min(max(x, 2 + half), frame.right - 2 - half)
        parts.append(words(middle, base, text, theme, size=LARGE, anchor="middle", bold=True))
        base += LINE
    return parts, base - LINE + 6
