"""What each way to begin costs until it runs: lengths on one rule, the one to take in brass."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.say import say
from retrue.cases.find.advice import Advice
from retrue.figures.axes import Room
from retrue.figures.ink import Theme, bar, svg, words
from retrue.figures.letters import width, wrap
from retrue.figures.scale import BODY, Scale, amount, fitted, rule_body

SIZE, NUMERAL, LINE, BLOCK = 13.0, 12.0, 16.0, 13.0
WIDTHS: dict[Room, tuple[float, float]] = {  # of the drawing, and of its words on the left
    "phone": (340.0, 0.0),
    "wide": (640.0, 290.0),
    "paper": (640.0, 290.0),
}
MOST = 4  # steps drawn beside guessing
ROWS = 3  # lines of words a step may take


@dataclass(frozen=True, slots=True)
class Beginning:
    """One way to begin, and what it costs on average until the goal is met."""

    words: str
    cost: float
    best: bool = False


def beginnings(advice: Advice, *, language: str = "") -> tuple[Beginning, ...]:
    """The ways to begin that are compared.

    Parameters
    ----------
    advice : Advice
    language : str
        Two letters.

    Returns
    -------
    tuple of Beginning
        The best first, then other steps by cost, the hunch, buying by guess. A step that cannot
        be told from the best is drawn like it.

    Examples
    --------
    >>> from retrue.cases.find.advice import HunchCost
    >>> hunch = HunchCost("F20", "Drive dead", "", 900.0, 240.0)
    >>> bare = Advice(machine="A", goal="clear", trouble="T", title="", headline="", met=False,
    ...     switch_off="", steps=(), held=(), suspects=(), hunch=hunch, expected_cost=240.0,
    ...     guess_cost=1100.0, plain_cost=700.0, bound=180.0, cautions=(), set_aside=(),
    ...     not_used=(), assumed=(), currency="EUR", seed=7, worlds=1000, kind_hash="", version="")
    >>> [(b.words, b.cost) for b in beginnings(bare)]
    [('your hunch first: Drive dead', 900.0), ('the most likely part first, no test', 1100.0)]
    """
    rows = [
        Beginning(step.text, step.expected_cost, place == 0 or step.tie)
        for place, step in enumerate(advice.steps[:MOST])
    ]
    if advice.hunch is not None:
        text = say("your hunch first: {name}", language=language, name=advice.hunch.name)
        rows.append(Beginning(text, advice.hunch.expected_cost))
    guess = say("the most likely part first, no test", language=language)
    return (*rows, Beginning(guess, advice.guess_cost))


def costs_rows(advice: Advice, *, language: str = "") -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table: how to begin, what it costs on average.

    Parameters
    ----------
    advice : Advice
    language : str
        Two letters.

    Returns
    -------
    tuple of (str, str)
        In the order of the picture.
    """
    return tuple(
        (row.words, amount(row.cost, advice.currency))
        for row in beginnings(advice, language=language)
    )


def draw_costs(advice: Advice, *, theme: Theme, room: Room, language: str = "") -> str:
    """Draw what each way to begin costs on average.

    Parameters
    ----------
    advice : Advice
    theme : Theme
        Colours of the page or of paper.
    room : "phone", "wide" or "paper"
    language : str
        Two letters.

    Returns
    -------
    str
        One ``<svg>``; nothing where there is no step to compare.
    """
    if not advice.steps:
        return ""
    rows = beginnings(advice, language=language)
    right, column = WIDTHS[room]
    scale = fitted([0.0, *(row.cost for row in rows)], right - column - 24, NUMERAL, most=4)
    frame = _Frame(scale, column, right, theme, advice.currency)
    parts: list[str] = []
    top = 4.0
    for row in rows:
        more, top = frame.row(row, top)
        parts += more
    parts += rule_body(scale, column + 12, right - 12, top + 2, theme, size=NUMERAL, keep_clear=())
    sentence = say("what each way to begin costs on average until it is done", language=language)
    told = "; ".join(f"{name} {value}" for name, value in costs_rows(advice, language=language))
    label = f"{sentence}: {told}"
    return svg(parts, size=(right, top + BODY + 6), label=label, sort=f"find-costs {room}")


@dataclass(frozen=True, slots=True)
class _Frame:
    scale: Scale
    column: float  # room for the words on the left; none on a phone
    right: float
    theme: Theme
    currency: str

    def at(self, value: float) -> float:
        left, right = self.column + 12, self.right - 12
        return left + (right - left) * self.scale.share(value)

    def row(self, row: Beginning, top: float) -> tuple[list[str], float]:
        """One way to begin; the elements, and where the next one starts."""
        narrow = not self.column
        value = amount(row.cost, self.currency)
        room = self.right - 4 - width(value, SIZE) - 14 if narrow else self.column - 12
        lines = _short(wrap(row.words, room, SIZE))
        parts = [
            words(2, top + 12 + LINE * place, text, self.theme, size=SIZE, bold=row.best)
            for place, text in enumerate(lines)
        ]
        high = LINE * len(lines)
        start = top + high + 3 if narrow else top + 2
        fill = self.theme.brass if row.best else self.theme.brass_tint
        left = self.at(0.0)
        length = self.at(row.cost) - left
        parts.append(bar(left, start, length, BLOCK, fill=fill, stroke=self.theme.brass))
        if narrow:
            edge = self.right - 2
            parts.append(
                words(edge, top + 12, value, self.theme, size=SIZE, anchor="end", bold=True)
            )
            return parts, start + BLOCK + 8
        parts.append(self._beside(value, left + length, start + 11))
        return parts, max(start + BLOCK, top + high) + 8

    def _beside(self, value: str, end: float, base: float) -> str:
        """The amount after its length, or on a patch of sheet at its end."""
        wide = width(value, SIZE)
        if end + 6 + wide <= self.right - 2:
            return words(end + 6, base, value, self.theme, size=SIZE, bold=True)
        patch = bar(
            end - wide - 12, base - 11.5, wide + 8, BLOCK + 1, fill=self.theme.sheet, stroke="none"
        )
        at = end - 8
        return patch + words(at, base, value, self.theme, size=SIZE, anchor="end", bold=True)


def _short(lines: tuple[str, ...]) -> tuple[str, ...]:
    """A few lines; what is cut off is said by dots (the table has it whole)."""
    if len(lines) <= ROWS:
        return lines
    return (*lines[: ROWS - 1], lines[ROWS - 1].rstrip(" ,;") + "…")
