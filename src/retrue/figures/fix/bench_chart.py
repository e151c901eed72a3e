"""The bench chart: a calendar as a steel rule, below it each machine's places as a drawing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from retrue.base.formatter import day, number
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.fix.bench_drawing import BenchBar, BenchDrawing, BenchMachine, BenchRow, noon
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, bar, line, path, plain, svg, words
from retrue.figures.letters import width, wrap

SIZE = {"phone": 13.0, "wide": 13.0, "paper": 10.5, "broad": 14.0}
# room for the names of places, at the left
NAMES = {"phone": 0.0, "wide": 190.0, "paper": 140.0, "broad": 250.0}
INSET = 10.0
RULE = 26.0  # height of the rule
THICK = 11.0  # of a bar
LEAST = 1.6  # width of the shortest bar
DAY_S = 86400.0
MOST_WEEKS = 160


def rows(drawing: BenchDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table: machine and place, from which day to which.

    Parameters
    ----------
    drawing : BenchDrawing

    Returns
    -------
    tuple of (str, str)
    """
    told = []
    for machine in drawing.machines:
        for row in machine.rows:
            told.append((f"{machine.name}, {row.name}", _row_words(row)))
        if not (machine.early_on and machine.even_on and machine.promise_on):
            told.append((say("{machine}, first good part", machine=machine.name), machine.why))
            continue
        when = say("1 in 10 by {early}, as likely as not by {even}, 9 in 10 by {promise}",
                   early=day(machine.early_on), even=day(machine.even_on),
                   promise=day(machine.promise_on))  # fmt: skip
        told.append((say("{machine}, first good part", machine=machine.name), when))
    told += [(say("{name} here", name=_thing(name)), day(on)) for on, name in drawing.hire]
    return tuple(told)


def _thing(name: str) -> str:
    """What is hired, as its reader calls it."""
    return say(name.replace("_", " "))


def _row_words(row: BenchRow) -> str:
    first = min(one.begins for one in row.bars)
    last = max(one.ends for one in row.bars)
    waited = sum((one.ends - one.begins).days for one in row.bars if one.sort == "wait")
    told = day(first) if first.date() == last.date() else f"{day(first)} – {day(last)}"
    if waited:
        told = say("{told}, of it waiting {days} days", told=told, days=number(waited))
    return told


@dataclass(frozen=True, slots=True)
class _Scale:
    """From a moment to a place on the drawing."""

    start: datetime
    left: float
    per_day: float

    def at(self, moment: datetime) -> float:
        days = max(0.0, (moment - self.start).total_seconds() / DAY_S)
        return self.left + days * self.per_day

    def on(self, when: date) -> float:
        return self.at(noon(when, self.start))


