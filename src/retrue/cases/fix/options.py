"""All choices of one machine: ways of every fault, levels, another control, go on or stop."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.fix.budget import fit_of, with_picks
from retrue.cases.fix.choice_lines import Options, StopLoss
from retrue.cases.fix.control import control_of
from retrue.cases.fix.levels import levels_of
from retrue.cases.fix.scene import Scene
from retrue.cases.fix.stop_loss import stop_loss_of
from retrue.cases.fix.ways import listed

CAUTIONS = ("X01", "X47")  # planning only; our numbers are judgement


def options_of(
    scene: Scene,
    *,
    on: date,
    ids: tuple[str, str] = ("", ""),
    budget: float | None = None,
    by_on: date | None = None,
) -> Options:
    """Everything that can be chosen of one machine.

    Parameters
    ----------
    scene : Scene
    on : date
        Today.
    ids : (lot, machine)
        By which records name them; empty: their names.
    budget : float or None
        Money from here on, in the shop's currency.
    by_on : date or None
        A day by which every wait must be over.

    Returns
    -------
    Options

    Raises
    ------
    Unusable
        A budget below nothing, or a day that is past.
    """
    refuse_limits(on, budget, by_on)
    rows, levels = listed(scene), levels_of(scene)
    fit = fit_of(scene, rows, levels, on=on, budget=budget, by_on=by_on)
    faults = tuple(one.options for one in rows)
    cautions = scene.kind.cautions
    return Options(
        lot=ids[0] or scene.case.lot.name,
        lot_name=scene.case.lot.name,
        machine=ids[1] or scene.name,
        machine_name=scene.name,
        level=scene.level,
        aim=scene.aim,
        currency=scene.currency,
        faults=with_picks(faults, fit) if fit is not None and fit.picks else faults,
        levels=levels,
        control=control_of(scene),
        stop_loss=stop_of(scene),
        budget=budget,
        by_on=None if by_on is None else by_on.isoformat(),
        fits="" if fit is None else fit.words,
        fit=fit,
        gone=tuple(sorted(one.id for one in scene.kind.faults.values() if scene.gone(one))),
        seed=scene.view.stage.drawer.seed,
        worlds=scene.view.stage.drawer.worlds,
        cautions=tuple(
            f"{cautions[id].text} ({cautions[id].defers_to})" for id in CAUTIONS if id in cautions
        ),
    )


def stop_of(scene: Scene) -> StopLoss:
    """Whether to go on with the machine of a scene.

    Parameters
    ----------
    scene : Scene

    Returns
    -------
    StopLoss
    """
    return stop_loss_of(
        scene.view.chooser, scene.index, scene.plan, scene.far, currency=scene.currency
    )


def only_fault(options: Options, fault: str) -> Options:
    """The same choices with one fault alone.

    Parameters
    ----------
    options : Options
    fault : str

    Returns
    -------
    Options
        No fault where it is neither confirmed nor likely.

    Examples
    --------
    >>> bare = Options(lot="1", lot_name="school", machine="2", machine_name="mill",
    ...                level="right", aim="keep", currency="EUR", faults=(), levels=(),
    ...                control=None, stop_loss=None)
    >>> only_fault(bare, "F15").faults
    ()
    """
    return replace(options, faults=tuple(one for one in options.faults if one.fault == fault))


def refuse_limits(on: date, budget: float | None, by_on: date | None) -> None:
    """Refuse a budget or a day that can be no limit, before anything is worked out.

    Parameters
    ----------
    on : date
        Today.
    budget : float or None
    by_on : date or None

    Raises
    ------
    Unusable

    Examples
    --------
    >>> refuse_limits(date(2026, 11, 26), 5000.0, date(2027, 2, 1))
    """
    wrong = []
    if budget is not None and not 0.0 <= budget < math.inf:
        what = say("is below nothing") if budget < 0.0 else say("is no sum of money")
        wrong.append(Problem("budget", what, say("Say what there is to spend from here.")))
    if by_on is not None and by_on < on:
        what = say("is past")
        wrong.append(Problem("by", what, say("Give a day that is still to come.")))
    if wrong:
        raise Unusable(
            say("this cannot be reckoned as it stands"),
            remedy=say("Mend what is named."),
            problems=tuple(wrong),
        )
