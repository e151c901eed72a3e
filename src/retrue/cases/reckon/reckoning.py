"""What a calculator answers, as one value that page, paper, command and file tell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

Answer = Literal["go", "no_go", "get_first"]
ANSWERS: dict[Answer, str] = {
    "go": "go",
    "no_go": "no-go",
    "get_first": "get this number first",
}
IN_OR_OUT: dict[Answer, str] = {**ANSWERS, "go": "in", "no_go": "out"}  # of a reading, not a lift
MAY_REPLACE: dict[Answer, str] = {**ANSWERS, "go": "may replace it", "no_go": "may not replace it"}
Cell = str | float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """Words that stand before the number, and what they defer to."""

    text: str
    defers_to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One number of an answer."""

    key: str  # the name in --json, with its unit: leg_kg
    name: str  # as a page says it
    value: float | None
    unit: str
    digits: int = 0
    source: str = ""  # standard, edition, clause, and how sure: "29 CFR 1910.184 (from memory)"
    why: str = ""  # where there is no value


@dataclass(frozen=True, slots=True, kw_only=True)
class Against:
    """Something that stands against it, or that is lacking: what, and what to get."""

    reason: str
    remedy: str
    field: str = ""  # which field it is about


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """Something that must be had for it: it goes into the price by its cost line."""

    key: str  # transformer, rotary_converter, ...
    text: str
    cost: str = ""  # id of the cost line of the kind's table, E44


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """Numbers as a table: columns with units, one row a line."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckoning:
    """An answer: go, no-go, or get this number first; never "safe"."""

    method: str  # lift, forklift, ...
    title: str
    answer: Answer
    headline: str  # the answer in one sentence, with the number to act on
    cautions: tuple[Caution, ...]
    figures: tuple[Figure, ...] = ()
    against: tuple[Against, ...] = ()  # why no-go
    missing: tuple[Against, ...] = ()  # what to get first
    needs: tuple[Needed, ...] = ()
    assumed: tuple[str, ...] = ()  # taken where nobody has said, or from memory and unverified
    notes: tuple[str, ...] = ()
    listings: tuple[Listing, ...] = ()
    sources: tuple[str, ...] = ()
    book: str = "move"  # the phase it belongs to
    drawing: Any = None  # a plain value that figures can draw; None where there is none


def answer_word(made: Reckoning) -> str:
    """The answer in the words of its phase: a lift is a go, a reading is in.

    Parameters
    ----------
    made : Reckoning

    Returns
    -------
    str
        English; doors say it.

    Examples
    --------
    >>> told = Reckoning(method="winding", title="Winding", book="wake", answer="no_go",
    ...                  headline="One phase is open.", cautions=())
    >>> answer_word(told)
    'out'
    """
    words = {"move": ANSWERS, "fix": MAY_REPLACE}
    return words.get(made.book, IN_OR_OUT)[made.answer]


def flat(made: Reckoning) -> dict[str, Any]:
    """An answer as one flat object for ``--json``.

    Parameters
    ----------
    made : Reckoning

    Returns
    -------
    dict
        ``schema``, ``answer``, every figure under its key (null with ``why``), the cautions and
        what they defer to, reasons and remedies, needs, assumptions, sources.

    Examples
    --------
    >>> told = flat(Reckoning(method="lift", title="Lift", answer="go", headline="One leg.",
    ...     cautions=(), figures=(Figure(key="leg_kg", name="leg", value=2000.0, unit="kg"),)))
    >>> told["leg_kg"], told["answer"], told["schema"]
    (2000.0, 'go', 'move.lift.1')
    """
    told: dict[str, Any] = {
        "schema": f"{made.book}.{made.method}.1",
        "method": made.method,
        "title": made.title,
        "answer": made.answer,
        "headline": made.headline,
        "cautions": [{"text": one.text, "defers_to": one.defers_to} for one in made.cautions],
        "against": [_against(one) for one in made.against],
        "missing": [_against(one) for one in made.missing],
        "needs": [{"key": n.key, "text": n.text, "cost": n.cost or None} for n in made.needs],
        "assumed": list(made.assumed),
        "notes": list(made.notes),
        "sources": list(made.sources),
        "listings": [
            {"title": one.title, "columns": list(one.columns), "rows": [list(r) for r in one.rows]}
            for one in made.listings
        ],
        "units": {one.key: one.unit for one in made.figures},
        "figure_sources": {one.key: one.source for one in made.figures},
        "why": {one.key: one.why for one in made.figures if one.value is None},
    }
    return told | {one.key: one.value for one in made.figures}


def _against(one: Against) -> dict[str, Any]:
    return {"reason": one.reason, "remedy": one.remedy, "field": one.field or None}
