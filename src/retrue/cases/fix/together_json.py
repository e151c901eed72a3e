"""Renewals and extras as one flat JSON object each, the same bytes each time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from retrue.base.say import say
from retrue.cases.fix.choice_lines import Together, Upgrades

TOGETHER, UPGRADES = "fix.together.1", "fix.upgrades.1"


def flat_together(told: Together) -> dict[str, Any]:
    """What to renew as plain values; ``why`` says of each null why it is one.

    Parameters
    ----------
    told : Together

    Returns
    -------
    dict
        Money as numbers in ``currency``.

    Examples
    --------
    >>> empty = Together(machine_name="mill", place="panel", place_name="Panel", years=5.0, rows=(),
    ...                  cost=0.0, cost_none=0.0, cost_all=0.0, reopening=12.0, exact=True)
    >>> made = flat_together(empty)
    >>> made["schema"], made["why"], made["reopening"]
    ('fix.together.1', {}, 12.0)
    """
    return asdict(told) | {"schema": TOGETHER, "why": dict(_whys(told))}


def flat_upgrades(told: Upgrades) -> dict[str, Any]:
    """Extras as plain values; readings that are missing are null with their ``why``.

    Parameters
    ----------
    told : Upgrades

    Returns
    -------
    dict

    Examples
    --------
    >>> empty = Upgrades(machine_name="mill", currency="EUR", rows=(), chosen_money=0.0,
    ...                  chosen_hours=0.0, values={"lux": 220.0})
    >>> made = flat_upgrades(empty)
    >>> made["values"], made["why"]
    ({'level_a_db': None, 'lux': 220.0}, {'values.level_a_db': 'was not read'})
    """
    values = {key: told.values.get(key) for key in ("level_a_db", "lux")}
    why = {f"values.{key}": say("was not read") for key, value in values.items() if value is None}
    return asdict(told) | {"values": values, "schema": UPGRADES, "why": why}


def _whys(told: Together) -> Iterator[tuple[str, str]]:
    for row in told.rows:
        if row.age_years is None:
            yield f"rows.{row.id}.age_years", say("nobody said")
        if row.renew_at_years is None:
            yield f"rows.{row.id}.renew_at_years", say("by age alone it never pays")
