"""An hour rate from a plain file: figures in a table, each one number or low, likely, high."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from retrue.base import formatter
from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say
from retrue.cases.assume import HORIZON_YEARS, HOUR_ALTERNATIVE, HOUR_FULL, INTEREST
from retrue.cases.drawing import Drawer
from retrue.cases.known import nearest
from retrue.cases.settle.cost_ranges import range_of
from retrue.cases.settle.hour_rate import hour_rate_view
from retrue.cases.settle.hour_rate_figures import ABOVE_ZERO, MOST, UNITS, YEARLY, drawn, item_words
from retrue.cases.settle.hour_rate_inputs import Inputs
from retrue.cases.settle.rate_lines import FigureRow, HourRateView
from retrue.kinds.library import Three
from retrue.kinds.lines import Path, line_map
from retrue.records.settling import RUN_ITEMS

BIGGEST_BYTES = 200_000
TOP = ("name", "currency", "interest", "margin", "hour_alternative", "hour_full")
ITEMS = ("paid", "own_hours", *RUN_ITEMS)
NEEDED = ("paid", "hours_a_year")


@dataclass(frozen=True, slots=True, kw_only=True)
class RateFile:
    """Figures of one machine, and perhaps of another for the same work.

    Attributes
    ----------
    figures, other : mapping of item to Three
        ``other`` is empty where there is none; what it does not say is as of the first.
    """

    name: str
    currency: str
    interest: float
    margin: float | None
    hour_values: tuple[float, float]
    figures: Mapping[str, Three]
    other_name: str = ""
    other: Mapping[str, Three] | None = None


def is_rate_file(content: bytes) -> bool:
    """Whether a file holds a table of figures rather than a lot.

    Parameters
    ----------
    content : bytes

    Returns
    -------
    bool

    Examples
    --------
    >>> is_rate_file(b"[figures]\\npaid = 1\\n"), is_rate_file(b"[lot]\\nname = 'a'\\n")
    (True, False)
    """
    try:
        told = tomllib.loads(content.decode())
    except (UnicodeDecodeError, tomllib.TOMLDecodeError):
        return False
    return "figures" in told


def read_rate(content: bytes, name: str) -> RateFile:
    """Read a file of figures.

    Parameters
    ----------
    content : bytes
        TOML in UTF-8 with a table ``figures``, perhaps one ``other``.
    name : str
        As the refusals shall call it.

    Returns
    -------
    RateFile

    Raises
    ------
    Unreadable
        Huge, not UTF-8, not TOML.
    Unusable
        A key that is not known, a value that is no number; every one with its line.

    Examples
    --------
    >>> text = b"[figures]\\npaid = 24000\\nhours_a_year = [250, 900, 1000]\\n"
    >>> made = read_rate(text, "mill.toml")
    >>> made.figures["hours_a_year"]
    Three(low=250.0, likely=900.0, high=1000.0)
    """
    if len(content) > BIGGEST_BYTES:
        raise Unreadable(
            say("{name} is too large for a table of figures", name=name),
            remedy=say("Give a file of figures."),
        )
    try:
        text = content.decode()
        told = tomllib.loads(text)
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as wrong:
        raise Unreadable(
            say("{name} cannot be read: {why}", name=name, why=wrong),
            remedy=say("Write it as TOML: a table [figures] with one figure a line."),
        ) from wrong
    reading = _Reading(line_map(text))
    made = reading.whole(told)
    if reading.problems:
        raise Unusable(
            say("some figures of {name} cannot be used", name=name),
            remedy=say("Correct the lines that are named."),
            problems=tuple(reading.problems),
        )
    return made


class _Reading:
    """Reads one file; what is wrong is gathered with its line."""

    def __init__(self, lines: Mapping[Path, int]) -> None:
        self._lines = lines
        self.problems: list[Problem] = []

    def whole(self, told: Mapping[str, Any]) -> RateFile:
        """Everything of the file."""
        for key in told:
            if key not in (*TOP, "figures", "other"):
                self._doubt((key,), say("is not known"), nearest(key, [*TOP, "figures", "other"]))
        figures = self._figures("figures", told.get("figures", {}))
        named = told.get("figures", {})
        for item in NEEDED:
            if item not in named:
                self._doubt(("figures", item), say("is missing"), say("Give {item}.", item=item))
        other = told.get("other")
        other_name = other.pop("name", say("the other")) if isinstance(other, dict) else ""
        return RateFile(
            name=str(told.get("name", say("the machine"))),
            currency=self._currency(told.get("currency", "EUR")),
            interest=self._share(told, "interest", INTEREST) or 0.0,
            margin=self._share(told, "margin", None),
            hour_values=(
                self._one(("hour_alternative",), told.get("hour_alternative", HOUR_ALTERNATIVE)),
                self._one(("hour_full",), told.get("hour_full", HOUR_FULL)),
            ),
            figures=figures,
            other_name=str(other_name),
            other=None if other is None else self._figures("other", other),
        )

    def _figures(self, table: str, told: Any) -> dict[str, Three]:
        if not isinstance(told, dict):
            self._doubt((table,), say("is no table"), say("Write [{table}].", table=table))
            return {}
        made: dict[str, Three] = {}
        for item, value in told.items():
            if item not in ITEMS:
                self._doubt((table, item), say("is not known"), nearest(item, ITEMS))
                continue
            three = self._three((table, item), value)
            if three is not None:
                made[item] = three
        return made

    def _three(self, path: Path, value: Any) -> Three | None:
        rows = value if isinstance(value, list) else [value]
        if len(rows) not in (1, 3) or not all(_is_number(one) for one in rows):
            self._doubt(path, say("is neither one number nor three"),
                        say("Write 900, or [600, 900, 1000]: low, likely, high."))  # fmt: skip
            return None
        low, likely, high = [float(one) for one in (rows * 3 if len(rows) == 1 else rows)]
        if not 0.0 <= low <= likely <= high:
            self._doubt(path, say("does not rise from 0 on"),
                        say("Give the low, the likely, then the high figure."))  # fmt: skip
            return None
        if path[-1] in ABOVE_ZERO and low == 0.0:
            self._doubt(path, say("is nothing"),
                        say("Give a figure above 0: it is divided by."))  # fmt: skip
            return None
        most = MOST.get(str(path[-1]))
        if most is not None and high > most:
            self._doubt(path, say("is more than {most}, the most there can be",
                                  most=formatter.number(most)),
                        say("Give {most} or less.", most=f"{most:.0f}"))  # fmt: skip
            return None
        return Three(low, likely, high)

    def _share(self, told: Mapping[str, Any], name: str, otherwise: float | None) -> float | None:
        if name not in told:
            return otherwise
        value = self._one((name,), told[name])
        if not 0.0 <= value < 1.0:
            self._doubt((name,), say("is no share below 1"), say("Write 0.08 for 8 per cent."))
            return otherwise
        return value

    def _one(self, path: Path, value: Any) -> float:
        if _is_number(value) and value >= 0:
            return float(value)
        self._doubt(path, say("is no number of 0 or more"), say("Write a plain number."))
        return 0.0

    def _currency(self, value: Any) -> str:
        if isinstance(value, str) and len(value) == 3 and value.isascii() and value.isupper():
            return value
        self._doubt(("currency",), say("is no currency code"), say("Write three letters, as EUR."))
        return "EUR"

    def _doubt(self, path: Path, what: str, remedy: str) -> None:
        line = self._lines.get(path) or self._lines.get(path[:1])
        place = ".".join(str(part) for part in path)
        where = say("{place} (line {line})", place=place, line=line) if line else place
        self.problems.append(Problem(where, what, remedy))


def _is_number(value: Any) -> bool:
    return (
        isinstance(value, int | float) and not isinstance(value, bool) and bool(np.isfinite(value))
    )


def rate_of_file(
    told: RateFile, *, margin: float | None = None, seed: int = 7, worlds: int = 2000
) -> HourRateView:
    """What an hour costs by the figures of a file.

    Parameters
    ----------
    told : RateFile
        What it does not name is nothing: nothing is assumed but years, interest and hour values.
    margin : float or None
        Share of the price that is to be left; None: as the file says.
    seed, worlds : int
        Of the draws, where a figure is a range.

    Returns
    -------
    HourRateView

    Examples
    --------
    >>> text = b"[figures]\\npaid = 8000\\nhours_a_year = 500\\nlife_years = 10\\n"
    >>> view = rate_of_file(read_rate(b"interest = 0.0\\n" + text, "mill.toml"), worlds=10)
    >>> view.an_hour.mean
    1.6
    """
    inputs = _inputs(told.figures, told, told.name, seed, worlds)
    other = None
    if told.other is not None:
        figures = {**told.figures, **told.other}
        other = _inputs(figures, told, told.other_name, seed, worlds)
    blank = HourRateView(
        lot="", lot_name="", machine="", machine_name=told.name, currency=told.currency,
        an_hour=None, with_operator=None, by_hour_value=None, with_operator_by_hour_value=None,
        wage=0.0, ratio_of_means=None, parts=(), hours=range_of(inputs.hours),
        paid=range_of(inputs.values["paid"]), own_hours=range_of(inputs.values["own_hours"]),
        paid_so_far=told.figures["paid"].likely, own_hours_so_far=0.0,
        hour_values=told.hour_values, interest=told.interest, figures=(),
        margin=told.margin if margin is None else margin,
        fine=(say("Figures as the file has them; what it does not name counts with nothing."),),
        seed=seed, worlds=worlds,
    )  # fmt: skip
    return hour_rate_view(
        inputs, blank, other=other, other_name=told.other_name,
        wage_known="wage_an_hour" in told.figures,
    )  # fmt: skip


def _inputs(
    figures: Mapping[str, Three], told: RateFile, machine: str, seed: int, worlds: int
) -> Inputs:
    drawer = Drawer(seed, told.name, worlds)
    guesses = {"life_years": HORIZON_YEARS, "wage_an_hour": told.hour_values[0]}
    values, rows = {}, []
    for item in ITEMS:
        guess = guesses.get(item, 0.0)
        three = figures.get(item, Three(guess, guess, guess))
        values[item] = drawn(item, three, machine, drawer)
        if item in RUN_ITEMS:
            rows.append(_row(item, three, item in figures))
    return Inputs(values=values, rows=tuple(rows), fixed=frozenset(YEARLY), interest=told.interest)


def _row(item: str, three: Three, named: bool) -> FigureRow:
    return FigureRow(
        item=item,
        words=item_words(item),
        unit=UNITS.get(item, ""),
        low=three.low,
        likely=three.likely,
        high=three.high,
        mark="file" if named else "assumed",
        why=say("as the file has it") if named else say("not named"),
    )
