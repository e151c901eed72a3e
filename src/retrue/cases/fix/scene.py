"""One machine seen from today: its worlds, its chances, what it is worked for, how far it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import evidence
from retrue.cases.find.standing import Standing, standing
from retrue.cases.fix.belief import Belief, belief_of
from retrue.cases.fix.far import Far, far_of, from_here, plan_of
from retrue.cases.fix.kept import fix_of_case
from retrue.cases.fix.needed import confirmed_in
from retrue.cases.orders import plan_for
from retrue.cases.plans import (
    CONTROL,
    KEEP,
    NEW_CONTROL,
    PART_OUT,
    SELL_AS_FOUND,
    Plan,
    Prospect,
)
from retrue.cases.prepare import shop_bench
from retrue.cases.restoration import Bench
from retrue.cases.view import View, look
from retrue.kinds.library import Fault, Kind, Level
from retrue.plan.restore import Steps
from retrue.plan.ways import Order
from retrue.records.fixing import Chosen

RIGHT = "right"


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """What every question about one machine's choices reads.

    Attributes
    ----------
    aim, level : str
        What it is worked for, how far.
    prospect : Prospect
        From here on.
    """

    case: LotCase
    view: View
    index: int
    kind: Kind
    aim: str
    level: str
    state: Standing
    far: Far
    belief: Belief
    prospect: Prospect

    @property
    def name(self) -> str:
        """The machine's."""
        return self.prospect.machine.name

    @property
    def currency(self) -> str:
        """The shop's: all worlds are in it."""
        return self.case.shop.currency

    @property
    def rate(self) -> float:
        """What an own hour is worth."""
        return self.prospect.settled.rate

    @property
    def aimed(self) -> Level:
        """The level asked for."""
        return self.kind.levels[self.level]

    @property
    def worked_for(self) -> bool:
        """Whether it is put right at all: an aim without work has no level."""
        return self.aim not in (SELL_AS_FOUND, PART_OUT)

    @property
    def plan(self) -> Plan:
        """What going on means; an aim without work is asked as if it were kept."""
        nothing = not self.worked_for or (
            self.aim == NEW_CONTROL and CONTROL not in self.kind.costs
        )
        return plan_of(KEEP if nothing else self.aim, self.level)

    @property
    def benches(self) -> tuple[Bench, ...]:
        """Its own, and for the first machine that of shop and lot."""
        own = self.prospect.workshop.bench
        if self.index:
            return (own,)
        return own, shop_bench(self.view.stage, self.prospect.machine)

    def level_of(self, bench: Bench) -> Level:
        """The level of a bench: what belongs to shop and lot is always made right."""
        own = bench is self.prospect.workshop.bench
        return self.aimed if own else self.kind.levels[RIGHT]

    def orders(self, bench: Bench) -> dict[str, tuple[Steps, Order]]:
        """The order of ways of every fault on a bench, as price and cards have it."""
        rows = plan_for(bench, self.level_of(bench), self.rate)
        return {bench.faults[steps.row].id: (steps, order) for steps, order in rows}

    def chance(self, fault: Fault) -> float:
        """The chance that a fault is there now."""
        return self.belief.faults.get((self.name, fault.id), 0.0)

    def confirmed(self, fault: Fault) -> bool:
        """Whether it is certain: by the rule of cards and runs."""
        return confirmed_in(self.state, fault.id)

    def gone(self, fault: Fault) -> bool:
        """Whether it was put right, or seen not to be there."""
        return fault.id in (self.state.treated | self.state.absent) - self.state.present


def scene_of(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    level: str | None = None,
    arrived: bool = False,
    seed: int = 7,
    worlds: int = 2000,
) -> Scene:
    """Draw the worlds of a lot and look at one machine of it.

    Parameters
    ----------
    case : LotCase
        With what is quoted, agreed and paid by now as its own figures.
    machine : str
        By name.
    kinds : mapping of kind id to Kind
    level : str or None
        Asked for; None: that of the aim.
    arrived : bool
        It is known to have come.
    seed, worlds : int

    Returns
    -------
    Scene

    Raises
    ------
    Unknown
        A machine's kind is not among ``kinds``.
    Unusable
        What was answered contradicts itself.
    """
    belief = belief_of(fix_of_case(case, kinds), kinds)
    found, _ = evidence(case, belief.built)
    keep = tuple(Plan(KEEP, RIGHT) for _ in case.machines)
    drawer = Drawer(seed, case.lot.name, worlds)
    view = look(case, belief.built, found, belief.settled, drawer=drawer, only=(keep,))
    index = [one.name for one in case.machines].index(machine)
    state = standing(case, machine, belief.built.kinds[machine])
    far = far_of(state, arrived=arrived)
    aim, wanted = aim_of(case.chosen, machine)
    return Scene(
        case=case,
        view=view,
        index=index,
        kind=belief.built.kinds[machine],
        aim=aim,
        level=level or wanted,
        state=state,
        far=far,
        belief=belief,
        prospect=from_here(view.chooser.prospects[index], far),
    )


def aim_of(chosen: Iterable[Chosen], machine: str) -> tuple[str, str]:
    """What a machine is worked for, and how far: what was chosen last, else kept and right.

    Parameters
    ----------
    chosen : iterable of Chosen
        Oldest first.
    machine : str
        As the choices name it.

    Returns
    -------
    aim, level : str

    Examples
    --------
    >>> aim_of((), "mill")
    ('keep', 'right')
    """
    mine = [one for one in chosen if one.sort == "aim" and one.machine == machine]
    if not mine or not mine[-1].way:
        return KEEP, RIGHT
    return mine[-1].way, plan_of(mine[-1].way, mine[-1].level).level or RIGHT