def draw(drawing: BenchDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the chart: weeks on the rule, work in blue, waits dashed, the date to promise in brass.

    Parameters
    ----------
    drawing : BenchDrawing
    theme : Theme
    room : "phone", "wide", "paper" or "broad"

    Returns
    -------
    str
        One ``<svg>``.

    Raises
    ------
    Unusable
        It has no machine.
    """
    if not drawing.machines:
        raise Unusable(say("a chart without machines cannot be drawn"),
                       remedy=say("Plan one machine at least."))  # fmt: skip
    scale = _scale(drawing, room)
    parts, top = _rule(drawing, scale, theme, room)
    for machine in drawing.machines:
        more, top = _machine(machine, scale, top, theme, room)
        parts += more
    label = "; ".join(
        say("{machine} makes its first good part by {promise} in 9 of 10 ways it could go",
            machine=one.name, promise=day(one.promise_on))
        if one.promise_on else f"{one.name}: {one.why}"
        for one in drawing.machines
    )  # fmt: skip
    return svg(parts, size=(WIDTHS[room], top + 8), label=label + ".", sort=f"picture bench-{room}")


def _last(drawing: BenchDrawing) -> datetime:
    ends = [one.ends for machine in drawing.machines for row in machine.rows for one in row.bars]
    dates = [one.promise_on for one in drawing.machines if one.promise_on is not None]
    ends += [noon(one, drawing.start) for one in dates]
    return max([*ends, drawing.start + timedelta(days=7)])


def _scale(drawing: BenchDrawing, room: Room) -> _Scale:
    left = INSET + NAMES[room]
    days = (_last(drawing) - drawing.start).total_seconds() / DAY_S
    return _Scale(drawing.start, left, (WIDTHS[room] - INSET - left) / (days * 1.02))


def _rule(
    drawing: BenchDrawing, scale: _Scale, theme: Theme, room: Room
) -> tuple[list[str], float]:
    """The rule's body with a stroke for each Monday, dates where there is room, hire days."""
    size, right = SIZE[room], WIDTHS[room] - INSET
    parts = [bar(scale.left, 4, right - scale.left, RULE, fill=theme.sheet, stroke=theme.ink,
                 thick=1.4)]  # fmt: skip
    free = -1e9
    for monday in _mondays(drawing, _last(drawing)):
        x = scale.on(monday) - scale.per_day / 2
        if x < scale.left or x > right:
            continue
        told = day(monday)
        wide = width(told, size) + 10
        numbered = x > free and x + wide - 4 < right
        parts.append(line(x, 4, x, 4 + (12 if numbered else 7), theme.ink, thick=0.9))
        if numbered:
            parts.append(words(x + 3, 4 + RULE - 5, told, theme, size=size - 1.5))
            free = x + wide
    low = 4 + RULE
    named: set[str] = set()
    for on, name in drawing.hire:
        x = scale.on(on)
        parts.append(path(f"M{plain(x)} {plain(low)}l-5 9h10z", fill=theme.ink))
        if name not in named:  # once: the days stand in the table
            shown = _thing(name)
            ends = x + width(shown, size) + 8 > right
            parts.append(words(x + (-8 if ends else 8), low + 20, shown, theme, size=size - 1.5,
                               anchor="end" if ends else "start", colour=theme.soft))  # fmt: skip
            named.add(name)
    return parts, low + (24 if drawing.hire else 4)


def _mondays(drawing: BenchDrawing, last: datetime) -> list[date]:
    first = drawing.start.date() - timedelta(days=drawing.start.weekday())
    weeks = min(MOST_WEEKS, (last.date() - first).days // 7 + 1)
    return [first + timedelta(weeks=n) for n in range(weeks + 1)]


def _machine(
    machine: BenchMachine, scale: _Scale, top: float, theme: Theme, room: Room
) -> tuple[list[str], float]:
    size, right = SIZE[room], WIDTHS[room] - INSET
    top += size + 10
    parts = [words(INSET, top, machine.name, theme, size=size + 1, bold=True)]
    top += 6
    for row in machine.rows:
        more, top = _row(row, scale, top, theme, room)
        parts += more
    parts.append(line(scale.left, top + 2, right, top + 2, theme.line, thick=0.6))
    more, top = _first_part(machine, scale, top + 4, theme, room)
    return parts + more, top


def _row(
    row: BenchRow, scale: _Scale, top: float, theme: Theme, room: Room
) -> tuple[list[str], float]:
    """One place: its name beside its bars; above them on a phone."""
    size = SIZE[room] - 1
    named = wrap(row.name, (NAMES[room] or WIDTHS[room] - 2 * INSET) - 8, size)
    beside = NAMES[room] > 0
    parts = [
        words(INSET, top + size + n * size * 1.2, told, theme, size=size, colour=theme.soft)
        for n, told in enumerate(named)
    ]
    text = size * 1.2 * len(named)
    y = top + 3 if beside else top + text + 3
    parts += [_bar(one, scale, y, theme) for one in row.bars]
    return parts, (max(top + text, y + THICK) if beside else y + THICK) + 4


def _bar(one: BenchBar, scale: _Scale, y: float, theme: Theme) -> str:
    left, right = scale.at(one.begins), scale.at(one.ends)
    if one.sort == "wait":
        return line(left, y + THICK / 2, right, y + THICK / 2, theme.soft, thick=1.2, dash="4 3")
    return bar(left, y, max(LEAST, right - left), THICK, fill=theme.blue_tint, stroke=theme.blue,
               thick=0.9)  # fmt: skip


def _first_part(
    machine: BenchMachine, scale: _Scale, top: float, theme: Theme, room: Room
) -> tuple[list[str], float]:
    """The band from early to promise, a stroke at the even date, a pointer at the promise."""
    size, right = SIZE[room], WIDTHS[room] - INSET
    if not (machine.early_on and machine.even_on and machine.promise_on):
        lines = wrap(machine.why, WIDTHS[room] - 2 * INSET, size)
        drawn = [words(INSET, top + 4 + (n + 1) * size * 1.2, one, theme, size=size)
                 for n, one in enumerate(lines)]  # fmt: skip
        return drawn, top + 10 + size * 1.2 * len(lines)
    early, even = scale.on(machine.early_on), scale.on(machine.even_on)
    promise = scale.on(machine.promise_on)
    named = say("first good part")
    parts = [bar(early, top + 4, max(LEAST, promise - early), THICK, fill=theme.brass_tint,
                 stroke=theme.brass)]  # fmt: skip
    parts.append(line(even, top + 1, even, top + 7 + THICK, theme.brass, thick=2))
    tip = top + 5 + THICK
    parts.append(path(f"M{plain(promise)} {plain(tip)}l-6 10h12z", fill=theme.brass))
    if NAMES[room]:
        parts.append(words(INSET, top + 4 + size, named, theme, size=size))
    told = say("{named}: promise {on}", named=named, on=day(machine.promise_on))
    if NAMES[room]:
        told = say("promise {on}", on=day(machine.promise_on))
    below = tip + 10 + size
    fits = promise + width(told, size) / 2 < right
    x = promise if fits and promise - width(told, size) / 2 > INSET else right
    parts.append(words(x, below, told, theme, size=size, bold=True,
                       anchor="middle" if x == promise else "end"))  # fmt: skip
    return parts, below + 6
