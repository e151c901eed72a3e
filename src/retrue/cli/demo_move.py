"""The demo's move: both machines planned, what that does to the price, sheets on paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from retrue.base.formatter import money
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cli.demo_days import kept_at
from retrue.cli.house import House
from retrue.cli.reckon_lines import answer_words
from retrue.phases import move, reckon, worth
from retrue.phases.move import Plan
from retrue.records.shop import RecordShop


@dataclass(frozen=True, slots=True)
class Moving:
    """The plans of a lot's machines, and its walk-away price before and after them."""

    plans: tuple[Plan, ...]
    before: float | None
    after: float | None
    currency: str


def moving(house: House, shop: RecordShop, case: LotCase, *, seed: int, worlds: int) -> Moving:
    """Keep what was filled in of the move, machine by machine.

    Parameters
    ----------
    house : House
    shop : RecordShop
        With the lot in it.
    case : LotCase
        The lot as its file says it, with what was planned.
    seed, worlds : int
        Of the price.

    Returns
    -------
    Moving
    """
    kinds, lot = house.kinds(), case.lot.name
    before = worth.price(shop, lot, kinds, seed=seed, worlds=worlds).walk_away
    for plan in case.planned:
        typed = dict(plan.values)
        reckon.keep_plan(shop, lot, plan.machine, plan.method, typed, kinds,
                        **kept_at(house, "move"))  # fmt: skip
    sheet = worth.price(shop, lot, kinds, seed=seed, worlds=worlds)
    plans = tuple(move.plan(shop, lot, one.name, kinds) for one in case.machines)
    return Moving(plans, before.amount, sheet.walk_away.amount, sheet.currency)


def written(house: House, shop: RecordShop, found: Moving, folder: Path) -> tuple[Path, ...]:
    """Write the method sheet of each machine, and the floor plan where there is one.

    Parameters
    ----------
    house : House
    shop : RecordShop
    found : Moving
    folder : Path

    Returns
    -------
    tuple of Path
    """
    paths = []
    for plan in found.plans:
        path = folder / f"{plan.machine}-move.pdf"
        path.write_bytes(house.printer.move(plan, house.by, house.kinds()))
        paths.append(path)
        made = plan.reckoned()["floor"]
        if made.drawing is not None:
            path = folder / f"{plan.machine}-layout.pdf"
            path.write_bytes(house.printer.layout(made, plan, house.by))
            paths.append(path)
    return tuple(paths)


def moving_lines(found: Moving) -> Iterator[str]:
    """The move in a few lines.

    Parameters
    ----------
    found : Moving

    Yields
    ------
    str
        One line each.
    """
    for plan in found.plans:
        yield f"{plan.machine}: {plan.headline}"
        for one in plan.methods:
            made = one.reckoning
            if one.touched:
                yield f"  {one.method.id.ljust(9)}  {answer_words(made)}"
        if plan.next:
            yield say("  Next: {what}", what=plan.next)
    if found.before is not None and found.after is not None:
        yield say(
            "With what the move needs the number goes from {before} to {after}.",
            before=money(found.before, found.currency),
            after=money(found.after, found.currency),
        )
