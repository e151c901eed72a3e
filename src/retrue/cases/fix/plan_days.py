"""What the plan that is kept says of days: when each card begins, and which a date hangs on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from retrue.cases.fix.lines import Card, Cards
from retrue.cases.fix.plan_lines import PlanView

HANGS_DAYS = 1.0  # a card that may wait no longer moves the date (judgement)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanDays:
    """Days by machine and card.

    Attributes
    ----------
    begins : mapping of (machine, card) to str
        ISO dates.
    hangs : frozenset of (machine, card)
        Cards that a date hangs on.
    cards : tuple of Cards
        The cards that were planned, by machine.
    """

    begins: Mapping[tuple[str, str], str] = field(default_factory=dict)
    hangs: frozenset[tuple[str, str]] = frozenset()
    cards: tuple[Cards, ...] = ()


def plan_days(view: PlanView | None) -> PlanDays:
    """The days of a plan.

    Parameters
    ----------
    view : PlanView or None
        None: no plan is kept.

    Returns
    -------
    PlanDays

    Examples
    --------
    >>> plan_days(None).begins
    {}
    """
    if view is None:
        return PlanDays()
    by_machine: dict[str, list[Card]] = {}
    for row in view.rows:
        by_machine.setdefault(row.card.machine, []).append(row.card)
    return PlanDays(
        begins={(row.card.machine, row.card.key): row.begins[:10] for row in view.rows},
        hangs=frozenset(
            (row.card.machine, row.card.key) for row in view.rows if row.slack_days < HANGS_DAYS
        ),
        cards=tuple(_cards(mine) for mine in by_machine.values()),
    )


def _cards(mine: list[Card]) -> Cards:
    first = mine[0]
    return Cards(lot=first.lot, lot_name="", machine=first.machine, machine_name=first.machine_name,
                 kind="", aim="", level="", cards=tuple(mine), visits=(), hours=0.0)  # fmt: skip
