"""A rate, and whether it was worth it, as one flat JSON object each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from retrue.base.say import say
from retrue.cases.settle.hour_rate_figures import UNITS
from retrue.cases.settle.rate_lines import EvenRow, HourRateView
from retrue.cases.settle.versus_lines import VersusRow, VersusView
from retrue.records.settling import RunFigure

RATE_SCHEMA, VERSUS_SCHEMA = "settle.rate.1", "settle.versus.1"
FIGURE_SCHEMA = "settle.figure.1"


def flat_rate(view: HourRateView) -> dict[str, Any]:
    """A rate as plain values; ``because`` is its sentence where there is none, ``why`` of nulls.

    Parameters
    ----------
    view : HourRateView

    Returns
    -------
    dict
        Money as numbers in ``currency``.

    Examples
    --------
    >>> from retrue.cases.settle.hour_rate_file import rate_of_file, read_rate
    >>> text = b"[figures]\\npaid = 8000\\nhours_a_year = 500\\n"
    >>> told = flat_rate(rate_of_file(read_rate(text, "mill.toml"), worlds=10))
    >>> told["schema"], sorted(told["why"])
    ('settle.rate.1', ['asked', 'even.0.at', 'margin', 'run_a_year'])
    """
    told = asdict(view)
    told["because"] = told.pop("why")
    return told | {"schema": RATE_SCHEMA, "why": dict(_rate_whys(view))}


def flat_figure(fact: RunFigure, id: str, machine_name: str, currency: str) -> dict[str, Any]:
    """A figure that was kept, as plain values.

    Parameters
    ----------
    fact : RunFigure
    id : str
        Of its record.
    machine_name, currency : str

    Returns
    -------
    dict

    Examples
    --------
    >>> from decimal import Decimal
    >>> fact = RunFigure(lot="l", machine="m", item="energy_kw", low=Decimal(5), likely=Decimal(6),
    ...                  high=Decimal(7))
    >>> flat_figure(fact, "r", "mill", "EUR")["likely"]
    6.0
    """
    return {
        "currency": currency,
        "high": float(fact.high),
        "id": id,
        "item": fact.item,
        "likely": float(fact.likely),
        "low": float(fact.low),
        "machine_name": machine_name,
        "reason": fact.reason,
        "schema": FIGURE_SCHEMA,
        "unit": UNITS.get(fact.item, ""),
        "why": {},
    }


def flat_versus(view: VersusView) -> dict[str, Any]:
    """Whether it was worth it, as plain values; ``why`` says of each null why it is one.

    Parameters
    ----------
    view : VersusView

    Returns
    -------
    dict
        Money as numbers in ``currency``.
    """
    return asdict(view) | {"schema": VERSUS_SCHEMA, "why": dict(_versus_whys(view))}


def _rate_whys(view: HourRateView) -> Iterator[tuple[str, str]]:
    if view.an_hour is None:
        for name in ("an_hour", "with_operator", "by_hour_value", "with_operator_by_hour_value",
                     "ratio_of_means"):  # fmt: skip
            yield name, view.why
    if view.margin is None:
        yield "margin", say("no margin was named")
    if view.asked is None:
        yield "asked", say("no margin was named") if view.margin is None else view.why
    if view.run_a_year is None:
        yield "run_a_year", say("the book has no year of running yet")
    for at, row in enumerate(view.even):
        yield from _even_why(f"even.{at}.at", row)


def _even_why(path: str, row: EvenRow | None) -> Iterator[tuple[str, str]]:
    if row is not None and row.at is None:
        yield path, row.words


def _versus_whys(view: VersusView) -> Iterator[tuple[str, str]]:
    if view.hours_curve is None:
        yield "hours_curve", say("its worth does not hang on hours of work")
    if view.rate_curve is None:
        yield "rate_curve", say("there is no more than one rate a year")
    for name in ("hours_curve", "rate_curve"):
        drawn = getattr(view, name)
        if drawn is not None and drawn.now is None:
            yield f"{name}.now", say("nobody said")
    for at, row in enumerate(view.rows):
        yield from _row_whys(f"rows.{at}", row)


def _row_whys(path: str, row: VersusRow) -> Iterator[tuple[str, str]]:
    never = say("never, or beyond reach")
    if row.payback is None:
        yield f"{path}.payback", say("nothing more is laid out for ours at the start")
    else:
        for name in ("p10", "p50", "p90"):
            if getattr(row.payback, name) is None:
                yield f"{path}.payback.{name}", say("never within the years looked at")
    for name in ("p10", "p50", "p90"):
        if getattr(row.rate, name) is None:
            few = say("too few ways it may turn out have just one rate")
            yield f"{path}.rate.{name}", row.rate.why or few
    if row.hours_even is None:
        yield f"{path}.hours_even", say("its worth does not hang on hours of work")
    for name in ("hours_low", "hours_even_at", "hours_high"):
        if getattr(row, name) is None:
            words = row.hours_even.words if row.hours_even is not None else never
            at = row.hours_even is not None and row.hours_even.at is not None
            yield f"{path}.{name}", never if at else words
    if row.days is None:
        yield f"{path}.days", say("its worth does not hang on days")
    yield from _even_why(f"{path}.switching.at", row.switching)
    yield from _even_why(f"{path}.hours_even.at", row.hours_even)
    yield from _even_why(f"{path}.days.at", row.days)
